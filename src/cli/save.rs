//! Files that a run is asked to write beside its report: each takes the place of its own kind, never of anything else.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use super::write;
use crate::files::special;
use crate::workspace::ENDING;

/// What such a file is.
pub(super) struct Kind {
    /// What every file of the kind begins with; an empty one will do too.
    pub begins: &'static [u8],
    /// `picture`
    pub noun: &'static str,
    /// A name for one.
    pub example: &'static str,
}

/// Writes a file whole or not at all. A file that is there already must be of the same kind. Why not goes after the name.
pub(super) fn save(path: &Path, text: &str, kind: &Kind) -> Result<(), String> {
    refusal(path, kind)?;
    let written = if fs::metadata(path).is_ok() { write::replace(path, text) } else { write::create(path, text) };
    written.map_err(|error| error.to_string())
}

/// Why a path is none for a file of this kind.
pub(super) fn refusal(path: &Path, kind: &Kind) -> Result<(), String> {
    let Kind { begins, noun, example } = kind;
    if path.extension().is_some_and(|ending| ending == ENDING || ending == "yaml") {
        return Err(format!("that name is for a sheet or a pack; choose one like {example}"));
    }
    match fs::metadata(path) {
        Ok(data) if data.is_dir() => Err(format!("it is a folder; name a file like {example}")),
        Ok(data) if !data.is_file() => Err(format!("{}; name a file like {example}", special(data.file_type()))),
        Ok(_) if is_output(path) => Err(format!("the report goes there; name a file like {example}")),
        Ok(data) if data.len() > 0 && !holds(path, begins) => {
            Err(format!("what it holds is no {noun}, and would be lost; name another file"))
        }
        Err(_) if fs::symlink_metadata(path).is_ok() => Err("this link leads nowhere".into()),
        Err(_) => match path.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.is_dir()) {
            Some(folder) => Err(format!("there is no folder {}; make it first", folder.display())),
            None => Ok(()),
        },
        Ok(_) => Ok(()),
    }
}

fn holds(path: &Path, begins: &[u8]) -> bool {
    let mut found = vec![0; begins.len()];
    File::open(path).and_then(|mut file| file.read_exact(&mut found)).is_ok() && found == begins
}

/// Whether a path leads to where standard output goes, as `/dev/stdout` does.
#[cfg(unix)]
fn is_output(path: &Path) -> bool {
    use std::os::fd::AsFd;
    use std::os::unix::fs::MetadataExt;
    let out = std::io::stdout().as_fd().try_clone_to_owned().and_then(|out| File::from(out).metadata());
    out.and_then(|out| Ok((out, fs::metadata(path)?)))
        .is_ok_and(|(out, named)| (out.dev(), out.ino()) == (named.dev(), named.ino()))
}

#[cfg(not(unix))]
fn is_output(_: &Path) -> bool {
    false
}
