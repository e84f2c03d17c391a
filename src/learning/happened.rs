//! What happened without a caliper: a pair that went together, was too tight or rattled says something of its clearance.

use super::numbers::{normal_below, normal_density};

/// A clearance in mm: its mean and standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// Mean.
    pub mean: f64,
    /// Standard uncertainty, above zero.
    pub u: f64,
}

/// What is known of a clearance once its pair was too tight: it lies below a limit that is known to `limit_u`.
#[must_use]
pub fn too_tight(foretold: Clearance, limit: f64, limit_u: f64) -> Clearance {
    let whole = foretold.u.hypot(limit_u);
    let r = (limit - foretold.mean) / whole;
    let ratio = normal_density(r) / normal_below(r).max(f64::MIN_POSITIVE);
    let share = foretold.u * foretold.u / whole;
    let variance = foretold.u * foretold.u - share * share * ratio * (ratio + r);
    Clearance { mean: foretold.mean - share * ratio, u: variance.max(0.0).sqrt() }
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
    let (a, b) = ((low - mean) / u, (high - mean) / u);
    let whole = (normal_below(b) - normal_below(a)).max(f64::MIN_POSITIVE);
    let times = |z: f64| if z.is_finite() { z * normal_density(z) } else { 0.0 };
    let first = (normal_density(a) - normal_density(b)) / whole;
    let second = 1.0 + (times(a) - times(b)) / whole - first * first;
    Clearance { mean: mean + u * first, u: u * second.max(0.0).sqrt() }
}

/// The reading that would have taught the same: its value and variance. `None` where nothing was learnt.
#[must_use]
pub fn as_reading(foretold: Clearance, after: Clearance) -> Option<(f64, f64)> {
    let precision = after.u.powi(-2) - foretold.u.powi(-2);
    (precision > 0.0 && precision.is_finite()).then(|| {
        let variance = 1.0 / precision;
        (variance * (after.mean * after.u.powi(-2) - foretold.mean * foretold.u.powi(-2)), variance)
    })
}
