//! Each file opened once in a run, so that a run sees one state of each.

use std::collections::HashMap;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::{Entry, Files, Kind, Unread};

/// Other files, of which each is opened at most once.
pub struct Once<'f> {
    below: &'f dyn Files,
    /// By full path.
    read: Mutex<HashMap<PathBuf, Result<Vec<u8>, Unread>>>,
    /// Full paths by the paths that they were asked for by, and by themselves, as they are written.
    full: Mutex<HashMap<OsString, PathBuf>>,
}

impl<'f> Once<'f> {
    /// Over other files.
    #[must_use]
    pub fn over(below: &'f dyn Files) -> Self {
        Self { below, read: Mutex::default(), full: Mutex::default() }
    }

    /// What another thread was adding when it stopped is not in the list: the list is whole.
    fn known(&self) -> MutexGuard<'_, HashMap<OsString, PathBuf>> {
        self.full.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The full paths of what was opened so far.
    #[must_use]
    pub fn opened(&self) -> Vec<PathBuf> {
        self.read.lock().unwrap_or_else(PoisonError::into_inner).keys().cloned().collect()
    }
}

impl Files for Once<'_> {
    fn kind(&self, path: &Path) -> Kind {
        self.below.kind(path)
    }

    fn full(&self, path: &Path) -> Result<PathBuf, Unread> {
        if let Some(full) = self.known().get(path.as_os_str()) {
            return Ok(full.clone());
        }
        let full = self.below.full(path)?;
        self.known().extend([path, &full].map(|path| (path.as_os_str().to_owned(), full.clone())));
        Ok(full)
    }

    fn bytes(&self, path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
        let full = self.full(path)?;
        // What another thread was reading when it stopped is not in the list: the list is whole.
        let known = || self.read.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(read) = known().get(&full) {
            return match read {
                Ok(bytes) if bytes.len() as u64 > most => Err(Unread::TooLarge(most)),
                other => other.clone(),
            };
        }
        let read = self.below.bytes(&full, most);
        known().insert(full, read.clone());
        read
    }

    fn list(&self, folder: &Path) -> Result<Vec<Entry>, Unread> {
        let entries = self.below.list(folder)?;
        // What is no link lies in full where its folder does: the system is not asked for each.
        if let Ok(full) = self.full(folder) {
            let plain = entries.iter().filter(|entry| matches!(entry.kind, Some(Kind::File | Kind::Folder)));
            let places = plain.map(|entry| (folder.join(&entry.name), full.join(&entry.name)));
            let mut known = self.known();
            for (path, full) in places {
                if path != full {
                    known.insert(full.as_os_str().to_owned(), full.clone());
                }
                known.insert(path.into_os_string(), full);
            }
        }
        Ok(entries)
    }

    fn shown(&self, path: &Path) -> String {
        self.below.shown(path)
    }
}
