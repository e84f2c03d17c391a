//! The built program on files, folders and pipes: what it says, where, and how it exits.

mod bad_input;
mod bench;
mod commands;
mod files;
mod formatting;
mod hostile_text;
mod limits;
mod packs;
mod reports;
