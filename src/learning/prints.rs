//! How many prints teach how much, where each is of a feature of its own in a job of its own.

use super::numbers::chi_squared_above;

/// The most prints that are counted up.
const MOST: u32 = 100_000;

/// The prints that teach the bias to a standard uncertainty; `None` where none do, as the instrument's limit stays. All in mm,
/// the reading's own variance in mm².
#[must_use]
pub fn for_bias(u_wanted: f64, spread: f64, bias_u: f64, limit: f64, variance: f64) -> Option<u32> {
    let shared = limit * limit / 3.0;
    let enough = |prints: &u32| {
        let mean = shared + (spread * spread + variance) / f64::from(*prints);
        1.0 / (bias_u.powi(-2) + 1.0 / mean) <= u_wanted * u_wanted
    };
    (1..=MOST).find(enough)
}

/// The prints from which the sample's spread is within a share of the true one with a chance.
#[must_use]
pub fn for_spread(within: f64, chance: f64) -> Option<u32> {
    let enough = |prints: &u32| {
        let freedom = f64::from(*prints) - 1.0;
        let above = |share: f64| chi_squared_above(freedom * share * share, freedom);
        above((1.0 - within).max(0.0)) - above(1.0 + within) >= chance
    };
    (2..=MOST).find(enough)
}
