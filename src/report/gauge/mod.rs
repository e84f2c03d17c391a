//! Gauge pieces in words: the page for the bench, what it says to do, and why a piece is not made.

mod page;
mod refusal;
mod words;

pub use page::gauge_page;
pub use words::{gauge_remarks, gauge_steps};
