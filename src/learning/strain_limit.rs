//! The shop's own strain limit, from what arms held and what they broke at.
//!
//! The limit is the strain, as the program works it out, at which half the arms crack, whiten or stay bent. Its logarithm lies on a
//! grid; each arm scatters about it. After N openings an arm bears N^-q of it.

use super::numbers::normal_below;

/// How far arms scatter about the limit, in the logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Within {
    /// So far.
    Known(f64),
    /// About so far: median, and standard deviation of the logarithm.
    About(f64, f64),
}

/// What an arm bore: a strain, and how often.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Strain, a plain number.
    pub strain: f64,
    /// How often.
    pub times: f64,
}

/// What became of one arm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trial {
    /// The last opening that it held.
    pub held: Option<Opening>,
    /// The opening at which it cracked, whitened or stayed bent.
    pub failed: Option<Opening>,
    /// Relative standard uncertainty of its strains.
    pub u: f64,
}

impl Trial {
    /// An arm that held one opening.
    #[must_use]
    pub fn held(strain: f64) -> Self {
        Self { held: Some(Opening { strain, times: 1.0 }), failed: None, u: 0.0 }
    }

    /// An arm that failed at its first opening.
    #[must_use]
    pub fn failed(strain: f64) -> Self {
        Self { held: None, failed: Some(Opening { strain, times: 1.0 }), u: 0.0 }
    }
}

/// What is known of the limit.
#[derive(Debug, Clone)]
pub struct StrainLimit {
    power: f64,
    /// Logarithms of limits, scatters within, and their weights.
    points: Vec<Point>,
}

#[derive(Debug, Clone, Copy)]
struct Point {
    ln_limit: f64,
    within: f64,
    weight: f64,
}

const HALF_STEPS: i32 = 600;
const REACH: f64 = 7.0;
/// Scatters that are tried where it is not known, either side of the median.
const HALF_SCATTERS: i32 = 20;
const SCATTER_REACH: f64 = 5.0;

/// What is left of a limit after so many openings.
#[must_use]
pub fn cycles_factor(power: f64, cycles: f64) -> f64 {
    cycles.max(1.0).powf(-power)
}

/// The median limit before any trial, of which a sheet's own limit for one opening is the strain at which this share fails.
#[must_use]
pub fn median_of_sheet_limit(once: f64, variation: f64, within: f64, failing: f64) -> f64 {
    let z = -super::numbers::normal_place(failing);
    once * (z * ((variation * variation).ln_1p() + within * within).sqrt()).exp()
}

impl StrainLimit {
    /// Before any trial: median, coefficient of variation, scatter within, and the power of cycles.
    #[must_use]
    pub fn new(median: f64, variation: f64, within: Within, power: f64) -> Self {
        let sd = (variation * variation).ln_1p().sqrt();
        let mut points = Vec::new();
        for (within, share) in scatters(within) {
            for step in -HALF_STEPS..=HALF_STEPS {
                let z = REACH * f64::from(step) / f64::from(HALF_STEPS);
                points.push(Point { ln_limit: median.ln() + sd * z, within, weight: share * (-0.5 * z * z).exp() });
            }
        }
        Self { power, points }.whole()
    }

    /// After one more trial.
    #[must_use]
    pub fn after(&self, trial: &Trial) -> Self {
        let fails = |opening: &Opening, point: &Point| self.fails_at(opening.strain, opening.times, trial.u, point);
        let likely = |point: &Point| {
            let held = trial.held.as_ref().map_or(0.0, |held| fails(held, point));
            match &trial.failed {
                Some(failed) => (fails(failed, point) - held).max(0.0),
                None => 1.0 - held,
            }
        };
        let weighed = |point: &Point| Point { weight: point.weight * likely(point), ..*point };
        Self { power: self.power, points: self.points.iter().map(weighed).collect() }.whole()
    }

    /// The chance that the next arm fails when it is bent to a strain so often.
    #[must_use]
    pub fn fails(&self, strain: f64, cycles: f64) -> f64 {
        self.points.iter().map(|point| point.weight * self.fails_at(strain, cycles, 0.0, point)).sum()
    }

    /// The limit below which this share of what is believed lies.
    #[must_use]
    pub fn quantile(&self, share: f64) -> f64 {
        // Limits are believed between the grid's points too: evenly over half a step around each.
        let half = 0.5 * self.step();
        self.root(share, |ln| {
            let below = |point: &Point| point.weight * ((ln - point.ln_limit) / (2.0 * half) + 0.5).clamp(0.0, 1.0);
            self.points.iter().map(below).sum()
        })
    }

    /// The limit for a sheet: the strain at which this share of arms fails at its first opening.
    #[must_use]
    pub fn for_sheet(&self, share: f64) -> f64 {
        self.root(share, |ln| self.fails(ln.exp(), 1.0))
    }

    /// The standard deviation of the limit's logarithm.
    #[must_use]
    pub fn ln_u(&self) -> f64 {
        let mean = self.mean(|point| point.ln_limit);
        self.mean(|point| (point.ln_limit - mean).powi(2)).sqrt()
    }

    /// The mean of the scatter within.
    #[must_use]
    pub fn within(&self) -> f64 {
        self.mean(|point| point.within)
    }

    fn mean(&self, of: impl Fn(&Point) -> f64) -> f64 {
        self.points.iter().map(|point| point.weight * of(point)).sum()
    }

    fn fails_at(&self, strain: f64, cycles: f64, u: f64, point: &Point) -> f64 {
        let place = strain.ln() + self.power * cycles.max(1.0).ln() - point.ln_limit;
        normal_below(place / point.within.hypot(u))
    }

    fn step(&self) -> f64 {
        self.points.get(1).map_or(1.0, |second| second.ln_limit - self.points[0].ln_limit)
    }

    /// Where a growing share reaches a value, by halving.
    fn root(&self, share: f64, of: impl Fn(f64) -> f64) -> f64 {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else { return f64::NAN };
        let (mut low, mut high) = (first.ln_limit - 1.0, last.ln_limit + 1.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if of(middle) < share {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::midpoint(low, high).exp()
    }

    fn whole(mut self) -> Self {
        let sum: f64 = self.points.iter().map(|point| point.weight).sum();
        self.points.iter_mut().for_each(|point| point.weight /= sum);
        self
    }
}

fn scatters(within: Within) -> Vec<(f64, f64)> {
    match within {
        Within::Known(known) => vec![(known, 1.0)],
        Within::About(median, sd) => (-HALF_SCATTERS..=HALF_SCATTERS)
            .map(|step| SCATTER_REACH * f64::from(step) / f64::from(HALF_SCATTERS))
            .map(|z| (median * (sd * z).exp(), (-0.5 * z * z).exp()))
            .collect(),
    }
}
