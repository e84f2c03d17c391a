//! Files written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use crate::files::{Disk, Files};
use crate::syntax::limits::FILE_BYTES;

/// Puts another text into a sheet, unless somebody else has written there since it was read, or a last look
/// says otherwise.
pub(super) fn exchange(
    disk: &Disk,
    path: &Path,
    (before, after): (&str, &str),
    last_look: impl Fn() -> Result<(), String>,
) -> Result<(), String> {
    unchanged(disk, path, before)?;
    let look = || unchanged(disk, path, before).and_then(|()| last_look()).map_err(io::Error::other);
    put(&disk.from_here(path), after, look).map_err(|error| error.to_string())
}

/// Puts a text in the place of what a file holds, whatever that is.
pub(super) fn replace(path: &Path, text: &str) -> io::Result<()> {
    put(path, text, || Ok(()))
}

fn unchanged(disk: &Disk, path: &Path, before: &str) -> Result<(), String> {
    match disk.text(path, FILE_BYTES) {
        Ok(text) if text == before => Ok(()),
        Ok(_) => Err("it changed meanwhile; run it again".into()),
        Err(why) => Err(why.to_string()),
    }
}

/// Into a new file beside it, then over it in one step, if the last look allows it. A link is
/// followed, so that the file it leads to changes and the link stays. What a process that is killed
/// leaves behind is hidden and has not the ending of a sheet.
fn put(path: &Path, text: &str, last_look: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
    let target = fs::canonicalize(path)?;
    let folder = target.parent().unwrap_or(Path::new("."));
    let data = fs::metadata(&target)?;
    if data.permissions().readonly() {
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file is read-only"));
    }
    let mut file = tempfile::Builder::new().prefix(".dryfit-").tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file().set_permissions(data.permissions())?;
    file.as_file().sync_all()?;
    last_look()?;
    file.persist(&target).map_err(|error| error.error)?;
    Ok(())
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
