//! Where and how reports are printed.

use std::io::{self, IsTerminal, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use super::TROUBLE;
use crate::inspect::Inspection;
use crate::pack::PackError;
use crate::report::{self, Look, in_ascii};
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
            Self::Auto => io::stdout().is_terminal() && !is_dumb(),
        }
    }
}

/// How the result of a command other than `inspect` is reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Form {
    Plain,
    Json,
}

/// The width where nobody can be asked for it.
const WIDTH: usize = 80;

/// How reports look here: as wide as `COLUMNS` or the terminal says, in the letters that it can show.
pub(super) fn look(colour: Colour) -> Look {
    let stated = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let asked = || terminal_size::terminal_size_of(io::stdout()).map(|(width, _)| usize::from(width.0));
    let width = stated.or_else(asked).filter(|width| *width > 0).unwrap_or(WIDTH);
    Look { colour: colour.wanted(), ascii: is_ascii_only(), ..Look::of_width(width) }
}

/// A plain terminal, or a locale that is stated and is not UTF-8.
fn is_ascii_only() -> bool {
    let stated = |name: &str| std::env::var(name).ok().filter(|value| !value.is_empty());
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(stated);
    let is_utf8 = |locale: &str| locale.to_lowercase().replace('-', "").contains("utf8");
    is_dumb() || locale.is_some_and(|locale| !is_utf8(&locale))
}

fn is_dumb() -> bool {
    std::env::var_os("TERM").is_some_and(|terminal| terminal == "dumb")
}

/// Prints a report for people: nothing in it rewrites a terminal or turns a line around.
pub(super) fn print(text: &str) -> Result<(), u8> {
    let shown = printable(text);
    hand_over(&if is_ascii_only() { in_ascii(&shown) } else { shown })
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
        Err(_) => {
            CLOSED.store(true, Ordering::Relaxed);
            Ok(())
        }
        Ok(()) => Ok(()),
    }
}

/// Whether whoever read the output has closed it.
static CLOSED: AtomicBool = AtomicBool::new(false);

/// Whether nobody reads the output any more.
pub(super) fn is_closed() -> bool {
    CLOSED.load(Ordering::Relaxed)
}

/// Prints a report as it is; to standard error where standard output is taken by one for programs.
pub(super) fn deliver(text: &str, aside: bool) -> Result<(), u8> {
    if !aside {
        return hand_over(text);
    }
    // Where even this cannot be written, nothing can be told.
    let _ = io::stderr().lock().write_all(text.as_bytes());
    Ok(())
}

/// Says something to the person, not to the data's reader: one line, whatever it is made of.
pub(super) fn talk(text: &str) {
    // Where even this cannot be written, nothing can be told.
    let _ = writeln!(io::stderr(), "dryfit: {}", printable_line(text));
}

/// Says something about a file.
pub(super) fn talk_of(path: &Path, what: impl std::fmt::Display) {
    talk(&format!("{}: {what}", path.display()));
}

/// Shows what is wrong with a project's packs, drawn like findings in a sheet, and gives them back.
pub(super) fn broken_packs(error: PackError, colour: Colour) -> Inspection {
    let inspection = Inspection::of_faults("packs", error.sources, error.faults);
    let count = inspection.findings.len();
    let text = if io::stderr().is_terminal() {
        report::terminal_findings(&inspection, look(colour))
    } else {
        report::plain_findings(&inspection)
    };
    let _ = io::stderr().write_all(text.as_bytes());
    let faults = if count == 1 { "1 fault".to_owned() } else { format!("{count} faults") };
    talk(&format!("{faults} in this project's packs; nothing was checked"));
    inspection
}
