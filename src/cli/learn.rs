//! `dryfit learn`

use std::io;
use std::path::PathBuf;

use super::lessons::Bench;
use super::output::{self, Colour, Form, print, talk};
use super::{TROUBLE, write};
use crate::files::{Files, Overlay, Texts};
use crate::inspect::Analysis;
use crate::lessons::{Lessons, Taught, bonds, frictions, printings, strains};
use crate::report;
use crate::rules::{Date, Verdict};
use crate::syntax::limits::FILE_BYTES;
use crate::workspace::{Workspace, sheets_in};

/// Where the pack lies in its project: a name that tells what it is.
const PACK: &str = "dryfit/learnt.yaml";

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A folder of the project; by default this one
    #[arg(value_name = "FOLDER", default_value = ".")]
    folder: PathBuf,
    /// Only say what would be learnt, and write nothing
    #[arg(long)]
    dry: bool,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    attempt(arguments, colour, today).unwrap_or_else(|code| code)
}

fn attempt(arguments: &Arguments, colour: Colour, today: Option<Date>) -> Result<u8, u8> {
    let bench = Bench::of(&arguments.folder, true);
    let told = |why: String| {
        talk(&why);
        TROUBLE
    };
    if bench.notes.is_empty() {
        return Err(told(format!(
            "no notes in {}; `dryfit notes SHEET` writes a form to fill in",
            bench.root.display()
        )));
    }
    let sheets = sheets_in(&bench.disk, &bench.root);
    let workspace = bench.workspace(&bench.disk, &sheets, today, colour)?;
    let unlearnt = bench.unlearnt(today, colour)?;
    let analyses = bench.analyses(&unlearnt);
    let notes = bench.notes(&analyses);
    let figures = bench.figures(&bench.notes.first().and_then(|path| workspace.home(path)).ok_or(TROUBLE)?.library)?;
    let lessons = Lessons::of(&notes, &figures);
    let strains = strains(&notes, &figures);
    let taught = Taught {
        lessons: &lessons,
        strains: &strains,
        bonds: &bonds(&notes, &strains, &figures),
        frictions: &frictions(&notes, &figures),
        printings: &printings(&notes, &figures),
    };
    let Some(text) = report::learnt_pack(&taught, &notes) else {
        return Err(told("nothing was read or tried yet: fill in the notes first".into()));
    };
    let path = bench.root.join(PACK);
    let before = verdicts(&bench, &workspace, &sheets);
    let overlay = Overlay::over(&bench.disk, Texts::from([(path.clone(), text.clone())]));
    let learnt = bench.workspace(&overlay, &sheets, today, colour)?;
    let after = verdicts(&bench, &learnt, &sheets);
    let changed: Vec<(&str, report::Standing, report::Standing)> =
        before.iter().zip(&after).map(|((name, before), (_, after))| (name.as_str(), *before, *after)).collect();
    match arguments.report {
        Form::Json => output::hand_over(&report::learnt_json(&taught, &notes, &changed))?,
        Form::Plain => print(&report::learnt(&taught, &notes, &changed, output::look(colour)))?,
    }
    let code = bench.code(&analyses);
    if arguments.dry {
        return Ok(code);
    }
    save(&bench, &path, &text).map_err(|why| told(format!("{}: {why}", bench.disk.shown(&path))))?;
    Ok(code)
}

fn save(bench: &Bench, path: &std::path::Path, text: &str) -> Result<(), String> {
    let shown = bench.disk.shown(path);
    match bench.disk.text(path, FILE_BYTES) {
        Ok(known) if known == text => {
            talk(&format!("{shown}: as it was"));
            return Ok(());
        }
        Ok(known) => write::exchange(&bench.disk, path, (&known, text), || Ok(()))?,
        Err(crate::files::Unread::Missing) => {
            let create = || -> io::Result<()> {
                if let Some(folder) = path.parent() {
                    std::fs::create_dir_all(folder)?;
                }
                write::create(path, text)
            };
            create().map_err(|error| format!("cannot be written: {error}"))?;
        }
        Err(why) => return Err(why.to_string()),
    }
    talk(&format!("{shown}: written; every check in this project goes by it from now on"));
    Ok(())
}

/// The verdict on every sheet with what makes it: how often each rule stops or warns of what.
fn verdicts(bench: &Bench, workspace: &Workspace, sheets: &[PathBuf]) -> Vec<(String, report::Standing)> {
    let of = |path: &PathBuf| {
        let sheet = workspace.sheet(path).ok()?;
        let analysis: Analysis = sheet.analysis();
        let counts = report::Counts::of(analysis.findings());
        let verdict: Verdict = analysis.verdict();
        Some((bench.disk.shown(path), (verdict, counts)))
    };
    sheets.iter().filter_map(of).collect()
}
