//! Files on a disk, seen from a folder.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::{Entry, Files, Kind, Unread};

/// The disk; relative paths start from a folder, and reports show what lies below it from there.
#[derive(Debug, Clone)]
pub struct Disk {
    here: PathBuf,
    /// The same without links.
    full: PathBuf,
}

impl Disk {
    /// The disk seen from a folder.
    #[must_use]
    pub fn seen_from(here: impl Into<PathBuf>) -> Self {
        let here = here.into();
        let full = fs::canonicalize(&here).unwrap_or_else(|_| here.clone());
        Self { here, full }
    }

    /// The path that the system is asked for.
    #[must_use]
    pub fn from_here(&self, path: &Path) -> PathBuf {
        self.here.join(path)
    }
}

impl Files for Disk {
    fn kind(&self, path: &Path) -> Kind {
        let path = self.from_here(path);
        // Most of what is asked for is not there, and most of the rest is no link: the system is asked once for these.
        let Ok(data) = fs::symlink_metadata(&path) else {
            // Also what may not be looked at: whoever reads it is told.
            return Kind::Missing;
        };
        let data = if data.is_symlink() { fs::metadata(&path) } else { Ok(data) };
        match data {
            Ok(data) if data.is_file() => Kind::File,
            Ok(data) if data.is_dir() => Kind::Folder,
            Ok(_) => Kind::Special,
            Err(_) => Kind::Dangling,
        }
    }

    fn full(&self, path: &Path) -> Result<PathBuf, Unread> {
        let path = self.from_here(path);
        fs::canonicalize(&path).map_err(|error| reason(&path, &error))
    }

    fn bytes(&self, path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
        let path = self.from_here(path);
        let failed = |error: &io::Error| reason(&path, error);
        // Before it is opened: a pipe would keep us waiting for somebody to write.
        let data = fs::metadata(&path).map_err(|error| failed(&error))?;
        if !data.is_file() {
            return Err(if data.is_dir() { Unread::Folder } else { special(data.file_type()) });
        }
        let file = fs::File::open(&path).map_err(|error| failed(&error))?;
        if data.len() > most {
            return Err(Unread::TooLarge(most));
        }
        // Room for all of it and the byte that would be too many: one read, and one that finds the end.
        let room = usize::try_from(data.len()).unwrap_or(0).saturating_add(1);
        into(Vec::with_capacity(room), file, most).map_err(|error| failed(&error))?.ok_or(Unread::TooLarge(most))
    }

    fn list(&self, folder: &Path) -> Result<Vec<Entry>, Unread> {
        let folder = self.from_here(folder);
        let failed = |error: io::Error| reason(&folder, &error);
        let mut entries = Vec::new();
        for entry in fs::read_dir(&folder).map_err(failed)? {
            let entry = entry.map_err(failed)?;
            let kind = match entry.file_type() {
                Ok(kind) if kind.is_symlink() => None,
                Ok(kind) if kind.is_file() => Some(Kind::File),
                Ok(kind) if kind.is_dir() => Some(Kind::Folder),
                _ => Some(Kind::Special),
            };
            entries.push(Entry { name: entry.file_name(), kind });
        }
        entries.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(entries)
    }

    fn shown(&self, path: &Path) -> String {
        match path.strip_prefix(&self.full) {
            Ok(here) if here.as_os_str().is_empty() => ".".into(),
            Ok(below) => below.display().to_string(),
            Err(_) => path.display().to_string(),
        }
    }
}

/// All of an input, or `None` where it is longer than so many bytes.
///
/// # Errors
/// Where it cannot be read.
pub fn bounded(input: impl Read, most: u64) -> io::Result<Option<Vec<u8>>> {
    into(Vec::new(), input, most)
}

fn into(mut bytes: Vec<u8>, input: impl Read, most: u64) -> io::Result<Option<Vec<u8>>> {
    input.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= most).then_some(bytes))
}

fn is_link(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|data| data.is_symlink())
}

/// Why what is neither file nor folder is not read or written.
#[cfg(unix)]
pub(crate) fn special(kind: fs::FileType) -> Unread {
    use std::os::unix::fs::FileTypeExt;
    Unread::Special(match kind {
        kind if kind.is_fifo() => "pipe",
        kind if kind.is_socket() => "socket",
        _ => "device",
    })
}

/// Why what is neither file nor folder is not read or written.
#[cfg(not(unix))]
pub(crate) fn special(_: fs::FileType) -> Unread {
    Unread::Special("device")
}

fn reason(path: &Path, error: &io::Error) -> Unread {
    match error.kind() {
        io::ErrorKind::NotFound if is_link(path) => Unread::Dangling,
        io::ErrorKind::NotFound => Unread::Missing,
        io::ErrorKind::NotADirectory => path
            .ancestors()
            .skip(1)
            .find(|above| above.is_file())
            .and_then(Path::file_name)
            .map_or(Unread::NoFolder, |file| Unread::BelowFile(file.to_string_lossy().into_owned())),
        io::ErrorKind::PermissionDenied => Unread::Forbidden,
        _ => Unread::Other(error.to_string()),
    }
}
