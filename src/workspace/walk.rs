//! Sheets in folders, by the project's own patterns of what to leave out: whoever looks, the same sheets
//! are found.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use ignore::Match;
use ignore::gitignore::{Gitignore, GitignoreBuilder};

use super::folder_of;
use crate::files::{Files, Kind, Unread};
use crate::pack::Project;

/// The files of patterns; what the later ones say goes before what the earlier ones say.
const PATTERNS: [&str; 2] = [".gitignore", ".ignore"];
/// Bytes of a file of patterns.
const PATTERN_BYTES: u64 = 1024 * 1024;

/// A path with what is wrong with it.
pub type Trouble = (PathBuf, String);

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

/// Walks folders; the patterns of each are read once.
pub(super) struct Walker<'f> {
    files: &'f dyn Files,
    /// The ending of what is looked for.
    ending: &'static str,
    patterns: HashMap<PathBuf, Arc<[Gitignore]>>,
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
        sheets.sort();
        sheets
    }

    fn folder(&mut self, folder: &Path, full: &Path, root: &Path, sheets: &mut Vec<PathBuf>) {
        let entries = match self.files.list(folder) {
            Ok(entries) => entries,
            Err(why) => return self.trouble.push((folder.to_path_buf(), why.to_string())),
        };
        let mut inner = Vec::new();
        for entry in entries {
            let is_folder = entry.kind == Some(Kind::Folder);
            let path = folder.join(&entry.name);
            let is_sheet = path.extension().is_some_and(|ending| ending == self.ending);
            let is_hidden = entry.name.as_encoded_bytes().starts_with(b".");
            let inside = full.join(&entry.name);
            if is_hidden || !(is_folder || is_sheet) || self.is_left_out(&inside, is_folder) {
                continue;
            }
            match entry.kind {
                Some(Kind::Folder) => inner.push((path, inside)),
                Some(Kind::File) => sheets.push(path),
                Some(_) => self.trouble.push((path, Unread::NotPlain.to_string())),
                None => self.link(path, root, sheets),
            }
        }
        for (path, inside) in inner {
            self.folder(&path, &inside, root, sheets);
        }
    }

    /// A link that goes by a sheet's name.
    fn link(&mut self, path: PathBuf, root: &Path, sheets: &mut Vec<PathBuf>) {
        match (self.files.kind(&path), self.files.full(&path)) {
            (Kind::Folder, _) => {}
            (_, Err(why)) => self.trouble.push((path, why.to_string())),
            (_, Ok(full)) if !full.starts_with(root) => {
                self.trouble.push((path, "this link leads out of the project".into()));
            }
            (Kind::File, Ok(_)) => sheets.push(path),
            _ => self.trouble.push((path, Unread::NotPlain.to_string())),
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
        around.iter().rev().any(|outer| self.is_left_out(outer, true)) || self.is_left_out(&folder.join(name), false)
    }

    /// What the nearest pattern says that is about a full path.
    fn is_left_out(&mut self, path: &Path, is_folder: bool) -> bool {
        for kind in (0..PATTERNS.len()).rev() {
            for outer in path.ancestors().skip(1) {
                let patterns = self.patterns_of(outer);
                match patterns.get(kind).map_or(Match::None, |patterns| patterns.matched(path, is_folder)) {
                    Match::None => {}
                    Match::Ignore(_) => return true,
                    Match::Whitelist(_) => return false,
                }
            }
        }
        false
    }

    fn patterns_of(&mut self, folder: &Path) -> Arc<[Gitignore]> {
        if let Some(known) = self.patterns.get(folder) {
            return Arc::clone(known);
        }
        let read: Arc<[Gitignore]> = PATTERNS.iter().map(|name| self.read(folder, name)).collect();
        self.patterns.insert(folder.to_path_buf(), Arc::clone(&read));
        read
    }

    /// A file of patterns; where it is there and cannot be read, what it leaves out is not known.
    fn read(&mut self, folder: &Path, name: &str) -> Gitignore {
        let path = folder.join(name);
        let text = match self.files.text(&path, PATTERN_BYTES) {
            Ok(text) => text,
            Err(Unread::Missing) => return Gitignore::empty(),
            Err(why) => {
                self.trouble.push((path, format!("{why}; what it leaves out is not known")));
                return Gitignore::empty();
            }
        };
        let mut patterns = GitignoreBuilder::new(folder);
        for line in text.lines() {
            // A pattern that cannot be read leaves nothing out.
            let _ = patterns.add_line(None, line);
        }
        patterns.build().unwrap_or_else(|_| Gitignore::empty())
    }
}
