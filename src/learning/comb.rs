//! A comb of slots that a bought part goes into or does not: which drawn width it needs.

use super::forecast::Forecast;
use super::numbers::{integral, normal_ln_below, normal_ln_density, turn};

/// A slot's drawn width in mm, and whether the part went in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// Drawn width.
    pub drawn: f64,
    /// Whether it went in.
    pub goes: bool,
}

const STEPS: u32 = 4_000;
/// What is believed is followed down to this share of the likeliest, in the logarithm.
const LN_LEAST: f64 = 32.0;

/// The drawn width that is needed, with all marks, also those out of order: from what was expected (mean and standard
/// uncertainty) and how far slots scatter, in mm.
#[must_use]
pub fn needed(slots: &[Slot], spread: f64, expected: (f64, f64)) -> Forecast {
    let room = |slot: &Slot, need: f64| {
        let room = (slot.drawn - need) / spread;
        if slot.goes { room } else { -room }
    };
    let ln_likely = |need: f64| {
        let marks: f64 = slots.iter().map(|slot| normal_ln_below(room(slot, need))).sum();
        marks + normal_ln_density((need - expected.0) / expected.1)
    };
    // Each factor's logarithm bends down everywhere, so that there is one likeliest place: where the slope is zero.
    let slope = |need: f64| {
        let of = |slot: &Slot| {
            let z = room(slot, need);
            let ratio = (normal_ln_density(z) - normal_ln_below(z)).exp();
            if slot.goes { -ratio / spread } else { ratio / spread }
        };
        slots.iter().map(of).sum::<f64>() - (need - expected.0) / expected.1.powi(2)
    };
    let drawn = || slots.iter().map(|slot| slot.drawn).chain([expected.0]);
    let (least, most) = (drawn().fold(f64::INFINITY, f64::min), drawn().fold(f64::NEG_INFINITY, f64::max));
    let wide = 10.0 * (expected.1 + spread);
    let likeliest = turn(least - wide, most + wide, |need| slope(need) > 0.0);
    let end = ln_likely(likeliest) - LN_LEAST;
    // What was expected bounds how far it is to either end, whatever the slots say.
    let far = expected.1 * (2.0 * LN_LEAST).sqrt();
    let from = turn(likeliest - far, likeliest, |need| ln_likely(need) < end);
    let to = turn(likeliest, likeliest + far, |need| ln_likely(need) > end);
    let likely = |need: f64| (ln_likely(need) - end - LN_LEAST).exp();
    let whole = integral(from, to, STEPS, likely);
    let off = integral(from, to, STEPS, |need| (need - likeliest) * likely(need)) / whole;
    let variance = integral(from, to, STEPS, |need| (need - likeliest - off).powi(2) * likely(need)) / whole;
    Forecast::normal(likeliest + off, variance.sqrt())
}

/// The standard uncertainty of counting how many slots it went into: √(step · spread / √π), where the steps are no wider than
/// the spread.
#[must_use]
pub fn counted_u(step: f64, spread: f64) -> f64 {
    (step * spread / std::f64::consts::PI.sqrt()).sqrt()
}
