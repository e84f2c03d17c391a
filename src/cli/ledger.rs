//! `dryfit ledger`

use std::path::PathBuf;

use super::output::{self, Colour, Form, talk};
use super::sheets::{no_rule, with_sheet};
use super::{GO, TROUBLE};
use crate::fault::did_you_mean;
use crate::model::{FeatureId, Model};
use crate::report;
use crate::rules::{Date, Library};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// Only this feature and what is in it, such as clip.jaw; a fit or stack by its title
    #[arg(long, value_name = "FEATURE")]
    on: Option<String>,
    /// Only this rule; may be repeated
    #[arg(long, value_name = "RULE")]
    rule: Vec<String>,
    /// Only what does not hold
    #[arg(long)]
    failing: bool,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    with_sheet(&arguments.sheet, colour, today, |sheet| {
        // The sheet's faults are `inspect`'s to tell; what can be worked out is here.
        let analysis = sheet.analysis();
        known(analysis.library, &arguments.rule)?;
        let only = match arguments.on.as_deref().map(|path| find(&analysis.model, path)) {
            Some(Err(code)) => return Ok(code),
            Some(Ok(id)) => Some(id),
            None => None,
        };
        let mut entries = analysis.ledger(only);
        entries.retain(|entry| arguments.rule.is_empty() || arguments.rule.contains(&entry.rule));
        entries.retain(|entry| !arguments.failing || entry.is_failing());
        let sources = &analysis.sources;
        let printed = match arguments.report {
            Form::Plain => output::hand_over(&report::ledger(&entries, sources, output::look(colour))),
            Form::Json => output::hand_over(&report::ledger_json(&sheet.name, &entries, sources)),
        };
        Ok(printed.map_or_else(|code| code, |()| GO))
    })
}

fn known(library: &Library, rules: &[String]) -> Result<(), String> {
    let Some(unknown) = rules.iter().find(|name| library.rule(name).is_none()) else { return Ok(()) };
    Err(no_rule(library, unknown))
}

fn find(model: &Model, path: &str) -> Result<FeatureId, u8> {
    let found = model.ids().map(|(id, _)| id).find(|id| model.path(*id) == path);
    found.ok_or_else(|| {
        let known: Vec<String> = model.ids().map(|(id, _)| model.path(id)).collect();
        let help =
            did_you_mean(path, known.iter().map(String::as_str)).map_or(String::new(), |help| format!("; {help}"));
        talk(&format!("the sheet has no feature `{path}`{help}"));
        TROUBLE
    })
}
