//! Files that an editor is sent to look at, in a folder that goes when the conversation ends.

use std::io::{self, Write};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use super::address::address_of;

/// The folder, made when it is first needed.
#[derive(Debug, Default)]
pub(super) struct Scratch(Mutex<Folder>);

#[derive(Debug, Default)]
enum Folder {
    #[default]
    NotYet,
    Here(tempfile::TempDir),
    Gone,
}

impl Scratch {
    /// The address of a file of some name; its text is made only where the file is not there yet.
    pub(super) fn once(&self, name: &str, text: impl FnOnce() -> String) -> io::Result<String> {
        let path = self.folder()?.join(name);
        if path.exists() { Ok(address_of(&path)) } else { self.anew(name, &text()) }
    }

    /// The address of a file with this text, whatever was there.
    pub(super) fn anew(&self, name: &str, text: &str) -> io::Result<String> {
        let folder = self.folder()?;
        // Whole or not at all: an editor may be reading the one before.
        let mut file = tempfile::NamedTempFile::new_in(&folder)?;
        file.write_all(text.as_bytes())?;
        let path = folder.join(name);
        file.persist(&path)?;
        Ok(address_of(&path))
    }

    /// Takes the folder away; from now on nothing is kept, whoever is still at work.
    pub(super) fn end(&self) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Folder::Gone;
    }

    fn folder(&self) -> io::Result<PathBuf> {
        let mut folder = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Folder::NotYet = *folder {
            *folder = Folder::Here(tempfile::Builder::new().prefix("dryfit-").tempdir()?);
        }
        match &*folder {
            Folder::Here(folder) => Ok(folder.path().to_path_buf()),
            _ => Err(io::ErrorKind::NotFound.into()),
        }
    }
}
