//! The reader and the formatter over texts that nobody thought of.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]
#![allow(clippy::format_collect, reason = "the shortest way to a sheet, and no sheet of a test is long")]

mod any_text;
mod faults;
mod mistakes;
mod names;
mod round_trip;
mod shape;
mod sheets;
mod values;
