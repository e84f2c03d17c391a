//! Pictures that `--svg` asks for.

use std::path::Path;

use super::save::{self, Kind};

const PICTURE: Kind = Kind { begins: b"<svg", noun: "picture", example: "picture.svg" };

/// Writes a picture whole or not at all. A file that is there already must hold a picture.
pub(super) fn save(path: &Path, picture: &str) -> Result<(), String> {
    save::save(path, picture, &PICTURE).map_err(|why| format!("cannot draw into {}: {why}", path.display()))
}
