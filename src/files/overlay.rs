//! Texts that were not saved, or not yet, over the files that they stand for.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::{Entry, Files, Kind, Unread, tidy};

/// Texts by the full path of the file that they stand for.
pub type Texts = BTreeMap<PathBuf, String>;

/// Other files, some of them with another text; also such as are not there yet.
///
/// ```
/// use dryfit::files::{Files, Memory, Overlay};
/// use std::path::{Path, PathBuf};
///
/// let saved = Memory::of([("/shop/clip.dryfit", "old")]);
/// let edited = Overlay::over(&saved, [(PathBuf::from("/shop/clip.dryfit"), "new".to_owned())].into());
/// assert_eq!(edited.text(Path::new("/shop/clip.dryfit"), 1000).unwrap(), "new");
/// ```
pub struct Overlay<'f> {
    below: &'f dyn Files,
    texts: Texts,
}

impl<'f> Overlay<'f> {
    /// Over other files.
    #[must_use]
    pub fn over(below: &'f dyn Files, texts: Texts) -> Self {
        Self { below, texts }
    }

    fn own(&self, path: &Path) -> Option<(PathBuf, &String)> {
        let path = self.below.full(path).unwrap_or_else(|_| tidy(path));
        self.texts.get(&path).map(|text| (path, text))
    }
}

impl Files for Overlay<'_> {
    fn kind(&self, path: &Path) -> Kind {
        if self.own(path).is_some() { Kind::File } else { self.below.kind(path) }
    }

    fn full(&self, path: &Path) -> Result<PathBuf, Unread> {
        match self.own(path) {
            Some((full, _)) => Ok(full),
            None => self.below.full(path),
        }
    }

    fn bytes(&self, path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
        match self.own(path) {
            Some((_, text)) if text.len() as u64 > most => Err(Unread::TooLarge(most)),
            Some((_, text)) => Ok(text.clone().into_bytes()),
            None => self.below.bytes(path, most),
        }
    }

    fn list(&self, folder: &Path) -> Result<Vec<Entry>, Unread> {
        let full = self.below.full(folder).unwrap_or_else(|_| tidy(folder));
        let mut entries = self.below.list(folder);
        for path in self.texts.keys().filter(|path| path.parent() == Some(&full)) {
            let Some(name) = path.file_name() else { continue };
            let entry = Entry { name: name.to_owned(), kind: Some(Kind::File) };
            match &mut entries {
                Ok(known) if known.iter().any(|known| known.name == entry.name) => {}
                Ok(known) => known.push(entry),
                missing => *missing = Ok(vec![entry]),
            }
        }
        let mut entries = entries?;
        entries.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(entries)
    }

    fn shown(&self, path: &Path) -> String {
        self.below.shown(path)
    }
}
