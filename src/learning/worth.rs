//! What measuring or trying something is worth before it is done: the loss that it saves on the mean.

use super::numbers::{around, integral_over, normal_below, normal_density};
use super::strain_limit::{StrainLimit, Trial};

/// What it costs to change a part that need not be, and to print one that fails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Changing it.
    pub change: f64,
    /// A failed print.
    pub failure: f64,
}

impl Losses {
    fn of(self, chance: f64) -> f64 {
        self.change.min(self.failure * chance)
    }
}

/// The loss that is to be expected now, of a margin with a standard uncertainty.
#[must_use]
pub fn risk(margin: f64, u: f64, losses: Losses) -> f64 {
    losses.of(normal_below(-margin / u))
}

/// By how much measuring an input again moves the margin, as a standard deviation: its slope times the root of the variance that it
/// takes away.
#[must_use]
pub fn removed(slope: f64, input_u: f64, new_u: f64) -> f64 {
    slope.abs() * input_u * input_u / input_u.hypot(new_u)
}

const REACH: f64 = 8.0;
const STEPS: u32 = 60;

/// What a measurement is worth that takes so much of a margin's uncertainty away.
#[must_use]
pub fn of_measuring(margin: f64, u: f64, removed: f64, losses: Losses) -> f64 {
    if removed <= 0.0 || u <= 0.0 {
        return 0.0;
    }
    let left = (u * u - removed * removed).max(0.0).sqrt().max(u * 1e-6);
    let after = |z: f64| normal_density(z) * risk(margin + removed * z, left, losses);
    // The smaller loss changes over at one place, and where little is left uncertain the chance falls off soon after.
    let at = |share: f64| ((share * left - margin) / removed).clamp(-REACH, REACH);
    let turn = turn(losses);
    let mut places: Vec<f64> = around(0.0, REACH / 4.0, 4).chain([at(turn)]).collect();
    places.extend((1..=6).map(|number| at(turn + 2.0 * f64::from(number))));
    places.sort_by(f64::total_cmp);
    (risk(margin, u, losses) - integral_over(&places, STEPS, after)).max(0.0)
}

/// The margin over its uncertainty below which a change pays.
fn turn(losses: Losses) -> f64 {
    -super::numbers::normal_place((losses.change / losses.failure).clamp(1e-12, 1.0 - 1e-12))
}

/// What bending an arm to a strain is worth, for a part that needs another one.
#[must_use]
pub fn of_trial(limit: &StrainLimit, needed: f64, tried: f64, losses: Losses) -> f64 {
    let chance = |limit: &StrainLimit| limit.fails(needed, 1.0);
    let fails = limit.fails(tried, 1.0);
    let held = limit.after(&Trial::held(tried));
    let failed = limit.after(&Trial::failed(tried));
    let after = (1.0 - fails) * losses.of(chance(&held)) + fails * losses.of(chance(&failed));
    (losses.of(chance(limit)) - after).max(0.0)
}
