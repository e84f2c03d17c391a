//! The risks of accepting and rejecting by one reading: JCGM 106:2012 (from memory).

use super::numbers::{integral, normal_below, normal_density};

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

const REACH: f64 = 9.0;
const STEPS: u32 = 2_000;

fn between(limits: (f64, f64), mean: f64, u: f64) -> f64 {
    normal_below((limits.1 - mean) / u) - normal_below((limits.0 - mean) / u)
}

impl Plan {
    /// The chance that a part is bad and accepted.
    #[must_use]
    pub fn bad_accepted(&self) -> f64 {
        let all = self
            .over((-f64::INFINITY, f64::INFINITY), |true_value| between(self.accepted, true_value, self.measuring_u));
        all - self.good_accepted()
    }

    /// The chance that a part is good and rejected.
    #[must_use]
    pub fn good_rejected(&self) -> f64 {
        between(self.limits, self.mean, self.spread) - self.good_accepted()
    }

    fn good_accepted(&self) -> f64 {
        self.over(self.limits, |true_value| between(self.accepted, true_value, self.measuring_u))
    }

    fn over(&self, range: (f64, f64), of: impl Fn(f64) -> f64) -> f64 {
        let (low, high) = (self.mean - REACH * self.spread, self.mean + REACH * self.spread);
        let (from, to) = (range.0.max(low), range.1.min(high));
        if from >= to {
            return 0.0;
        }
        let density = |value: f64| normal_density((value - self.mean) / self.spread) / self.spread;
        integral(from, to, STEPS, |value| density(value) * of(value))
    }
}
