//! Where sheets and packs lie: a disk, a few texts in memory, a text that was not saved yet over either.

#[cfg(not(target_family = "wasm"))]
mod disk;
mod memory;
mod once;
mod overlay;

#[cfg(feature = "cli")]
pub(crate) use disk::special;
#[cfg(not(target_family = "wasm"))]
pub use disk::{Disk, bounded};
pub use memory::Memory;
pub use once::Once;
pub use overlay::{Overlay, Texts};

use std::ffi::OsString;
use std::fmt;
use std::path::{Component, Path, PathBuf};

use crate::source::{Place, Source};

/// What a place holds, links followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Kind {
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// A pipe, a device, a socket: reading it could wait for ever.
    Special,
    /// A link that leads nowhere.
    Dangling,
    /// Nothing.
    Missing,
}

/// Something in a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Entry {
    /// Its name there.
    pub name: OsString,
    /// What it is, links not followed: `None` for a link.
    pub kind: Option<Kind>,
}

/// Why a file cannot be read. Its words go after a name and a colon.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unread {
    /// There is nothing there.
    #[error("there is no such file or folder")]
    Missing,
    /// A link is there that leads nowhere.
    #[error("this link leads nowhere")]
    Dangling,
    /// The system refuses it.
    #[error("it may not be read")]
    Forbidden,
    /// A folder.
    #[error("it is a folder; name a file in it")]
    Folder,
    /// A pipe, a device or a socket: this word for it.
    #[error("it is a {0}, not a plain file")]
    Special(&'static str),
    /// A path that goes on below a file of this name.
    #[error("there is no such file: `{0}` is a file, not a folder")]
    BelowFile(String),
    /// It has more bytes than it may have.
    #[error("it is larger than {} MiB", .0 / 1024 / 1024)]
    TooLarge(u64),
    /// Two bytes a letter.
    #[error("it is UTF-16; save it as UTF-8")]
    Utf16,
    /// A byte, counted from 1, is zero.
    #[error("it is not text: byte {0} is zero")]
    NotText(usize),
    /// Line and column of what is no UTF-8.
    #[error("it is not UTF-8 text: line {0}, column {1} cannot be read; save it as UTF-8")]
    NotUtf8(usize, usize),
    /// A link whose end is no part of the project that it lies in.
    #[error("this link leads out of the project")]
    LeadsOut,
    /// Something else is where a folder is meant.
    #[error("it is no folder")]
    NoFolder,
    /// A file of patterns that cannot be read.
    #[error("{0}; what it leaves out is not known")]
    Patterns(Box<Self>),
    /// The project that a sheet belongs to is none that the workspace was made for.
    #[error("its project was not read")]
    NoProject,
    /// What the system, or who asked for the file, says.
    #[error("{0}")]
    Other(String),
}

/// A place that sheets and packs can be read from.
///
/// Paths are full or relative to where the reader is. Several threads may read at once.
pub trait Files: Send + Sync {
    /// What a path leads to.
    fn kind(&self, path: &Path) -> Kind;

    /// The path without links and dots.
    ///
    /// # Errors
    /// Where nothing is there, or it may not be looked at.
    fn full(&self, path: &Path) -> Result<PathBuf, Unread>;

    /// The bytes of a plain file, if they are at most so many.
    ///
    /// # Errors
    /// Where it is no plain file, too large, or cannot be read. It never waits for somebody to write.
    fn bytes(&self, path: &Path, most: u64) -> Result<Vec<u8>, Unread>;

    /// What lies in a folder, by name.
    ///
    /// # Errors
    /// Where it is no folder, or may not be looked into.
    fn list(&self, folder: &Path) -> Result<Vec<Entry>, Unread>;

    /// A full path as reports show it.
    fn shown(&self, path: &Path) -> String {
        path.display().to_string()
    }

    /// The text of a plain file, if it has at most so many bytes.
    ///
    /// # Errors
    /// As [`Files::bytes`], and where it is no UTF-8 text.
    fn text(&self, path: &Path, most: u64) -> Result<String, Unread> {
        decoded(self.bytes(path, most)?)
    }
}

impl fmt::Debug for dyn Files + '_ {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Files")
    }
}

/// Bytes as the text that they are.
///
/// # Errors
/// Where they are no UTF-8, or hold a zero.
pub fn decoded(bytes: Vec<u8>) -> Result<String, Unread> {
    if is_utf16(&bytes) {
        return Err(Unread::Utf16);
    }
    // Whether there is one is seen many times quicker than where.
    if bytes.contains(&0)
        && let Some(at) = bytes.iter().position(|byte| *byte == 0)
    {
        return Err(Unread::NotText(at + 1));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = String::from_utf8_lossy(&error.as_bytes()[..good]);
        let Place { line, column } = Source::new("", before).place(u32::MAX);
        Unread::NotUtf8(line, column)
    })
}

/// Whether a text begins as UTF-16 does: with its mark, or with two plain letters that have a zero each beside them.
fn is_utf16(bytes: &[u8]) -> bool {
    match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => true,
        [a, 0, b, 0, ..] | [0, a, 0, b, ..] => *a != 0 && *b != 0,
        _ => false,
    }
}

/// A path whose dots are worked out, without a look at any file.
#[must_use]
pub fn tidy(path: &Path) -> PathBuf {
    let mut clean = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => _ = clean.pop(),
            Component::CurDir => {}
            other => clean.push(other),
        }
    }
    clean
}
