//! The risks of accepting and rejecting by one reading: JCGM 106:2012 (from memory).

use super::numbers::{around, integral_over, normal_below, normal_density};

/// What parts come out as, how they are measured, and what they must keep to; all in one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Mean of what parts come out as.
    pub mean: f64,
    /// Its standard deviation, above zero.
    pub spread: f64,
    /// Standard uncertainty of measuring, above zero.
    pub measuring_u: f64,
    /// What a part must lie between; infinite where one side is free.
    pub limits: (f64, f64),
    /// What its reading must lie between to be accepted.
    pub accepted: (f64, f64),
}

/// What the chance that a part keeps to its limits says of it: ISO 14253-1 and JCGM 106 (from memory) leave what measuring does not
/// prove either way unproven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Conformity {
    /// It keeps to them, with the chance that is asked for.
    Conforms,
    /// It rather does than not.
    ConformsNotProven,
    /// It rather does not.
    FailsNotProven,
    /// It does not, with that chance.
    Fails,
}

impl Conformity {
    /// By the chance that a part keeps to its limits, and the one from which that counts as proven.
    #[must_use]
    pub fn of(chance: f64, proven: f64) -> Self {
        match chance {
            high if high >= proven => Self::Conforms,
            low if low < 1.0 - proven => Self::Fails,
            even if even >= 0.5 => Self::ConformsNotProven,
            _ => Self::FailsNotProven,
        }
    }
}

/// Standard deviations to either side that are looked at, and steps of the quadrature in each.
const REACH: i32 = 9;
const STEPS: u32 = 16;

/// The share of a normal distribution between two limits, from the side on which it is the smaller number.
fn between(limits: (f64, f64), mean: f64, u: f64) -> f64 {
    let (low, high) = ((limits.0 - mean) / u, (limits.1 - mean) / u);
    if low > 0.0 { normal_below(-low) - normal_below(-high) } else { normal_below(high) - normal_below(low) }
}

impl Plan {
    /// The chance that a part is bad and accepted.
    #[must_use]
    pub fn bad_accepted(&self) -> f64 {
        let accepted = |value: f64| between(self.accepted, value, self.measuring_u);
        self.over((f64::NEG_INFINITY, self.limits.0), accepted) + self.over((self.limits.1, f64::INFINITY), accepted)
    }

    /// The chance that a part is good and rejected.
    #[must_use]
    pub fn good_rejected(&self) -> f64 {
        let (low, high) = self.accepted;
        self.over(self.limits, |value| {
            normal_below((low - value) / self.measuring_u) + normal_below((value - high) / self.measuring_u)
        })
    }

    fn over(&self, range: (f64, f64), of: impl Fn(f64) -> f64) -> f64 {
        let density = |value: f64| normal_density((value - self.mean) / self.spread) / self.spread;
        // Smooth stretches: of the parts' distribution, and about what a reading must lie between.
        let mut places: Vec<f64> = around(self.mean, self.spread, REACH).collect();
        for accepted in [self.accepted.0, self.accepted.1].into_iter().filter(|limit| limit.is_finite()) {
            places.extend(around(accepted, self.measuring_u, REACH));
        }
        let reach = f64::from(REACH) * self.spread;
        let (low, high) = (range.0.max(self.mean - reach), range.1.min(self.mean + reach));
        if low >= high {
            return 0.0;
        }
        places.extend([low, high]);
        places.retain(|place| (low..=high).contains(place));
        places.sort_by(f64::total_cmp);
        integral_over(&places, STEPS, |value| density(value) * of(value))
    }
}
