//! Notes, compare and learn from outside, on readings of simulated machines whose truth is known here and nowhere else.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod bench;
mod causes;
mod gauges;
mod machines;
mod notes;
mod project;
