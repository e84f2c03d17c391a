//! What readings of printed parts teach: statistics without a sheet in sight.
//!
//! Lengths are in millimetres, strains and chances plain numbers. [`deviations`] is the model of a machine's deviations of one
//! kind; the other files are the questions that are asked of it, or of what else was seen at the bench. Figures that nobody
//! published are data and come in as [`figures::Figures`].

pub mod cause;
pub mod comb;
pub mod conformity;
pub mod deviations;
mod elimination;
pub mod figures;
pub mod forecast;
pub mod foretold;
pub mod friction;
pub mod happened;
pub mod ladder;
mod matrix;
pub mod mistyped;
mod numbers;
pub mod prints;
pub mod reading;
pub mod revision;
pub mod specimen;
pub mod strain_limit;
pub mod worth;
