//! The sheets of a project that use others: what a mend of those does to them is part of its proof.

use std::collections::{BTreeSet, HashMap};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

#[cfg(feature = "cli")]
use rayon::prelude::*;

use super::SHEET_BYTES;
use super::walk::{Trouble, Walker};
use crate::files::Files;
use crate::pack::Project;

/// The sheets of a project that name one of these in their text, or name one that does, each with its text.
/// What cannot be read uses nothing.
pub(super) fn naming(files: &dyn Files, root: &Path, sheets: &[PathBuf]) -> Vec<(PathBuf, String)> {
    let known: BTreeSet<&Path> = sheets.iter().map(PathBuf::as_path).collect();
    let mut own = Own { files, is_repository: !Project::has_settings(files, root), folders: HashMap::new() };
    own.folders.insert(root.to_path_buf(), true);
    let (mut paths, _) = inside(files, root, super::ENDING);
    paths.retain(|path| !known.contains(path.as_path()) && path.parent().is_some_and(|folder| own.has(folder)));
    let mut rest = read(files, paths);
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

/// The folders of a project: those in it can be projects of their own.
struct Own<'f> {
    files: &'f dyn Files,
    /// Whether it is a project for its `.git` alone: then a folder with another one in it is another project.
    is_repository: bool,
    folders: HashMap<PathBuf, bool>,
}

impl Own<'_> {
    fn has(&mut self, folder: &Path) -> bool {
        if let Some(known) = self.folders.get(folder) {
            return *known;
        }
        let is_another = if self.is_repository { Project::is_marked } else { Project::has_settings };
        let has = folder.parent().is_some_and(|outer| self.has(outer)) && !is_another(self.files, folder);
        self.folders.insert(folder.to_path_buf(), has);
        has
    }
}

/// The files with an ending in a project's folder, and in those below it where it is marked as one: each once, by their
/// full paths and in the order of these; and what goes by such a name and cannot be looked at.
pub(super) fn inside(files: &dyn Files, root: &Path, ending: &'static str) -> (Vec<PathBuf>, Vec<Trouble>) {
    let mut walker = Walker::new(files, ending);
    let paths = if Project::is_marked(files, root) { walker.below(root) } else { walker.only_in(root) };
    let mut paths: Vec<PathBuf> = paths.iter().filter_map(|path| files.full(path).ok()).collect();
    paths.sort();
    paths.dedup();
    (paths, walker.trouble)
}

/// The texts that can be read.
fn read(files: &dyn Files, paths: Vec<PathBuf>) -> Vec<(PathBuf, String)> {
    let one = |path: PathBuf| {
        let text = files.text(&path, SHEET_BYTES).ok()?;
        Some((path, text))
    };
    // A large project is read on all cores.
    #[cfg(feature = "cli")]
    if paths.len() >= MANY {
        return paths.into_par_iter().filter_map(one).collect();
    }
    paths.into_iter().filter_map(one).collect()
}

/// Fewer files are read before the threads for it have started.
#[cfg(feature = "cli")]
const MANY: usize = 64;

fn name_of(path: &Path) -> Option<String> {
    path.file_name().and_then(OsStr::to_str).map(str::to_owned)
}

/// Whether a text holds a file's name as a path in quotes ends with one.
fn names(text: &str, name: &str) -> bool {
    let begins = |at: usize| text[..at].ends_with(['"', '/', '\\']);
    text.match_indices(name).any(|(at, _)| begins(at))
}
