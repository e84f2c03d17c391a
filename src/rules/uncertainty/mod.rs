//! How likely a comparison is to fail: sums of inputs, and lines through their distribution where it curves.

mod axes;
mod chance;
mod clear;
mod compile;
mod compiled;
mod inversion;
mod lines;
mod remembered;
mod student;
mod sum;
mod surface;

pub use chance::{Cause, Chance};
pub(in crate::rules) use chance::{as_closely, of};
pub(in crate::rules) use lines::Closely;
pub(in crate::rules) use sum::normal_below;
