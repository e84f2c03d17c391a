//! Where and how reports are printed.

use std::io::{self, IsTerminal, Write};

use super::TROUBLE;
use crate::inspect::Inspection;
use crate::pack::PackError;
use crate::report;
use crate::rules::{Finding, Level};

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

/// Prints data. A closed pipe ends the program quietly: whoever closed it has seen enough.
pub(super) fn print(text: &str) -> Result<(), u8> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            talk(&format!("cannot write the output: {error}"));
            Err(TROUBLE)
        }
        _ => Ok(()),
    }
}

/// Says something to the person, not to the data's reader.
pub(super) fn talk(text: &str) {
    // Where even this cannot be written, nothing can be told.
    let _ = writeln!(io::stderr(), "dryfit: {}", crate::source::printable(text));
}

/// Says something about a file, whatever its name is made of.
pub(super) fn talk_of(path: &std::path::Path, what: &str) {
    talk(&format!("{}: {what}", crate::source::printable_line(&path.display().to_string())));
}

/// Writes a file of ours whole or not at all; one that stands there already is replaced.
pub(super) fn save(path: &std::path::Path, text: &str) -> Result<(), String> {
    let written = if path.exists() {
        super::write::replace(path, text)
    } else {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(std::path::Path::new("."));
        new_file(folder).and_then(|mut file| {
            file.write_all(text.as_bytes())?;
            file.persist(path).map(|_| ()).map_err(|error| error.error)
        })
    };
    written.map_err(|error| format!("cannot write {}: {error}", path.display()))
}

/// A file beside the one that is to be, readable like any other new file.
fn new_file(folder: &std::path::Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    let builder = {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666))
    };
    builder.prefix(".dryfit-").tempfile_in(folder)
}

/// Shows what is wrong with a project's packs, drawn like findings in a sheet, and gives them back.
pub(super) fn broken_packs(error: PackError, colour: bool) -> Inspection {
    let findings: Vec<Finding> = error.faults.into_iter().map(|fault| Finding::of_fault(fault, Level::Stop)).collect();
    let count = findings.len();
    let inspection = Inspection { name: "packs".into(), sources: error.sources, findings };
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
