//! First contact: what somebody means who does not know the commands yet.

use std::ffi::OsString;
use std::path::Path;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::fault::did_you_mean;
use crate::workspace::ENDING;

/// Words that people try, with the command of ours that does it and what it does.
const TRIED: [(&[&str], &str, &str); 10] = [
    (&["check", "lint", "test", "verify", "validate", "analyse", "analyze", "run"], "inspect", "checks sheets"),
    (&["fix", "repair", "correct", "apply"], "mend", "shows what cures the findings"),
    (&["explain", "describe", "rule", "rules", "list", "words"], "why", "explains a rule or a word"),
    (&["help", "usage", "commands"], "--help", "lists the commands"),
    (&["calc", "calculate", "compute", "math"], "ledger", "prints every calculation with its numbers"),
    (&["show", "print", "report", "view"], "inspect --full", "shows everything about each finding"),
    (&["fmt", "tidy", "pretty"], "format", "puts sheets into their tidy form"),
    (&["init", "create", "start", "add"], "new", "writes a first sheet"),
    (&["turn", "rotate", "orientation"], "orient", "ranks the ways up"),
    (&["plot", "sweep", "range", "vary"], "window", "moves a field over a range"),
];

/// What the arguments mean, where the first word is no command.
pub(super) enum Meant {
    /// A sheet was named: inspect it, with these arguments.
    Inspect(Vec<OsString>),
    /// What to tell.
    Tell(String),
}

/// What an unknown command means; `None` where the mistake is another one.
pub(super) fn meant(error: &clap::Error, arguments: &[OsString], commands: &[&str]) -> Option<Meant> {
    if error.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let Some(ContextValue::String(word)) = error.get(ContextKind::InvalidSubcommand) else { return None };
    let path = Path::new(word);
    let at = || arguments.iter().position(|argument| argument.to_str() == Some(word));
    if word == "-" || path.extension().is_some_and(|ending| ending == ENDING) || path.exists() {
        let at = at()?;
        let mut after = arguments.iter().skip(at + 1).filter_map(|argument| argument.to_str());
        if let Some(command) = after.find(|argument| commands.contains(argument)) {
            return Some(Meant::Tell(format!("the command comes first: `dryfit {command} {word}`")));
        }
        let mut meant = arguments.to_vec();
        meant.insert(at, "inspect".into());
        return Some(Meant::Inspect(meant));
    }
    let sheet = path.with_extension(ENDING);
    if path.extension().is_none() && sheet.is_file() {
        let at = at()?;
        let mut meant = arguments.to_vec();
        meant[at] = sheet.into();
        meant.insert(at, "inspect".into());
        return Some(Meant::Inspect(meant));
    }
    let small = word.to_lowercase();
    let tried = TRIED.iter().find(|(words, ..)| words.contains(&small.as_str()));
    let help = match tried {
        Some((_, command, does)) => format!("`dryfit {command}` {does}").into(),
        None => {
            did_you_mean(word, commands.iter().copied()).unwrap_or_else(|| "`dryfit --help` lists the commands".into())
        }
    };
    Some(Meant::Tell(format!("there is no command `{word}`; {help}")))
}
