//! The sheets of a project that use others: what a mend of those does to them is part of its proof.

use std::collections::BTreeSet;
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
    let others = inside(files, root).into_iter();
    let others = others.filter(|path| !known.contains(path.as_path()) && in_project(files, path, root));
    let mut rest: Vec<(PathBuf, String)> =
        others.filter_map(|path| Some((path.clone(), files.text(&path, SHEET_BYTES).ok()?))).collect();
    let mut found: Vec<(PathBuf, String)> = Vec::new();
    let mut named: Vec<String> = sheets.iter().filter_map(|path| name_of(path)).collect();
    while !named.is_empty() {
        let is_meant = |(_, text): &(PathBuf, String)| named.iter().any(|name| text.contains(name.as_str()));
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

/// Folders in a project can be projects of their own.
fn in_project(files: &dyn Files, path: &Path, root: &Path) -> bool {
    path.parent().is_some_and(|folder| folder == root || Project::root_of(files, folder) == root)
}
