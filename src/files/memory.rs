//! Texts in memory: for a page in a browser, and for tests.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::{Entry, Files, Kind, Unread, tidy};

/// Texts by path; the folders are those that the paths name.
///
/// ```
/// use dryfit::files::{Files, Kind, Memory};
/// use std::path::Path;
///
/// let files = Memory::of([("/shop/clip.dryfit", "machine bench\n")]);
/// assert_eq!(files.kind(Path::new("/shop")), Kind::Folder);
/// assert_eq!(files.text(Path::new("/shop/clip.dryfit"), 1000).unwrap(), "machine bench\n");
/// ```
#[derive(Debug, Clone, Default)]
pub struct Memory {
    texts: BTreeMap<PathBuf, String>,
}

impl Memory {
    /// Texts with their paths.
    pub fn of<P: AsRef<Path>, T: Into<String>>(texts: impl IntoIterator<Item = (P, T)>) -> Self {
        Self { texts: texts.into_iter().map(|(path, text)| (tidy(path.as_ref()), text.into())).collect() }
    }
}

impl Files for Memory {
    fn kind(&self, path: &Path) -> Kind {
        let path = tidy(path);
        let is_folder = || self.texts.keys().any(|known| known.starts_with(&path));
        match self.texts.contains_key(&path) {
            true => Kind::File,
            false if is_folder() => Kind::Folder,
            false => Kind::Missing,
        }
    }

    fn full(&self, path: &Path) -> Result<PathBuf, Unread> {
        if self.kind(path) == Kind::Missing { Err(Unread::Missing) } else { Ok(tidy(path)) }
    }

    fn bytes(&self, path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
        match self.texts.get(&tidy(path)) {
            Some(text) if text.len() as u64 > most => Err(Unread::TooLarge(most)),
            Some(text) => Ok(text.clone().into_bytes()),
            None if self.kind(path) == Kind::Folder => Err(Unread::Folder),
            None => Err(Unread::Missing),
        }
    }

    fn list(&self, folder: &Path) -> Result<Vec<Entry>, Unread> {
        let folder = tidy(folder);
        let mut entries: Vec<Entry> = Vec::new();
        for path in self.texts.keys() {
            let Ok(rest) = path.strip_prefix(&folder) else { continue };
            let mut parts = rest.iter();
            let Some(name) = parts.next() else { continue };
            let kind = if parts.next().is_some() { Kind::Folder } else { Kind::File };
            let entry = Entry { name: name.to_owned(), kind: Some(kind) };
            if !entries.contains(&entry) {
                entries.push(entry);
            }
        }
        entries.sort_by(|a, b| a.name.cmp(&b.name));
        if entries.is_empty() { Err(Unread::Missing) } else { Ok(entries) }
    }
}
