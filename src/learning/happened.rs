//! What happened without a caliper: a pair that went together, was too tight or rattled says something of its clearance.

use super::numbers::{integral, normal_ln_below, normal_ln_density};

/// A clearance in mm: its mean and standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// Mean.
    pub mean: f64,
    /// Standard uncertainty, above zero.
    pub u: f64,
}

/// Beyond so many standard uncertainties a difference of nearly equal numbers is worth less than a series.
const FAR: f64 = -100.0;

/// What is known of a clearance once its pair was too tight: it lies below a limit that is known to `limit_u`.
#[must_use]
pub fn too_tight(foretold: Clearance, limit: f64, limit_u: f64) -> Clearance {
    let whole = foretold.u.hypot(limit_u);
    let r = (limit - foretold.mean) / whole;
    let ratio = (normal_ln_density(r) - normal_ln_below(r)).exp();
    // Of a normal distribution's far tail nearly all variance goes: what is left, by its series.
    let left = if r < FAR { r.powi(-2) * (1.0 - 6.0 * r.powi(-2)) } else { 1.0 - ratio * (ratio + r) };
    let share = foretold.u / whole;
    // The limit's own uncertainty leaves the rest of the variance as it was.
    let variance = share * share * left + (limit_u / whole).powi(2);
    Clearance { mean: foretold.mean - foretold.u * share * ratio, u: foretold.u * variance.max(0.0).sqrt() }
}

/// The same once its pair rattled: it lies above a limit.
#[must_use]
pub fn rattles(foretold: Clearance, limit: f64, limit_u: f64) -> Clearance {
    let mirrored = too_tight(Clearance { mean: -foretold.mean, ..foretold }, -limit, limit_u);
    Clearance { mean: -mirrored.mean, ..mirrored }
}

/// The same once its pair went together as meant: it lies between two limits, which are taken for sure.
#[must_use]
pub fn went_together(foretold: Clearance, low: f64, high: f64) -> Clearance {
    let Clearance { mean, u } = foretold;
    let (low, high) = ((low - mean) / u, (high - mean) / u);
    // By quadrature about the likeliest place, which far tails and narrow limits leave exact.
    let most = 0.0_f64.min(high).max(low);
    let reach = (most * most + 2.0 * LN_LEAST).sqrt();
    let (from, to) = (low.max(-reach), high.min(reach));
    let density = |z: f64| (0.5 * (most - z) * (most + z)).exp();
    let over = |of: &dyn Fn(f64) -> f64| integral(from, to, STEPS, |z| density(z) * of(z));
    let whole = over(&|_| 1.0);
    let first = over(&|z| z - most) / whole;
    let second = over(&|z| (z - most - first).powi(2)) / whole;
    Clearance { mean: mean + u * (most + first), u: u * second.sqrt() }
}

/// Densities are followed down to this share of the largest, in the logarithm.
const LN_LEAST: f64 = 40.0;
const STEPS: u32 = 1_000;

/// The reading that would have taught the same: its value and variance. `None` where nothing was learnt.
#[must_use]
pub fn as_reading(foretold: Clearance, after: Clearance) -> Option<(f64, f64)> {
    let precision = after.u.powi(-2) - foretold.u.powi(-2);
    (precision > 0.0 && precision.is_finite()).then(|| {
        let variance = 1.0 / precision;
        (variance * (after.mean * after.u.powi(-2) - foretold.mean * foretold.u.powi(-2)), variance)
    })
}
