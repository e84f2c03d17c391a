//! `dryfit checklist`

use std::path::{Path, PathBuf};

use super::output::{self, Colour, print, talk_of};
use super::save::{self, Kind};
use super::sheets::{self, with_sheet};
use super::{GO, TROUBLE};
use crate::checklist::{BEGINS, checklist, checklist_json, checklist_text, drawings, page};
use crate::rules::Date;
use crate::workspace::{SheetFile, Workspace};

const PAGE: Kind = Kind { begins: BEGINS.as_bytes(), noun: "page for the bench", example: "page.html" };

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet; with `--project` a folder, or nothing for the one that you are in
    #[arg(value_name = "SHEET", required_unless_present = "project")]
    sheet: Option<PathBuf>,
    /// Only this part
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// The HTML file to write; with `--project` the folder of such files; without it standard output
    #[arg(short, long = "output-file", value_name = "FILE")]
    output: Option<PathBuf>,
    /// For the terminal
    #[arg(long, conflicts_with_all = ["json", "project"])]
    text: bool,
    /// For programs
    #[arg(long, conflicts_with = "project")]
    json: bool,
    /// A page for every sheet with a part, written where it differs from the page that is there
    #[arg(long, conflicts_with = "part", requires = "output")]
    project: bool,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    match &arguments.sheet {
        Some(sheet) if !arguments.project => {
            with_sheet(sheet, colour, today, |sheet| one(arguments, sheet, colour, today))
        }
        folder => project(arguments, folder.as_deref(), colour, today),
    }
}

fn one(arguments: &Arguments, sheet: &SheetFile, colour: Colour, today: Option<Date>) -> Result<u8, String> {
    let analysis = sheet.analysis();
    if analysis.is_broken {
        talk_of(&sheet.path, "not all of it can be read: `dryfit inspect` tells the faults");
    }
    let (checklist, model) = checklist(analysis, arguments.part.as_deref(), today);
    if checklist.parts.is_empty() {
        return Err(match &arguments.part {
            Some(name) => format!("it has no part `{name}`"),
            None => "it has no part to print: add a `part` block".into(),
        });
    }
    let text = if arguments.json {
        checklist_json(&checklist)
    } else if arguments.text {
        checklist_text(&checklist, output::look(colour))
    } else {
        let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
        page(&checklist, &drawings)
    };
    let printed = match &arguments.output {
        Some(file) if arguments.json || arguments.text => {
            return Err(format!("{} is for the page: leave out `--text` and `--json`", file.display()));
        }
        Some(file) => return save_page(file, &text).map(|()| GO),
        None if arguments.text => print(&text),
        None => output::hand_over(&text),
    };
    Ok(printed.map_or_else(|code| code, |()| GO))
}

/// A page for every sheet of a folder; one that would be the same is left alone.
fn project(arguments: &Arguments, folder: Option<&Path>, colour: Colour, today: Option<Date>) -> u8 {
    let Some(into) = &arguments.output else { return TROUBLE };
    let disk = sheets::disk();
    let (paths, trouble) = sheets::find(&disk, &[folder.unwrap_or(Path::new(".")).to_path_buf()]);
    let mut code = GO;
    for one in &trouble {
        talk_of(&one.0, &one.1);
        code = TROUBLE;
    }
    let workspace = match Workspace::of(&disk, paths.iter(), today) {
        Ok(workspace) => workspace,
        Err(error) => {
            output::broken_packs(*error, colour);
            return TROUBLE;
        }
    };
    for path in &paths {
        let written =
            workspace.sheet(path).map_err(|why| why.to_string()).and_then(|sheet| write_one(&sheet, into, today));
        if let Err(why) = written {
            talk_of(path, &why);
            code = TROUBLE;
        }
    }
    code
}

fn write_one(sheet: &SheetFile, into: &Path, today: Option<Date>) -> Result<(), String> {
    let (checklist, model) = checklist(sheet.analysis(), None, today);
    if checklist.parts.is_empty() {
        return Ok(());
    }
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    let text = page(&checklist, &drawings);
    // Sheets of one name in several folders have a page each.
    let name: Vec<String> =
        sheet.path.with_extension("html").iter().map(|part| part.to_string_lossy().into_owned()).collect();
    let file = into.join(
        name.iter()
            .filter(|part| !matches!(part.as_str(), "." | ".." | "/"))
            .map(String::as_str)
            .collect::<Vec<_>>()
            .join("-"),
    );
    if std::fs::read_to_string(&file).is_ok_and(|known| known == text) {
        return Ok(());
    }
    std::fs::create_dir_all(into).map_err(|error| format!("cannot make the folder {}: {error}", into.display()))?;
    save_page(&file, &text)?;
    talk_of(&file, "written");
    Ok(())
}

/// Writes a page whole or not at all. A file that is there already must hold a page.
fn save_page(file: &Path, page: &str) -> Result<(), String> {
    save::save(file, page, &PAGE).map_err(|why| format!("cannot write {}: {why}", file.display()))
}
