//! What lies in a folder of packs, and what may lie in its place.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::yaml::FILE_BYTES;
use crate::files::{Files, Kind, Unread};

/// The YAML files of a pack folder, in order of their names; also what goes by such a name and can be no file,
/// so that it is not passed over in silence. Hidden files are other programs' settings. Without a folder there are none.
///
/// What is in the place of the folder, in words.
pub(super) fn packs_in(files: &dyn Files, folder: &Path) -> Result<Vec<PathBuf>, Unread> {
    let entries = match files.list(folder) {
        Ok(entries) => entries,
        Err(Unread::Missing) => return Ok(Vec::new()),
        Err(_) if is_program(files, folder) => return Ok(Vec::new()),
        Err(why @ (Unread::Dangling | Unread::Forbidden)) => return Err(why),
        Err(_) => return Err(Unread::NoFolder),
    };
    let is_hidden = |name: &OsStr| name.as_encoded_bytes().starts_with(b".");
    let seen = entries.into_iter().map(|entry| entry.name).filter(|name| !is_hidden(name));
    let named = seen.map(|name| folder.join(name));
    let is_pack = |path: &PathBuf| path.extension().is_some_and(|ending| ending == "yaml");
    Ok(named.filter(|path| is_pack(path) && files.kind(path) != Kind::Folder).collect())
}

/// Whether a file in the place of a pack folder is a program, such as this one: what is no text, or a script.
fn is_program(files: &dyn Files, path: &Path) -> bool {
    let is_script = |text: String| text.starts_with("#!");
    files.kind(path) == Kind::File && files.text(path, FILE_BYTES).map_or(true, is_script)
}
