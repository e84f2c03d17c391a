//! The built program on files, folders and pipes: what it says, where, and how it exits.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]
#![allow(clippy::format_collect, reason = "the shortest way to a sheet, and no sheet of a test is long")]

mod bad_input;
mod baseline;
mod bench;
mod brief;
mod broken_packs;
mod changed;
mod commands;
mod contact;
mod drawings;
mod files;
mod fingerprints;
mod formatting;
#[cfg(unix)]
mod hostile_files;
mod hostile_text;
#[cfg(unix)]
mod interrupted;
mod limits;
mod outputs;
mod packs;
mod reports;
mod results;
mod settings;
mod shells;
mod watch;
mod words;
