//! The mechanics against values from outside: handbooks, closed forms, finite elements.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod chances;
mod computed;
mod given;
mod handbook;
mod learning;
mod limits;
mod mechanics;
mod properties;
mod standards;
mod table;
mod uncertainty;
mod units;
