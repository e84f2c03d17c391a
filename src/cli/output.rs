//! Where and how reports are printed.

use std::io::{self, IsTerminal, Write};
use std::path::Path;

use super::TROUBLE;
use crate::inspect::Inspection;
use crate::pack::PackError;
use crate::report;
use crate::rules::{Basis, Finding, Level};
use crate::source::{printable, printable_line};

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Colour {
    Auto,
    Always,
    Never,
}

impl Colour {
    /// A flag beats `NO_COLOR` beats `CLICOLOR_FORCE` beats what the output is.
    pub(super) fn wanted(self) -> bool {
        let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty() && value != "0");
        match self {
            Self::Always => true,
            Self::Never => false,
            Self::Auto if set("NO_COLOR") => false,
            Self::Auto if set("CLICOLOR_FORCE") => true,
            Self::Auto => io::stdout().is_terminal(),
        }
    }
}

/// The width to draw in: the terminal's, within what reads well.
pub(super) fn width() -> usize {
    let columns = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    columns.unwrap_or(100).clamp(60, 120)
}

/// Prints a report for people: nothing in it rewrites a terminal or turns a line around.
pub(super) fn print(text: &str) -> Result<(), u8> {
    hand_over(&printable(text))
}

/// Prints exactly these bytes: a sheet for whoever reads standard output, or a report that was made safe already.
/// A closed pipe ends the program quietly: whoever closed it has seen enough.
pub(super) fn hand_over(text: &str) -> Result<(), u8> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            talk(&format!("cannot write the output: {error}"));
            Err(TROUBLE)
        }
        _ => Ok(()),
    }
}

/// Says something to the person, not to the data's reader: one line, whatever it is made of.
pub(super) fn talk(text: &str) {
    // Where even this cannot be written, nothing can be told.
    let _ = writeln!(io::stderr(), "dryfit: {}", printable_line(text));
}

/// Says something about a file.
pub(super) fn talk_of(path: &Path, what: &str) {
    talk(&format!("{}: {what}", path.display()));
}

/// Shows what is wrong with a project's packs, drawn like findings in a sheet, and gives them back.
pub(super) fn broken_packs(error: PackError, colour: bool) -> Inspection {
    let findings: Vec<Finding> = error.faults.into_iter().map(|fault| Finding::of_fault(fault, Level::Stop)).collect();
    let count = findings.len();
    let inspection = Inspection { name: "packs".into(), sources: error.sources, findings, basis: Basis::default() };
    let text = if io::stderr().is_terminal() {
        report::terminal(&inspection, colour, width())
    } else {
        report::plain(&inspection)
    };
    let body = text.rsplit_once("packs: ").map_or(text.as_str(), |(body, _)| body);
    let _ = io::stderr().write_all(body.as_bytes());
    let faults = if count == 1 { "1 fault".to_owned() } else { format!("{count} faults") };
    talk(&format!("{faults} in this project's packs; nothing was checked"));
    inspection
}
