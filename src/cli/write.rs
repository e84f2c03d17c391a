//! Files written whole or not at all.

use std::ffi::OsStr;
use std::fs::{self, File, Metadata};
use std::io::{self, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use super::output::talk_of;
use crate::files::{Disk, Files};
use crate::syntax::limits::FILE_BYTES;

/// The names of files that are not whole yet: hidden, and without the ending of a sheet.
const BEGINS: &str = ".dryfit-";
const ENDS: &str = ".part";

/// Puts another text into a sheet, unless somebody else has written there since it was read, or a last look
/// says otherwise. What could not be kept of the file is told.
pub(super) fn exchange(
    disk: &Disk,
    path: &Path,
    (before, after): (&str, &str),
    last_look: impl Fn() -> Result<(), String>,
) -> Result<(), String> {
    unchanged(disk, path, before)?;
    let look = || unchanged(disk, path, before).and_then(|()| last_look()).map_err(io::Error::other);
    let lost = put(&disk.from_here(path), after, look).map_err(|error| error.to_string())?;
    tell(path, &lost);
    Ok(())
}

/// Puts a text in the place of what a file holds, whatever that is.
pub(super) fn replace(path: &Path, text: &str) -> io::Result<()> {
    put(path, text, || Ok(())).map(|lost| tell(path, &lost))
}

fn tell(path: &Path, lost: &[String]) {
    for what in lost {
        talk_of(path, what);
    }
}

/// Makes a file that was not there.
pub(super) fn create(path: &Path, text: impl AsRef<[u8]>) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let file = part(folder, text.as_ref())?;
    file.as_file().sync_all()?;
    file.persist_noclobber(path).map_err(|error| error.error)?;
    sync(folder);
    Ok(())
}

fn unchanged(disk: &Disk, path: &Path, before: &str) -> Result<(), String> {
    match disk.text(path, FILE_BYTES) {
        Ok(text) if text == before => Ok(()),
        Ok(_) => Err("it changed meanwhile; run it again".into()),
        Err(why) => Err(why.to_string()),
    }
}

/// Into a new file beside it, then over it in one step, if the last look allows it. A link is followed, so that the
/// file it leads to changes and the link stays. Gives back what of the old file the new one has not.
fn put(path: &Path, text: &str, last_look: impl FnOnce() -> io::Result<()>) -> io::Result<Vec<String>> {
    let target = fs::canonicalize(path)?;
    let folder = target.parent().unwrap_or(Path::new("."));
    let data = fs::metadata(&target)?;
    if data.permissions().readonly() {
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file is read-only"));
    }
    let file = part(folder, text.as_bytes())?;
    let lost = keep(&target, &data, file.as_file());
    // After the owner, whose change takes some of them away.
    file.as_file().set_permissions(data.permissions())?;
    file.as_file().sync_all()?;
    last_look()?;
    file.persist(&target).map_err(|error| error.error)?;
    sync(folder);
    Ok(lost)
}

/// A file that is not whole yet, with a text in it. Whoever writes one holds a lock on it; what a process that was
/// killed has left has none, and is cleared away by the next.
fn part(folder: &Path, text: &[u8]) -> io::Result<NamedTempFile> {
    clear(folder);
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let builder = builder.prefix(BEGINS).suffix(ENDS);
    let mut file = builder.tempfile_in(folder)?;
    // Where a folder knows no locks, nothing can be cleared away either.
    let _ = file.as_file().try_lock();
    if !file.path().exists() {
        // Somebody cleared it away before it was locked.
        file = builder.tempfile_in(folder)?;
        let _ = file.as_file().try_lock();
    }
    file.write_all(text)?;
    Ok(file)
}

fn clear(folder: &Path) {
    let is_part = |name: &OsStr| {
        let name = name.as_encoded_bytes();
        name.starts_with(BEGINS.as_bytes()) && name.ends_with(ENDS.as_bytes())
    };
    for entry in fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok) {
        let is_plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        if !is_plain || !is_part(&entry.file_name()) {
            continue;
        }
        // What cannot be opened or taken away is somebody else's.
        if let Ok(file) = File::options().write(true).open(entry.path())
            && file.try_lock().is_ok()
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Gives a new file the old one's owner and attributes; what it cannot have is said.
#[cfg(unix)]
fn keep(old: &Path, data: &Metadata, new: &File) -> Vec<String> {
    use std::os::unix::fs::{MetadataExt, fchown};
    use xattr::FileExt;
    let mut lost = Vec::new();
    let is_owned = new.metadata().is_ok_and(|new| (new.uid(), new.gid()) == (data.uid(), data.gid()));
    if !is_owned && fchown(new, Some(data.uid()), Some(data.gid())).is_err() {
        lost.push("written, but its owner or group could not be kept".into());
    }
    for name in xattr::list(old).into_iter().flatten() {
        let kept = xattr::get(old, &name).and_then(|value| value.map_or(Ok(()), |value| new.set_xattr(&name, &value)));
        // Those of the system itself, such as labels, come with the folder.
        if kept.is_err() && name.as_encoded_bytes().starts_with(b"user.") {
            lost.push(format!("written, but its attribute {} could not be kept", name.display()));
        }
    }
    if data.nlink() > 1 {
        lost.push("written, but another name of this file, a hard link, still holds the old text".into());
    }
    lost
}

#[cfg(not(unix))]
fn keep(_: &Path, _: &Metadata, _: &File) -> Vec<String> {
    Vec::new()
}

/// So that the new file is found after a power cut. The text is in place already: not every system can do it.
fn sync(folder: &Path) {
    #[cfg(unix)]
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
    #[cfg(not(unix))]
    let _ = folder;
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop where it fails")]
mod tests {
    use super::{Disk, exchange, fs, io, put};

    #[test]
    fn what_somebody_else_wrote_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.dryfit");
        let disk = Disk::seen_from(folder.path());
        fs::write(&path, "theirs").unwrap();
        let refused = exchange(&disk, &path, ("as it was read", "ours"), || Ok(())).unwrap_err();
        assert!(refused.contains("changed meanwhile"), "{refused}");
        assert_eq!(fs::read_to_string(&path).unwrap(), "theirs");
        fs::remove_file(&path).unwrap();
        assert!(
            exchange(&disk, &path, ("as it was read", "ours"), || Ok(())).is_err(),
            "a file that is gone stays gone"
        );
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    /// The last look comes when the new text is written whole, and nothing but the exchange is left.
    #[test]
    fn the_last_look_is_right_before_the_exchange() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.dryfit");
        fs::write(&path, "old").unwrap();
        let look = || {
            let mut texts: Vec<String> = Vec::new();
            for entry in fs::read_dir(folder.path()).unwrap() {
                texts.push(fs::read_to_string(entry.unwrap().path()).unwrap());
            }
            texts.sort();
            assert_eq!(texts, ["new", "old"]);
            Err(io::Error::other("no"))
        };
        assert!(put(&path, "new", look).is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
