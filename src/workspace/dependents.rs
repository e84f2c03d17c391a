//! The sheets of a project that use others: what a mend of those does to them is part of its proof.

use std::collections::{BTreeSet, HashMap};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::SHEET_BYTES;
use super::walk::Walker;
use crate::files::{Files, Kind};
use crate::pack::Project;

/// The sheets of a project that name one of these in their text, or name one that does, each with its text.
/// What cannot be read uses nothing.
pub(super) fn naming(files: &dyn Files, root: &Path, sheets: &[PathBuf]) -> Vec<(PathBuf, String)> {
    let known: BTreeSet<&Path> = sheets.iter().map(PathBuf::as_path).collect();
    let mut own: HashMap<PathBuf, bool> = HashMap::new();
    let mut rest: Vec<(PathBuf, String)> = Vec::new();
    for path in inside(files, root).into_iter().filter(|path| !known.contains(path.as_path())) {
        let Some(folder) = path.parent() else { continue };
        // Folders in a project can be projects of their own.
        let is_own = || folder == root || Project::root_of(files, folder) == root;
        if *own.entry(folder.to_path_buf()).or_insert_with(is_own)
            && let Ok(text) = files.text(&path, SHEET_BYTES)
        {
            rest.push((path, text));
        }
    }
    let mut found: Vec<(PathBuf, String)> = Vec::new();
    let mut named: Vec<String> = sheets.iter().filter_map(|path| name_of(path)).collect();
    while !named.is_empty() {
        let is_meant = |(_, text): &(PathBuf, String)| named.iter().any(|name| names(text, name));
        let (more, left): (Vec<_>, Vec<_>) = rest.into_iter().partition(is_meant);
        named = more.iter().filter_map(|(path, _)| name_of(path)).collect();
        found.extend(more);
        rest = left;
    }
    found
}

/// The full paths of the sheets in a project's folder, and in those below it where it is marked as one.
fn inside(files: &dyn Files, root: &Path) -> Vec<PathBuf> {
    let found = if Project::is_marked(files, root) {
        Walker::new(files).below(root)
    } else {
        let entries = files.list(root).unwrap_or_default().into_iter();
        let paths = entries.map(|entry| root.join(entry.name));
        paths
            .filter(|path| path.extension() == Some(OsStr::new(super::ENDING)) && files.kind(path) == Kind::File)
            .collect()
    };
    let full: BTreeSet<PathBuf> = found.iter().filter_map(|path| files.full(path).ok()).collect();
    full.into_iter().collect()
}

fn name_of(path: &Path) -> Option<String> {
    path.file_name().and_then(OsStr::to_str).map(str::to_owned)
}

/// Whether a text holds a file's name as a path in quotes ends with one.
fn names(text: &str, name: &str) -> bool {
    let begins = |at: usize| text[..at].ends_with(['"', '/', '\\']);
    text.match_indices(name).any(|(at, _)| begins(at))
}
