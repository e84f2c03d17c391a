//! The documents are true: commands in the README and in `docs/` run and print what the pages show, and the
//! reference is what the data says. `UPDATE_DOCS=1 cargo test --test docs` writes them anew; read the change.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod demo;
mod grammars;
mod map;
mod pages;
mod prose;
mod reference;
mod schemas;

use std::path::Path;

/// The file must hold this text; with `UPDATE_DOCS` set it is written instead.
fn assert_current(file: &str, wanted: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    if found == wanted {
        return;
    }
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(path, wanted).unwrap();
        return;
    }
    let differs = found.lines().zip(wanted.lines()).position(|(a, b)| a != b).unwrap_or(0);
    panic!(
        "{file} is not current, first in line {}:\n  has   {}\n  wants {}\nrun `UPDATE_DOCS=1 cargo test --test docs` and read the change",
        differs + 1,
        found.lines().nth(differs).unwrap_or("(nothing)"),
        wanted.lines().nth(differs).unwrap_or("(nothing)"),
    );
}
