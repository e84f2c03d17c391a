//! Each file opened once in a run, so that a run sees one state of each.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::{Entry, Files, Kind, Unread};

/// Other files, of which each is opened at most once.
pub struct Once<'f> {
    below: &'f dyn Files,
    /// By full path.
    read: Mutex<HashMap<PathBuf, Result<Vec<u8>, Unread>>>,
    /// Full paths by the paths that they were asked for by, and by themselves.
    full: Mutex<HashMap<PathBuf, PathBuf>>,
}

impl<'f> Once<'f> {
    /// Over other files.
    #[must_use]
    pub fn over(below: &'f dyn Files) -> Self {
        Self { below, read: Mutex::default(), full: Mutex::default() }
    }

    /// What another thread was adding when it stopped is not in the list: the list is whole.
    fn known(&self) -> MutexGuard<'_, HashMap<PathBuf, PathBuf>> {
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
        if let Some(full) = self.known().get(path) {
            return Ok(full.clone());
        }
        let full = self.below.full(path)?;
        self.known().extend([path, &full].map(|path| (path.to_path_buf(), full.clone())));
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
        self.below.list(folder)
    }

    fn shown(&self, path: &Path) -> String {
        self.below.shown(path)
    }
}
