//! The shop's own strain limit, from what arms held and what they broke at.
//!
//! The limit is the strain, as the program works it out, at which half the arms crack, whiten or stay bent. Its logarithm lies on a
//! grid; each arm scatters about it. After N openings an arm bears N^-q of it.

use super::numbers::{normal_below, normal_ln_below, turn};

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
    /// How far one arm scatters about the limit, in the logarithm.
    within: f64,
    /// What was believed before any trial, of the logarithm: mean and standard deviation.
    before: (f64, f64),
    trials: Vec<Trial>,
    points: Vec<Point>,
}

/// A limit, with the logarithm of its weight before it is made to be one of all, and then the weight.
#[derive(Debug, Clone, Copy)]
struct Point {
    ln_limit: f64,
    ln_weight: f64,
    weight: f64,
}

/// Steps of the grid.
const STEPS: i32 = 1_200;
/// The grid reaches to where weights are this share of the largest, in the logarithm.
const LN_LEAST: f64 = 32.0;
/// Half of what a slope is taken over, in the logarithm of a limit.
const STEP: f64 = 1e-5;
/// Below this share of the largest a weight says nothing, in the logarithm.
const LN_NOTHING: f64 = 16.0;
/// With fewer points above that, or one at an end, the grid is laid anew.
const POINTS: usize = 200;

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
    /// Before any trial: median, coefficient of variation, how far one arm scatters in the logarithm, and the power of cycles.
    #[must_use]
    pub fn new(median: f64, variation: f64, within: f64, power: f64) -> Self {
        let before = (median.ln(), (variation * variation).ln_1p().sqrt());
        Self { power, within, before, trials: Vec::new(), points: Vec::new() }.laid()
    }

    /// After one more trial.
    #[must_use]
    pub fn after(&self, trial: &Trial) -> Self {
        let weighed =
            |point: &Point| Point { ln_weight: point.ln_weight + self.ln_likely(trial, point.ln_limit), ..*point };
        let trials = self.trials.iter().chain([trial]).copied().collect();
        let after = Self { trials, points: self.points.iter().map(weighed).collect(), ..*self };
        if after.is_served() { after.whole() } else { after.laid() }
    }

    /// The logarithm of the chance of what became of a trial, were this the limit.
    fn ln_likely(&self, trial: &Trial, ln_limit: f64) -> f64 {
        let place = |opening: &Opening| self.place(opening.strain, opening.times, trial.u, ln_limit);
        match (trial.held.as_ref().map(place), trial.failed.as_ref().map(place)) {
            (Some(held), Some(failed)) if held < failed => ln_between(held, failed),
            // What it is said to have held beyond its failure is no opening that it held.
            (_, Some(failed)) => normal_ln_below(failed),
            (Some(held), None) => normal_ln_below(-held),
            (None, None) => 0.0,
        }
    }

    fn ln_weight(&self, ln_limit: f64) -> f64 {
        let z = (ln_limit - self.before.0) / self.before.1;
        -0.5 * z * z + self.trials.iter().map(|trial| self.ln_likely(trial, ln_limit)).sum::<f64>()
    }

    /// The grid laid where what is believed lies. Each trial's logarithm bends down, and what was believed before bends down with
    /// it: there is one likeliest place, and an end to either side.
    fn laid(mut self) -> Self {
        let (mean, sd) = self.before;
        let openings = self.trials.iter().flat_map(|trial| trial.held.iter().chain(&trial.failed));
        let places = openings.map(|opening| self.once(opening.strain, opening.times));
        let wide = 12.0 * self.trials.iter().map(|trial| trial.u).fold(self.within, f64::hypot);
        let (least, most) = places.fold((mean, mean), |(least, most), place| (least.min(place), most.max(place)));
        let slope = |ln: f64| self.ln_weight(ln + STEP) - self.ln_weight(ln - STEP);
        let likeliest = turn(least - wide, most + wide, |ln| slope(ln) > 0.0);
        let end = self.ln_weight(likeliest) - LN_LEAST;
        let far = sd * (2.0 * LN_LEAST).sqrt();
        let from = turn(likeliest - far, likeliest, |ln| self.ln_weight(ln) < end);
        let to = turn(likeliest, likeliest + far, |ln| self.ln_weight(ln) > end);
        let point = |step: i32| {
            let ln_limit = from + (to - from) * f64::from(step) / f64::from(STEPS);
            Point { ln_limit, ln_weight: self.ln_weight(ln_limit), weight: 0.0 }
        };
        self.points = (0..=STEPS).map(point).collect();
        self.whole()
    }

    /// Whether the grid still serves: what is believed lies within its ends, on points enough.
    fn is_served(&self) -> bool {
        let most = self.points.iter().map(|point| point.ln_weight).fold(f64::NEG_INFINITY, f64::max);
        let counts = |point: &&Point| point.ln_weight > most - LN_NOTHING;
        let ends = self.points.first().into_iter().chain(self.points.last());
        !ends.into_iter().any(|end| counts(&end)) && self.points.iter().filter(counts).count() >= POINTS
    }

    /// The chance that the next arm fails when it is bent to a strain so often.
    #[must_use]
    pub fn fails(&self, strain: f64, cycles: f64) -> f64 {
        self.mean(|point| normal_below(self.place(strain, cycles, 0.0, point.ln_limit)))
    }

    /// The share of what is believed that lies below a limit.
    #[must_use]
    pub fn below(&self, limit: f64) -> f64 {
        let (ln, step) = (limit.ln(), self.step());
        // Limits are believed between the grid's points too: evenly over half a step around each.
        self.mean(|point| ((ln - point.ln_limit) / step + 0.5).clamp(0.0, 1.0))
    }

    /// The limit below which this share of what is believed lies.
    #[must_use]
    pub fn quantile(&self, share: f64) -> f64 {
        self.root(share, |limit| self.below(limit))
    }

    /// The limit for a sheet: the strain at which this share of arms fails at its first opening.
    #[must_use]
    pub fn for_sheet(&self, share: f64) -> f64 {
        self.root(share, |strain| self.fails(strain, 1.0))
    }

    /// The standard deviation of the limit's logarithm.
    #[must_use]
    pub fn ln_u(&self) -> f64 {
        let mean = self.mean(|point| point.ln_limit);
        self.mean(|point| (point.ln_limit - mean).powi(2)).sqrt()
    }

    fn mean(&self, of: impl Fn(&Point) -> f64) -> f64 {
        self.points.iter().map(|point| point.weight * of(point)).sum()
    }

    /// How far a strain lies beyond a limit, over the scatter of arms and the strain's own uncertainty.
    fn place(&self, strain: f64, cycles: f64, u: f64, ln_limit: f64) -> f64 {
        (self.once(strain, cycles) - ln_limit) / self.within.hypot(u)
    }

    /// The logarithm of the strain that is as hard to bear once.
    fn once(&self, strain: f64, cycles: f64) -> f64 {
        strain.ln() + self.power * cycles.max(1.0).ln()
    }

    fn step(&self) -> f64 {
        self.points.get(1).map_or(1.0, |second| second.ln_limit - self.points[0].ln_limit)
    }

    /// The strain at which a growing share reaches a value.
    fn root(&self, share: f64, of: impl Fn(f64) -> f64) -> f64 {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else { return f64::NAN };
        let wide = 12.0 * self.within;
        turn(first.ln_limit - wide, last.ln_limit + wide, |ln| of(ln.exp()) < share).exp()
    }

    fn whole(mut self) -> Self {
        let most = self.points.iter().map(|point| point.ln_weight).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = self.points.iter().map(|point| (point.ln_weight - most).exp()).sum();
        self.points.iter_mut().for_each(|point| point.weight = (point.ln_weight - most).exp() / sum);
        self
    }
}

/// The logarithm of the normal distribution's share between two places, also in its far tails.
fn ln_between(low: f64, high: f64) -> f64 {
    // Mirrored to the side of the smaller shares, so that no two near one are taken from each other.
    let (low, high) = if low > 0.0 { (-high, -low) } else { (low, high) };
    let (below, above) = (normal_ln_below(low), normal_ln_below(high));
    above + (-(below - above).exp()).ln_1p()
}
