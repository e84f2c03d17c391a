//! `dryfit why`

use std::path::Path;

use super::output::{self, Colour, Form, hand_over, print, talk};
use super::sheets::disk;
use super::{GO, TROUBLE};
use crate::report::{Look, WIDEST, why, why_json, why_list};
use crate::rules::Library;
use crate::workspace::Workspace;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A rule, as named at the end of a finding, or any other word: a block, field, material,
    /// machine, unit, function or level
    #[arg(value_name = "WORD")]
    word: Option<String>,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
}

pub(super) fn run(arguments: &Arguments, colour: Colour) -> u8 {
    let disk = disk();
    // Words are explained as a sheet in this folder has them.
    let sheet = Path::new("sheet.dryfit");
    let workspace = match Workspace::of(&disk, [sheet], None) {
        Ok(workspace) => workspace,
        Err(error) => {
            output::broken_packs(*error, colour);
            return TROUBLE;
        }
    };
    let Some(library) = workspace.home(sheet).map(|home| &home.library) else { return TROUBLE };
    let word = arguments.word.as_deref().map(|word| match library.formerly(word) {
        Some(rule) => {
            talk(&format!("the rule `{word}` is called `{}` now", rule.name));
            rule.name.as_str()
        }
        None => word,
    });
    let told = match arguments.report {
        Form::Json => json(library, word),
        Form::Plain => match word {
            None => Ok(why_list(library, output::look(colour))),
            Some(word) => why(library, word, output::look(colour)),
        },
    };
    match told {
        Err(why) => {
            let command = word.filter(|word| super::commands().iter().any(|command| command == word));
            talk(&command.map_or(why, |word| format!("`{word}` is a command: `dryfit {word} --help` explains it")));
            TROUBLE
        }
        Ok(text) => {
            let printed = if arguments.report == Form::Json { hand_over(&text) } else { print(&text) };
            printed.map_or_else(|code| code, |()| GO)
        }
    }
}

fn json(library: &Library, name: Option<&str>) -> Result<String, String> {
    let Some(name) = name else { return Ok(why_json(&library.rules, None)) };
    let text = why(library, name, Look::of_width(WIDEST))?;
    Ok(why_json(library.rule(name), Some(text)))
}
