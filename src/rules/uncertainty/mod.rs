//! How likely a comparison is to fail: sums of inputs, and evenly spread points where it curves.

mod chance;
mod lattice;
mod sum;

pub use chance::{Cause, Chance};
pub(in crate::rules) use chance::{beside, of};
pub(in crate::rules) use sum::normal_below;
