//! Pictures that `--svg` asks for: they take the place of a picture, never of anything else.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use super::write;
use crate::workspace::ENDING;

/// What every picture of ours begins with.
const BEGINS: &[u8] = b"<svg";

/// Writes a picture whole or not at all. A file that is there already must hold a picture.
pub(super) fn save(path: &Path, picture: &str) -> Result<(), String> {
    let refused = |why: &str| Err(format!("cannot draw into {}: {why}", path.display()));
    if path.extension().is_some_and(|ending| ending == ENDING || ending == "yaml") {
        return refused("that name is for a sheet or a pack; choose one like picture.svg");
    }
    match fs::metadata(path) {
        Ok(data) if !data.is_file() => return refused("it is no plain file; name a file like picture.svg"),
        Ok(_) if is_output(path) => return refused("the report goes there; name a file like picture.svg"),
        Ok(data) if data.len() > 0 && !holds_picture(path) => {
            return refused("what it holds is no picture, and would be lost; name another file");
        }
        Ok(_) => write::replace(path, picture),
        Err(_) if fs::symlink_metadata(path).is_ok() => return refused("this link leads nowhere"),
        Err(_) => write::create(path, picture),
    }
    .or_else(|error| refused(&error.to_string()))
}

fn holds_picture(path: &Path) -> bool {
    let mut begins = [0; BEGINS.len()];
    File::open(path).and_then(|mut file| file.read_exact(&mut begins)).is_ok() && begins == BEGINS
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
