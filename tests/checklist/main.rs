//! The page for the bench: what it measures, says and draws.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

mod command;
mod drawing;
mod labels;
mod measures;
mod numbers;
mod page;
mod parts;
mod traced;

/// The demo sheets that have parts.
const DEMOS: [&str; 6] = ["gutter-clip", "pot-tag", "rail-slide", "seed-box", "shelf-bracket", "vent-latch"];
