//! A comb of slots that a bought part goes into or does not: which drawn width it needs.

use super::forecast::Forecast;
use super::numbers::{integral, normal_below, normal_density};

/// A slot's drawn width in mm, and whether the part went in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// Drawn width.
    pub drawn: f64,
    /// Whether it went in.
    pub goes: bool,
}

const REACH: f64 = 8.0;
const STEPS: u32 = 4_000;

/// The drawn width that is needed, with all marks, also those out of order: from what was expected (mean and standard
/// uncertainty) and how far slots scatter, in mm.
#[must_use]
pub fn needed(slots: &[Slot], spread: f64, expected: (f64, f64)) -> Forecast {
    let (from, to) = (expected.0 - REACH * expected.1, expected.0 + REACH * expected.1);
    let likely = |need: f64| {
        let mark = |slot: &Slot| normal_below(if slot.goes { slot.drawn - need } else { need - slot.drawn } / spread);
        slots.iter().map(mark).product::<f64>() * normal_density((need - expected.0) / expected.1)
    };
    let whole = integral(from, to, STEPS, likely);
    let mean = integral(from, to, STEPS, |need| need * likely(need)) / whole;
    let variance = integral(from, to, STEPS, |need| (need - mean).powi(2) * likely(need)) / whole;
    Forecast::normal(mean, variance.sqrt())
}

/// The standard uncertainty of counting how many slots it went into: √(step · spread / √π), where the steps are no wider than
/// the spread.
#[must_use]
pub fn counted_u(step: f64, spread: f64) -> f64 {
    (step * spread / std::f64::consts::PI.sqrt()).sqrt()
}
