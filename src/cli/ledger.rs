//! `dryfit ledger`

use std::path::PathBuf;

use super::output::{Colour, print, talk};
use super::sheets::with_sheet;
use super::{GO, TROUBLE};
use crate::fault::did_you_mean;
use crate::inspect::Analysis;
use crate::model::{FeatureId, Model};
use crate::report;
use crate::rules::{self, Date};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// Only this feature and what is in it, such as clip.jaw; a fit or stack by its title
    #[arg(long, value_name = "FEATURE")]
    on: Option<String>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    with_sheet(&arguments.sheet, colour, today, |sheet| {
        // The sheet's faults are `inspect`'s to tell; what can be worked out stands here.
        let Analysis { library, sources, model, .. } = sheet.analysis();
        let only = match arguments.on.as_deref().map(|path| find(&model, path)) {
            Some(Err(code)) => return Ok(code),
            Some(Ok(id)) => Some(id),
            None => None,
        };
        let entries = rules::ledger(library, &model, only);
        Ok(print(&report::ledger(&entries, &sources)).map_or_else(|code| code, |()| GO))
    })
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
