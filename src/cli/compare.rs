//! `dryfit compare`

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::lessons::Bench;
use super::output::{self, Colour, Form, hand_over, print, talk, talk_of};
use super::{GO, TROUBLE, picture, sheets};
use crate::files::{Files, Texts};
use crate::inspect::Analysis;
use crate::lessons::{Comparison, Lessons, SheetNotes, forecasts, next, strains};
use crate::mend::{Change, Choice, repeat};
use crate::quantity::Dimension;
use crate::report;
use crate::rules::Date;
use crate::vocabulary::Foretold;
use crate::workspace::Mendings;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet that was printed; with several, or a folder, all of them that have notes, and what to
    /// measure next is ranked over all of them
    #[arg(required = true, value_name = "SHEET")]
    sheets: Vec<PathBuf>,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
    /// Draw the deviations of one sheet with their bands
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    let done = match arguments.sheets.as_slice() {
        [sheet] if !sheet.is_dir() => one(sheet, arguments, colour, today),
        paths => all(paths, arguments, colour, today),
    };
    done.unwrap_or_else(|code| code)
}

fn told(path: &Path, why: impl std::fmt::Display) -> u8 {
    talk_of(path, why);
    TROUBLE
}

fn one(path: &Path, arguments: &Arguments, colour: Colour, today: Option<Date>) -> Result<u8, u8> {
    let bench = Bench::of(path, false);
    let workspace = bench.workspace(&bench.disk, &[path.to_path_buf()], today, colour)?;
    let sheet = workspace.sheet(path).map_err(|why| told(path, why))?;
    let analysis = sheet.analysis();
    let unlearnt = bench.unlearnt(today, colour)?;
    let texts = bench.analyses(&unlearnt);
    let notes = bench.notes(&texts);
    let full = bench.disk.full(path).map_err(|why| told(path, why))?;
    if !has_notes(&notes, &full) {
        let shown = path.display();
        return Err(told(path, format!("there are no notes on it; `dryfit notes {shown}` writes a form to fill in")));
    }
    let lessons = Lessons::of(&notes, &bench.figures(analysis.library)?);
    let mended = mended(&bench, path, &forecasts(&lessons, &notes, &full), (today, colour))?;
    let compared = Comparison::of(&full, &analysis, &lessons, &notes, &mended);
    if let Some(file) = &arguments.svg {
        picture::save(file, &report::compare_svg(&compared)).map_err(|why| told(path, &why))?;
    }
    let printed = match arguments.report {
        Form::Json => hand_over(&report::compare_json(&compared)),
        Form::Plain => print(&report::compare(&compared, output::look(colour))),
    };
    printed.map(|()| bench.code(&texts))
}

/// What the mends of a sheet draw otherwise that go by its readings, as `mend --learnt` does: in mm, by name.
fn mended(
    bench: &Bench,
    path: &Path,
    forecasts: &BTreeMap<String, Foretold>,
    (today, colour): (Option<Date>, Colour),
) -> Result<BTreeMap<String, f64>, u8> {
    if forecasts.is_empty() {
        return Ok(BTreeMap::new());
    }
    let mut workspace = bench.workspace(&bench.disk, &[path.to_path_buf()], today, colour)?;
    workspace.foretell(path, forecasts);
    let sheet = workspace.sheet(path).map_err(|why| told(path, why))?;
    let mendings = Mendings::of(&workspace, vec![sheet.clone()]);
    let done = repeat(&mendings.sheet(0, &Texts::new()), &sheet.text, &Choice::default());
    let changes = done.applied.iter().flat_map(|applied| &applied.mend.changes);
    let length = |change: &Change| {
        let value = change.value.as_ref().filter(|value| value.dimension == Dimension::LENGTH)?;
        Some((change.name.clone(), value.value))
    };
    Ok(changes.filter_map(length).collect())
}

fn has_notes(notes: &[SheetNotes], sheet: &Path) -> bool {
    notes.iter().any(|one| one.sheet == sheet)
}

/// Every sheet with notes, and what to measure next for all of them: of one project, since what is learnt in it holds there.
fn all(paths: &[PathBuf], arguments: &Arguments, colour: Colour, today: Option<Date>) -> Result<u8, u8> {
    if arguments.svg.is_some() {
        talk("--svg draws one sheet: name one");
        return Err(TROUBLE);
    }
    let bench = Bench::of(&paths[0], paths[0].is_dir());
    let (found, trouble) = sheets::find(&bench.disk, paths);
    let mut code = GO;
    for (path, why) in &trouble {
        code = told(path, why);
    }
    let workspace = bench.workspace(&bench.disk, &found, today, colour)?;
    let unlearnt = bench.unlearnt(today, colour)?;
    let texts = bench.analyses(&unlearnt);
    let notes = bench.notes(&texts);
    let root = bench.disk.full(&bench.root).unwrap_or_else(|_| bench.root.clone());
    let mut analyses: Vec<(&PathBuf, PathBuf, Analysis)> = Vec::new();
    for path in &found {
        let read = bench.disk.full(path).and_then(|full| Ok((full, workspace.sheet(path)?)));
        match read {
            Ok((full, _)) if !full.starts_with(&root) => {
                return Err(told(path, "it belongs to another project: compare one project at a time"));
            }
            Ok((full, sheet)) => analyses.push((path, full, sheet.analysis())),
            // The others are compared all the same.
            Err(why) => code = told(path, why),
        }
    }
    if bench.code(&texts) != GO {
        code = TROUBLE;
    }
    let Some((_, _, first)) = analyses.first() else { return Ok(code) };
    let figures = bench.figures(first.library)?;
    let lessons = Lessons::of(&notes, &figures);
    let mut compared = Vec::new();
    for (path, full, analysis) in analyses.iter().filter(|(_, full, _)| has_notes(&notes, full)) {
        let mended = mended(&bench, path, &forecasts(&lessons, &notes, full), (today, colour))?;
        compared.push(Comparison::of(full, analysis, &lessons, &notes, &mended));
    }
    let every: Vec<&Analysis> = analyses.iter().map(|(_, _, analysis)| analysis).collect();
    let worth = next(&every, &strains(&notes, &figures), &figures);
    let others = analyses.len() - compared.len();
    match arguments.report {
        Form::Json => hand_over(&report::compare_all_json(&compared, &worth)),
        Form::Plain => print(&report::compare_all(&compared, others, &worth, output::look(colour))),
    }
    .map(|()| code)
}
