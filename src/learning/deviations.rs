//! The model of a machine's deviations of one kind (outside, inside, hole or height) in one material.
//!
//! The deviation of a printed dimension is the machine's bias, a scale times its length, a part of its own that comes again in
//! every print of that drawing, a part of the day's plate, and a part of the object's own; a reading adds its repeats' scatter
//! and what the jaws are off. Bias and spread have a normal-inverse-gamma prior from the machine's profile, so that all that
//! is foretold is a Student's t in closed form (conjugate analysis of the linear model; Gelman et al., Bayesian Data Analysis,
//! chapter 14, from memory).

use super::elimination::{Elimination, Part};
use super::forecast::Forecast;

/// How the variance of a deviation divides: the rest is the object's own. Nobody published such figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Of the feature: comes again in every print of it.
    pub feature: f64,
    /// Of the job: everything on one plate on one day.
    pub job: f64,
}

impl Shares {
    /// The share of the object's own.
    #[must_use]
    pub fn object(self) -> f64 {
        1.0 - self.feature - self.job
    }
}

/// What is known before any reading, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// The bias that the profile states.
    pub bias: f64,
    /// Its standard uncertainty.
    pub bias_u: f64,
    /// The spread that the profile states, above zero.
    pub spread: f64,
    /// Standard uncertainty of the scale, a plain number; zero where no two lengths prove one.
    pub scale_u: f64,
    /// How many readings the stated spread counts for, plus two; above two.
    pub freedom: f64,
    /// How the variance divides.
    pub shares: Shares,
}

/// One reading: the mean of repeats on one place of one object, less what was drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    /// Its feature, by a number of the caller's.
    pub feature: usize,
    /// Its job, by a number of the caller's.
    pub job: usize,
    /// Its object, by a number that no other job's object has.
    pub object: usize,
    /// The jaws that it was read with; `None` where what they are off is in the variance.
    pub jaws: Option<usize>,
    /// The drawn length in mm; zero where no scale is asked for.
    pub length: f64,
    /// The deviation in mm.
    pub value: f64,
    /// The reading's own variance in mm².
    pub variance: f64,
}

/// What readings say of one kind of deviation.
#[derive(Debug)]
pub struct Learnt {
    prior: Prior,
    readings: Vec<Deviation>,
    elimination: Elimination,
    /// Shape and rate of the inverse-gamma distribution of the variance.
    shape: f64,
    rate: f64,
}

/// A reading as foretold by the profile and all other readings.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LeftOut {
    /// How far it is from what was foretold, in mm.
    pub off: f64,
    /// The unit of the forecast's width, the reading's own uncertainty included.
    pub scale: f64,
    /// Its degrees of freedom.
    pub freedom: f64,
}

impl Learnt {
    /// Learns from readings; `jaws` are the standard uncertainties that each pair of jaws gives all of its readings alike.
    #[must_use]
    pub fn new(prior: Prior, readings: Vec<Deviation>, jaws: &[f64]) -> Self {
        let elimination = Elimination::new(&prior, &readings, jaws);
        #[allow(clippy::cast_precision_loss, reason = "thousands of readings at the most")]
        let count = readings.len() as f64;
        let shape = 0.5 * (prior.freedom + count);
        let rate = rate_before(&prior) + 0.5 * elimination.squares;
        Self { prior, readings, elimination, shape, rate }
    }

    /// What was known before.
    #[must_use]
    pub fn prior(&self) -> &Prior {
        &self.prior
    }

    /// The readings that it learnt from.
    #[must_use]
    pub fn readings(&self) -> &[Deviation] {
        &self.readings
    }

    /// The spread learnt: the root of the variance's mean.
    #[must_use]
    pub fn spread(&self) -> f64 {
        (self.rate / (self.shape - 1.0)).sqrt()
    }

    /// The bias of the machine at a length.
    #[must_use]
    pub fn bias(&self, length: f64) -> Forecast {
        self.of(&self.elimination.bias(length), self.prior.bias)
    }

    /// The scale: the deviation's part that grows with the length.
    #[must_use]
    pub fn scale(&self) -> Forecast {
        self.of(&self.elimination.scale(), 0.0)
    }

    /// The deviation of a feature that was never printed.
    #[must_use]
    pub fn new_feature(&self, length: f64) -> Forecast {
        self.of(&self.elimination.bias(length).and(1.0), self.prior.bias)
    }

    /// The deviation of a feature in its next print.
    #[must_use]
    pub fn next(&self, feature: usize, length: f64) -> Forecast {
        self.of(&self.elimination.next(feature, length), self.prior.bias)
    }

    /// The true deviation of a feature on an object that was printed.
    #[must_use]
    pub fn here(&self, feature: usize, job: usize, object: usize, length: f64) -> Forecast {
        self.of(&self.elimination.here(feature, job, object, length), self.prior.bias)
    }

    /// The standard uncertainty that the bias would have if the spread were the profile's: what a plan of readings is worth
    /// before any was taken.
    #[must_use]
    pub fn planned_bias_u(&self, length: f64) -> f64 {
        self.prior.spread * self.elimination.bias(length).variance.sqrt()
    }

    /// The same of the scale.
    #[must_use]
    pub fn planned_scale_u(&self) -> f64 {
        self.prior.spread * self.elimination.scale().variance.sqrt()
    }

    /// A reading against what all others foretell; `None` where there is no such reading.
    #[must_use]
    pub fn left_out(&self, index: usize) -> Option<LeftOut> {
        let (weighted, precision) = self.elimination.left_out(index)?;
        let off = weighted / precision;
        let squares = (self.elimination.squares - off * off * precision).max(0.0);
        let (shape, rate) = (self.shape - 0.5, rate_before(&self.prior) + 0.5 * squares);
        Some(LeftOut { off, scale: (rate / shape / precision).sqrt(), freedom: 2.0 * shape })
    }

    fn of(&self, part: &Part, from: f64) -> Forecast {
        let variance = self.rate / self.shape * part.variance;
        Forecast { mean: from + part.mean, scale: variance.max(0.0).sqrt(), freedom: 2.0 * self.shape }
    }
}

fn rate_before(prior: &Prior) -> f64 {
    0.5 * (prior.freedom - 2.0) * prior.spread * prior.spread
}
