//! `dryfit compare`

use std::path::PathBuf;

use super::lessons::Bench;
use super::output::{self, Colour, Form, print, talk_of};
use super::{GO, TROUBLE, picture};
use crate::files::Files;
use crate::lessons::{Comparison, Lessons};
use crate::report;
use crate::rules::Date;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet that was printed
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
    /// Draw the deviations with their bands
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    attempt(arguments, colour, today).unwrap_or_else(|code| code)
}

fn attempt(arguments: &Arguments, colour: Colour, today: Option<Date>) -> Result<u8, u8> {
    let told = |why: String| {
        talk_of(&arguments.sheet, &why);
        TROUBLE
    };
    let bench = Bench::of(&arguments.sheet, false);
    let workspace = bench.workspace(&bench.disk, std::slice::from_ref(&arguments.sheet), today, colour)?;
    let sheet = workspace.sheet(&arguments.sheet).map_err(|why| told(why.to_string()))?;
    let analysis = sheet.analysis();
    let unlearnt = bench.unlearnt(today, colour)?;
    let texts = bench.analyses(&unlearnt);
    let notes = bench.notes(&texts);
    let full = bench.disk.full(&arguments.sheet).map_err(|why| told(why.to_string()))?;
    if !notes.iter().any(|one| one.sheet == full) {
        let shown = arguments.sheet.display();
        return Err(told(format!("there are no notes on it; `dryfit notes {shown}` writes a form to fill in")));
    }
    let lessons = Lessons::of(&notes, &bench.figures(analysis.library)?);
    let compared = Comparison::of(&full, &analysis, &lessons, &notes);
    if let Some(file) = &arguments.svg {
        picture::save(file, &report::compare_svg(&compared)).map_err(told)?;
    }
    let printed = match arguments.report {
        Form::Json => output::hand_over(&report::compare_json(&compared)),
        Form::Plain => print(&report::compare(&compared, output::look(colour))),
    };
    printed.map(|()| GO)
}
