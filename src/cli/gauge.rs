//! `dryfit gauge`

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::output::{Colour, talk, talk_of};
use super::sheets::with_sheet;
use super::write::create;
use super::{GO, TROUBLE};
use crate::gauge::{Gauge, Kind, form, gauge, stl, three_mf};
use crate::inspect::Analysis;
use crate::notes;
use crate::report;
use crate::rules::{Date, Library};
use crate::workspace::ENDING;

/// What a piece is made for where no sheet says it.
const USUAL: &str = "machine bench\nmaterial petg\n";

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// What the piece is for
    #[arg(value_name = "KIND")]
    kind: Kind,
    /// The sheet that it is for: its machine and material, its fit or arm; without one the machine `bench` and petg
    #[arg(long = "for", value_name = "SHEET")]
    sheet: Option<PathBuf>,
    /// The fit, by its title, or the arm, by its path, that it is for; by default the sheet's first
    #[arg(long, value_name = "FEATURE", requires = "sheet")]
    on: Option<String>,
    /// The folder to write into; by default that of the sheet. Files that are there already stay as they are
    #[arg(value_name = "FOLDER")]
    folder: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    let Some(path) = &arguments.sheet else {
        let library = Library::built_in();
        let made = made(arguments, &Analysis::of_text(&library, "usual", USUAL));
        return made.and_then(|made| write(arguments, None, &library, &made)).map_or_else(
            |why| {
                talk(&why);
                TROUBLE
            },
            |()| GO,
        );
    };
    with_sheet(path, colour, today, |sheet| {
        let analysis = sheet.analysis();
        if analysis.is_broken {
            talk_of(path, "not all of it can be read: `dryfit inspect` tells the faults");
        }
        let made = made(arguments, &analysis)?;
        write(arguments, Some(path), analysis.library, &made).map(|()| GO)
    })
}

fn made(arguments: &Arguments, analysis: &Analysis) -> Result<Gauge, String> {
    if arguments.on.is_some() && !matches!(arguments.kind, Kind::Comb | Kind::Arm) {
        return Err("`--on` names the fit of a comb or the arm of an arm: leave it out for the others".into());
    }
    let made = gauge(arguments.kind, analysis.library, &analysis.model, arguments.on.as_deref());
    made.map_err(|refusal| refusal.to_string())
}

/// Writes all files of a piece, or none of them.
fn write(arguments: &Arguments, sheet: Option<&Path>, library: &Library, made: &Gauge) -> Result<(), String> {
    let beside = sheet.and_then(Path::parent).filter(|folder| !folder.as_os_str().is_empty());
    let folder = arguments.folder.as_deref().or(beside).unwrap_or(Path::new(""));
    if !folder.as_os_str().is_empty() && !folder.is_dir() {
        return Err(format!("there is no folder {}; make it first, or name another", folder.display()));
    }
    let name = name(sheet, made.kind);
    let files = [
        ("3mf", three_mf(&made.bodies)),
        ("stl", stl(&made.bodies)),
        (ENDING, made.sheet.clone().into_bytes()),
        (notes::ENDING, form(made, library, &name).into_bytes()),
        ("html", report::gauge_page(made, &name).into_bytes()),
    ];
    let files = files.map(|(ending, bytes)| (folder.join(format!("{name}.{ending}")), bytes));
    if let Some((there, _)) = files.iter().find(|(path, _)| fs::symlink_metadata(path).is_ok()) {
        return Err(taken(there));
    }
    for (at, (path, bytes)) in files.iter().enumerate() {
        if let Err(error) = create(path, bytes) {
            // Those of this run alone: each was made where nothing was.
            files[..at].iter().for_each(|(path, _)| drop(fs::remove_file(path)));
            return Err(match error.kind() {
                io::ErrorKind::AlreadyExists => taken(path),
                _ => format!("{} cannot be written: {error}", path.display()),
            });
        }
    }
    for remark in report::gauge_remarks(made) {
        talk(&remark);
    }
    for (path, _) in &files {
        talk_of(path, "written");
    }
    Ok(())
}

fn taken(path: &Path) -> String {
    format!(
        "{}: there is such a file already, and it stays as it is; nothing was written: name another folder",
        path.display()
    )
}

/// The files' name: the sheet's, where that is a plain word, and the piece's.
fn name(sheet: Option<&Path>, kind: Kind) -> String {
    let stem = sheet.and_then(Path::file_stem).and_then(|stem| stem.to_str());
    let is_plain = |stem: &&str| stem.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
    let stem = stem.filter(is_plain).map_or("gauge".to_owned(), |stem| format!("{stem}-gauge"));
    format!("{stem}-{}", kind.word())
}
