//! `dryfit why`

use std::path::Path;

use super::output::{Colour, print, talk};
use super::sheets::disk;
use super::{GO, TROUBLE, output};
use crate::fault::did_you_mean;
use crate::pack::Project;
use crate::report::{why_list, why_rule};
use crate::rules::Library;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The rule's name, as it stands at the end of a finding
    rule: Option<String>,
}

pub(super) fn run(arguments: &Arguments) -> u8 {
    let disk = disk();
    let library = match Library::of_folder(&disk, &Project::root_of(&disk, Path::new("."))) {
        Ok(library) => library,
        Err(error) => {
            output::broken_packs(error, Colour::Never);
            return TROUBLE;
        }
    };
    let text = match &arguments.rule {
        None => why_list(&library),
        Some(name) => {
            if let Some(rule) = library.rule(name) {
                why_rule(rule)
            } else if let Some(rule) = library.formerly(name) {
                talk(&format!("the rule `{name}` is called `{}` now", rule.name));
                why_rule(rule)
            } else {
                let known = library.rules.iter().map(|rule| rule.name.as_str());
                let help = did_you_mean(name, known).unwrap_or_else(|| "`dryfit why` lists the rules".into());
                talk(&format!("there is no rule `{name}`; {help}"));
                return TROUBLE;
            }
        }
    };
    print(&text).map_or_else(|code| code, |()| GO)
}
