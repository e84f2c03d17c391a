//! `dryfit format`

use std::path::{Path, PathBuf};

use super::output::{hand_over, talk, talk_of};
use super::write::exchange;
use super::{FINDINGS, GO, TROUBLE, sheets};
use crate::files::{Disk, Files};
use crate::inspect::Inspection;
use crate::report;
use crate::source::{Source, Sources};
use crate::syntax;
use crate::syntax::limits::FILE_BYTES;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Sheets, folders of sheets, or - to read standard input and write standard output
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// Change nothing; exit with 1 if a sheet is not in its tidy form
    #[arg(long)]
    check: bool,
}

pub(super) fn run(arguments: &Arguments) -> u8 {
    let disk = sheets::disk();
    let (sheets, trouble) = sheets::find(&disk, &arguments.paths);
    let mut code = GO;
    for (path, why) in trouble {
        talk_of(&path, &why);
        code = TROUBLE;
    }
    for sheet in sheets {
        code = code.max(one(&disk, &sheet, arguments.check));
    }
    code
}

fn one(disk: &Disk, path: &Path, check: bool) -> u8 {
    let is_stdin = sheets::is_stdin(path);
    let text = if is_stdin { sheets::stdin() } else { disk.text(path, FILE_BYTES) };
    let text = match text {
        Ok(text) => text,
        Err(why) => {
            talk_of(path, why);
            return TROUBLE;
        }
    };
    if let Some(faults) = faults(path, &text) {
        talk_of(path, "left as it is, because it cannot be read whole");
        for fault in faults.lines() {
            talk(fault);
        }
        return TROUBLE;
    }
    let tidy = syntax::format::tidy(&text);
    match (check, is_stdin) {
        (false, true) => hand_over(&tidy).map_or_else(|code| code, |()| GO),
        _ if tidy == text => GO,
        (true, _) => {
            talk_of(path, "not in its tidy form");
            FINDINGS
        }
        (false, false) => match exchange(disk, path, (&text, &tidy), || Ok(())) {
            Ok(()) => GO,
            Err(error) => {
                talk_of(path, format!("left as it is: {error}"));
                TROUBLE
            }
        },
    }
}

/// The lines that cannot be read, one a line.
fn faults(path: &Path, text: &str) -> Option<String> {
    let mut sources = Sources::new();
    let id = sources.add(Source::new(path.display().to_string(), text));
    let (_, faults) = syntax::sheet(sources.get(id), id);
    if faults.is_empty() {
        return None;
    }
    Some(report::finding_lines(&Inspection::of_faults(&path.display().to_string(), sources, faults)))
}
