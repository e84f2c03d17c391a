//! What several commands share: the sheets that the arguments name, their projects, and from which level on
//! findings count.

use std::path::{Path, PathBuf};

use super::TROUBLE;
use super::foreign;
use super::output::{self, Colour};
use crate::fault::did_you_mean;
use crate::files::{Disk, Files, Unread, decoded};
use crate::rules::{Date, Level, Library};
use crate::syntax::limits::FILE_BYTES;
use crate::workspace::{self, Found, SheetFile, Trouble, Workspace};

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Threshold {
    Note,
    Care,
    Stop,
}

impl Threshold {
    pub(super) fn level(self) -> Level {
        match self {
            Self::Note => Level::Note,
            Self::Care => Level::Care,
            Self::Stop => Level::Stop,
        }
    }
}

/// The disk seen from the folder that the command runs in.
pub(super) fn disk() -> Disk {
    Disk::seen_from(std::env::current_dir().unwrap_or_else(|_| PathBuf::from(".")))
}

pub(super) fn is_stdin(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// What is wrong with a folder that holds no sheet.
pub(super) const EMPTY: &str = "this folder holds no sheets (*.dryfit)";

/// The sheets under the given paths, and what is wrong with those paths; what is left out is told.
pub(super) fn find(files: &dyn Files, paths: &[PathBuf]) -> (Vec<PathBuf>, Vec<Trouble>) {
    troubled(found(files, paths))
}

/// What is under the given paths; what is left out is told.
pub(super) fn found(files: &dyn Files, paths: &[PathBuf]) -> Found {
    let mut all = Found::default();
    // Standard input has its place among the paths.
    for named in paths.chunk_by(|a, b| !is_stdin(a) && !is_stdin(b)) {
        if named.iter().any(|path| is_stdin(path)) {
            all.sheets.extend_from_slice(named);
            continue;
        }
        let found = workspace::find(files, named);
        for path in found.left_out {
            output::talk_of(&path, "left out by an ignore file");
        }
        all.sheets.extend(found.sheets);
        all.trouble.extend(found.trouble);
        all.empty.extend(found.empty);
    }
    let mut seen = std::collections::HashSet::new();
    all.sheets.retain(|path| seen.insert(path.clone()));
    all
}

/// The sheets, and the trouble, to which folders without sheets belong.
pub(super) fn troubled(found: Found) -> (Vec<PathBuf>, Vec<Trouble>) {
    let mut trouble = found.trouble;
    trouble.extend(found.empty.into_iter().map(|path| (path, Unread::Other(EMPTY.to_owned()))));
    (found.sheets, trouble)
}

/// The path that stands for a sheet: standard input goes by a name.
pub(super) fn seen<'p>(path: &'p Path, stdin_name: &'p str) -> &'p Path {
    if is_stdin(path) { Path::new(stdin_name) } else { path }
}

/// A sheet of the workspace, or standard input under its name.
pub(super) fn read<'w>(workspace: &'w Workspace<'_>, path: &Path, stdin_name: &str) -> Result<SheetFile<'w>, Unread> {
    let sheet =
        if is_stdin(path) { workspace.sheet_of(Path::new(stdin_name), stdin()?)? } else { workspace.sheet(path)? };
    only_sheet(sheet)
}

/// What is plainly something else is told in one sentence, not in a finding for each of its lines.
fn only_sheet(sheet: SheetFile<'_>) -> Result<SheetFile<'_>, Unread> {
    match foreign::what_else(&sheet.text, &sheet.path, &sheet.home.library.vocabulary) {
        Some(what) => Err(Unread::Other(what)),
        None => Ok(sheet),
    }
}

/// Reads standard input to its end.
pub(super) fn stdin() -> Result<String, Unread> {
    let read = crate::files::bounded(std::io::stdin(), FILE_BYTES);
    decoded(read.map_err(|error| Unread::Other(error.to_string()))?.ok_or(Unread::TooLarge(FILE_BYTES))?)
}

/// Works on a single sheet with its project. What is in the way is told: the exit code then.
pub(super) fn with_sheet(
    sheet: &Path,
    colour: Colour,
    today: Option<Date>,
    work: impl FnOnce(&SheetFile) -> Result<u8, String>,
) -> u8 {
    let disk = disk();
    let workspace = match Workspace::of(&disk, [sheet], today) {
        Ok(workspace) => workspace,
        Err(error) => {
            output::broken_packs(*error, colour);
            return TROUBLE;
        }
    };
    let read = workspace.sheet(sheet).and_then(only_sheet).map_err(|why| why.to_string());
    let worked = read.and_then(|sheet| work(&sheet));
    worked.unwrap_or_else(|why| {
        output::talk_of(sheet, &why);
        TROUBLE
    })
}

/// What is said of a rule that is named and that there is none of.
pub(super) fn no_rule(library: &Library, name: &str) -> String {
    let help = did_you_mean(name, library.rules.iter().map(|rule| rule.name.as_str()));
    format!("there is no rule `{name}`; {}", help.unwrap_or_else(|| "`dryfit why` lists the rules".into()))
}
