//! Which sheets a run is about.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use crate::cli::{git, output, sheets};
use crate::files::{Disk, Files, Kind, tidy};
use crate::workspace::{self, ENDING, Trouble};

#[derive(Debug, clap::Args)]
pub(super) struct Choice {
    /// Sheets, folders of sheets, or - for standard input; without any, the folder that you are in
    #[arg(value_name = "PATH")]
    pub(super) paths: Vec<PathBuf>,
    /// Only what has changed since a revision of git (the last commit unless told), and the sheets that use it; of a
    /// branch, since the work left it. Changed settings or packs call for all sheets of their project
    #[arg(long, value_name = "REV", num_args = 0..=1, require_equals = true, default_missing_value = "HEAD")]
    pub(super) changed: Option<String>,
    /// Also the sheets that use the named ones; for named settings or packs, all sheets of their project
    #[arg(long, conflicts_with = "changed")]
    pub(super) users: bool,
    /// A folder without sheets is no mistake
    #[arg(long)]
    pub(super) allow_empty: bool,
}

/// The sheets, and what is wrong with the paths that were named.
pub(super) type Chosen = (Vec<PathBuf>, Vec<Trouble>);

impl Choice {
    /// The sheets in order: those named first, then those that use them.
    ///
    /// Why they cannot be told, in a sentence.
    pub(super) fn sheets(&self, disk: &Disk) -> Result<Chosen, String> {
        let here = [PathBuf::from(".")];
        let paths = if self.paths.is_empty() { &here[..] } else { &self.paths };
        if let Some(revision) = &self.changed {
            return changed(disk, paths, revision);
        }
        let (packs, named): (Vec<PathBuf>, Vec<PathBuf>) =
            paths.iter().cloned().partition(|path| self.users && ends_with(path, "yaml"));
        let mut found = sheets::found(disk, &named);
        if self.allow_empty {
            for path in found.empty.drain(..) {
                output::talk_of(&path, sheets::EMPTY);
            }
        }
        let (mut sheets, trouble) = sheets::troubled(found);
        if self.users {
            let changed: Vec<PathBuf> = sheets.iter().chain(&packs).map(|path| full(disk, path)).collect();
            sheets.extend(workspace::affected(disk, &changed).iter().map(|path| shown(disk, path)));
        }
        if self.paths.is_empty() {
            // Nobody wrote this dot.
            for sheet in &mut sheets {
                *sheet = sheet.strip_prefix(".").unwrap_or(sheet).to_path_buf();
            }
        }
        Ok((sheets, trouble))
    }
}

/// The sheets under the paths that a change since a revision reaches.
fn changed(disk: &Disk, paths: &[PathBuf], revision: &str) -> Result<Chosen, String> {
    let here = disk.from_here(Path::new("."));
    let changed: Vec<PathBuf> = git::changed(&here, revision)?.iter().map(|path| full(disk, path)).collect();
    let under: Vec<PathBuf> = paths.iter().map(|path| full(disk, path)).collect();
    let is_asked = |path: &&PathBuf| under.iter().any(|folder| path.starts_with(folder));
    let is_sheet = |path: &&PathBuf| ends_with(path, ENDING) && disk.kind(path) != Kind::Missing;
    let affected = workspace::affected(disk, &changed);
    let all: BTreeSet<&PathBuf> = changed.iter().filter(is_sheet).chain(&affected).filter(is_asked).collect();
    if all.is_empty() {
        output::talk(&format!("no sheet has changed since {revision}"));
    }
    let named: Vec<PathBuf> = all.into_iter().map(|path| shown(disk, path)).collect();
    Ok(sheets::troubled(sheets::found(disk, &named)))
}

fn ends_with(path: &Path, ending: &str) -> bool {
    path.extension() == Some(OsStr::new(ending))
}

/// The full path also of what is not there any more.
fn full(disk: &Disk, path: &Path) -> PathBuf {
    let beside = || Some(disk.full(&workspace::folder_of(path)).ok()?.join(path.file_name()?));
    disk.full(path).ok().or_else(beside).unwrap_or_else(|| tidy(&disk.from_here(path)))
}

/// As somebody in this folder would name it.
fn shown(disk: &Disk, full: &Path) -> PathBuf {
    disk.shown(full).into()
}
