//! Sheets in folders, by the project's own patterns of what to leave out: whoever looks, the same sheets
//! are found.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::folder_of;
use super::patterns::{self, Patterns};
use crate::files::{Files, Kind, Unread};
use crate::pack::Project;

/// A path with what is wrong with it.
pub type Trouble = (PathBuf, Unread);

/// What was found under paths that somebody named.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct Found {
    /// The sheets: files in the order of the paths, those of a folder by name, each once.
    pub sheets: Vec<PathBuf>,
    /// Named sheets that a file of patterns leaves out.
    pub left_out: Vec<PathBuf>,
    /// Folders without any sheet.
    pub empty: Vec<PathBuf>,
    /// What cannot be looked at. A sheet that was not checked must not look like one that was.
    pub trouble: Vec<Trouble>,
}

/// What binds the things in a folder: for each of [`patterns::NAMES`] the folder's own file first, then those of the folders
/// around it, as far as there are any.
type Binding = Arc<[Vec<Arc<Patterns>>; patterns::NAMES.len()]>;

/// Walks folders; the patterns of each are read once.
pub(super) struct Walker<'f> {
    files: &'f dyn Files,
    /// The ending of what is looked for.
    ending: &'static str,
    patterns: HashMap<PathBuf, Binding>,
    pub(super) trouble: Vec<Trouble>,
}

impl<'f> Walker<'f> {
    pub(super) fn new(files: &'f dyn Files, ending: &'static str) -> Self {
        Self { files, ending, patterns: HashMap::new(), trouble: Vec::new() }
    }

    /// The sheets below a folder, named from it. What cannot be looked into, and links out of the
    /// project, are trouble.
    pub(super) fn below(&mut self, folder: &Path) -> Vec<PathBuf> {
        let Ok(full) = self.files.full(folder) else { return Vec::new() };
        let root = Project::root_of(self.files, folder);
        let mut sheets = Vec::new();
        self.folder(folder, &full, &root, &mut sheets);
        sheets
    }

    /// Those in a folder itself, which is no project's.
    pub(super) fn only_in(&mut self, folder: &Path) -> Vec<PathBuf> {
        let named =
            self.files.list(folder).unwrap_or_default().into_iter().map(|entry| (folder.join(entry.name), entry.kind));
        let is_meant = |(path, _): &(PathBuf, _)| path.extension().is_some_and(|ending| ending == self.ending);
        let mut sheets = Vec::new();
        for (path, kind) in named.filter(is_meant).collect::<Vec<_>>() {
            if kind != Some(Kind::Folder) {
                self.file(path, kind, folder, &mut sheets);
            }
        }
        sheets
    }

    fn folder(&mut self, folder: &Path, full: &Path, root: &Path, sheets: &mut Vec<PathBuf>) {
        let entries = match self.files.list(folder) {
            Ok(entries) => entries,
            Err(why) => return self.trouble.push((folder.to_path_buf(), why)),
        };
        let patterns = self.patterns_in(full);
        for entry in entries {
            let is_folder = entry.kind == Some(Kind::Folder);
            let is_sheet = Path::new(&entry.name).extension().is_some_and(|ending| ending == self.ending);
            let is_hidden = entry.name.as_encoded_bytes().starts_with(b".");
            if is_hidden || !(is_folder || is_sheet) {
                continue;
            }
            let (path, inside) = (folder.join(&entry.name), full.join(&entry.name));
            if is_left_out(&patterns, &inside, is_folder) {
                continue;
            }
            // In the order of their names, so that all paths come in theirs.
            match entry.kind {
                Some(Kind::Folder) => self.folder(&path, &inside, root, sheets),
                kind => self.file(path, kind, root, sheets),
            }
        }
    }

    /// What goes by a sheet's name and is no folder.
    fn file(&mut self, path: PathBuf, kind: Option<Kind>, root: &Path, sheets: &mut Vec<PathBuf>) {
        match kind {
            Some(Kind::File) => sheets.push(path),
            Some(_) => self.special(path),
            None => self.link(path, root, sheets),
        }
    }

    /// A link that goes by a sheet's name.
    fn link(&mut self, path: PathBuf, root: &Path, sheets: &mut Vec<PathBuf>) {
        match (self.files.kind(&path), self.files.full(&path)) {
            (Kind::Folder, _) => {}
            (_, Err(why)) => self.trouble.push((path, why)),
            (_, Ok(full)) if !full.starts_with(root) => self.trouble.push((path, Unread::LeadsOut)),
            (Kind::File, Ok(_)) => sheets.push(path),
            _ => self.special(path),
        }
    }

    /// What is no file: the reader says which.
    fn special(&mut self, path: PathBuf) {
        if let Err(why) = self.files.bytes(&path, 0) {
            self.trouble.push((path, why));
        }
    }

    /// Whether a file that was named is left out: hooks name files one by one, and patterns bind them too,
    /// as do those of the folders around them up to the project's.
    pub(super) fn leaves_out(&mut self, path: &Path) -> bool {
        let Ok(folder) = self.files.full(&folder_of(path)) else { return false };
        let Some(name) = path.file_name() else { return false };
        let root = Project::root_of(self.files, &folder);
        let around: Vec<&Path> =
            folder.ancestors().take_while(|outer| *outer != root && outer.starts_with(&root)).collect();
        around.iter().rev().any(|outer| self.leaves_out_folder(outer))
            || is_left_out(&self.patterns_in(&folder), &folder.join(name), false)
    }

    fn leaves_out_folder(&mut self, folder: &Path) -> bool {
        folder.parent().is_some_and(|outer| is_left_out(&self.patterns_in(outer), folder, true))
    }

    fn patterns_in(&mut self, folder: &Path) -> Binding {
        if let Some(known) = self.patterns.get(folder) {
            return Arc::clone(known);
        }
        let mut binding = folder.parent().map(|outer| self.patterns_in(outer)).unwrap_or_default();
        for (kind, name) in patterns::NAMES.iter().enumerate() {
            if let Some(text) = self.read(folder, name) {
                Arc::make_mut(&mut binding)[kind].insert(0, Arc::new(Patterns::new(folder, text)));
            }
        }
        self.patterns.insert(folder.to_path_buf(), Arc::clone(&binding));
        binding
    }

    /// A file of patterns; where it is there and cannot be read, what it leaves out is not known.
    fn read(&mut self, folder: &Path, name: &str) -> Option<String> {
        let path = folder.join(name);
        // Most folders have none, and a look tells that sooner than an attempt to read it.
        if self.files.kind(&path) == Kind::Missing {
            return None;
        }
        match self.files.text(&path, patterns::BYTES) {
            Ok(text) => Some(text),
            Err(why) => {
                self.trouble.push((path, Unread::Patterns(why.into())));
                None
            }
        }
    }
}

/// What the nearest pattern says that is about a full path, of those in its folder.
fn is_left_out(binding: &Binding, path: &Path, is_folder: bool) -> bool {
    binding.iter().rev().flatten().find_map(|patterns| patterns.leave_out(path, is_folder)).unwrap_or(false)
}
