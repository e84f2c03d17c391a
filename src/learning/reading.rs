//! A set of repeats on one place of one object, and how sure it is.

/// How an instrument reads: its smallest step and the most that it is off, both in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instrument {
    /// Smallest step.
    pub step: f64,
    /// Half-width of what it may be off, the same for all that is read with it.
    pub limit: f64,
}

/// The scatter of repeats, pooled over all sets read at a bench and the prior, in mm.
#[must_use]
pub fn repeat_scatter<'s>(sets: impl IntoIterator<Item = &'s [f64]>, prior: f64, prior_freedom: f64) -> f64 {
    let (mut squares, mut freedom) = (prior_freedom * prior * prior, prior_freedom);
    for set in sets {
        let middle = mean(set);
        squares += set.iter().map(|value| (value - middle).powi(2)).sum::<f64>();
        freedom += count(set) - 1.0;
    }
    (squares / freedom).sqrt()
}

/// The variance of a set's mean that is its own, in mm²: the repeats' scatter and the step, which repeats do not average
/// away. What the instrument is off comes on top, alike for all sets read with it.
#[must_use]
pub fn own_variance(scatter: f64, repeats: usize, step: f64) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "some repeats")]
    let repeats = repeats.max(1) as f64;
    scatter * scatter / repeats + step * step / 12.0
}

/// The standard uncertainty that an instrument's limit gives all sets read with it, in mm (JCGM 100:2008, 4.3.7).
#[must_use]
pub fn shared_u(limit: f64) -> f64 {
    limit / 3.0_f64.sqrt()
}

/// The standard uncertainty of a set's mean as such, in mm.
#[must_use]
pub fn u(scatter: f64, repeats: usize, instrument: Instrument) -> f64 {
    (own_variance(scatter, repeats, instrument.step) + shared_u(instrument.limit).powi(2)).sqrt()
}

/// How much low inside jaws read in a round hole, by the chord of their lands: D - √(D² - f²), in mm. All of it where the
/// land is as wide as the hole.
#[must_use]
pub fn chord_loss(diameter: f64, land: f64) -> f64 {
    diameter - (diameter * diameter - land * land).max(0.0).sqrt()
}

/// The standard uncertainty of a copy less its original, both read with the same jaws: what these are off cancels.
#[must_use]
pub fn copy_less_original_u(original: f64, copy: f64) -> f64 {
    original.hypot(copy)
}

/// The mean of a set; zero of none.
#[must_use]
pub fn mean(set: &[f64]) -> f64 {
    if set.is_empty() { 0.0 } else { set.iter().sum::<f64>() / count(set) }
}

/// How far the readings of a set are apart; zero of none.
#[must_use]
pub fn range(set: &[f64]) -> f64 {
    let ends = |(low, high): (f64, f64), one: &f64| (low.min(*one), high.max(*one));
    let (low, high) = set.iter().fold((f64::INFINITY, f64::NEG_INFINITY), ends);
    (high - low).max(0.0)
}

fn count(set: &[f64]) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "some repeats")]
    let count = set.len().max(1) as f64;
    count
}
