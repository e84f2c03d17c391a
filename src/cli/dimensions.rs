//! `dryfit dimensions`

use std::path::PathBuf;

use super::GO;
use super::output::{self, Colour, Form, print, talk_of};
use super::sheets::with_sheet;
use crate::inspect::Analysis;
use crate::report;
use crate::rules::Date;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// As comma-separated values, for a modeller's table
    #[arg(long, conflicts_with = "report")]
    csv: bool,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    with_sheet(&arguments.sheet, colour, today, |sheet| {
        let Analysis { sources, model, is_broken, .. } = sheet.analysis();
        if is_broken {
            talk_of(&sheet.path, "not all of it can be read: `dryfit inspect` tells the faults");
        }
        let dimensions = report::dimensions(&model, &sources);
        let printed = match arguments.report {
            _ if arguments.csv => output::hand_over(&report::dimensions_csv(&dimensions)),
            Form::Json => output::hand_over(&report::dimensions_json(&sheet.name, &dimensions)),
            Form::Plain => print(&report::dimensions_text(&dimensions, output::look(colour))),
        };
        Ok(printed.map_or_else(|code| code, |()| GO))
    })
}
