//! The next revision: which value to draw, and how much of a deviation to take out.

use super::forecast::Forecast;

/// What a dimension should come out as, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// The value that would be best.
    pub value: f64,
    /// Limits, perhaps infinite.
    pub low: f64,
    /// See [`Wanted::low`].
    pub high: f64,
}

/// A value to draw, and the chance that it then comes out within the limits.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Drawn {
    /// The value, on the grid.
    pub value: f64,
    /// The chance.
    pub chance: f64,
}

/// The value that would bring out the wanted one on the mean.
#[must_use]
pub fn ideal(wanted: f64, deviation: f64) -> f64 {
    wanted - deviation
}

/// The chance that a drawn value comes out within the limits.
#[must_use]
pub fn chance(wanted: &Wanted, next: &Forecast, drawn: f64) -> f64 {
    next.moved(drawn).within(wanted.low, wanted.high)
}

/// How far from the ideal value others are tried, in mm.
const REACH: f64 = 1.0;

/// The value on the grid with the largest chance of coming out within the limits; of equal ones the nearest to the ideal.
#[must_use]
pub fn next_drawn(wanted: &Wanted, next: &Forecast, grid: f64) -> Drawn {
    let middle = f64::midpoint(wanted.low, wanted.high);
    let from = ideal(if middle.is_finite() { middle } else { wanted.value }, next.mean);
    let near = ideal(wanted.value, next.mean);
    // A coarse grid has no value so near: then its next ones on either side.
    let reach = REACH.max(grid);
    let (first, last) = (((from.min(near) - reach) / grid).ceil(), ((from.max(near) + reach) / grid).floor());
    let mut best = Drawn { value: near, chance: -1.0 };
    let mut number = first;
    while number <= last {
        let value = tidy(number * grid, grid);
        let chance = chance(wanted, next, value);
        let is_nearer = chance > best.chance - TIE && (value - near).abs() < (best.value - near).abs();
        if chance > best.chance + TIE || best.chance < 0.0 || is_nearer {
            best = Drawn { value, chance };
        }
        number += 1.0;
    }
    best
}

/// Chances that differ by less are equal.
const TIE: f64 = 1e-9;

/// A multiple of a step, without the digits that multiplying adds.
fn tidy(value: f64, grid: f64) -> f64 {
    let digits = 10.0_f64.powf((3.0 - grid.log10()).ceil());
    (value * digits).round() / digits
}

/// The share of its prints' mean deviation that is the feature's own, where it alone was printed so often, each in a job of its own.
#[must_use]
pub fn own_weight(feature_share: f64, prints: f64) -> f64 {
    feature_share / (feature_share + (1.0 - feature_share) / prints)
}

/// The variance of the next print, over the machine's, once the whole mean deviation of some prints was taken out of the drawing.
#[must_use]
pub fn full_correction_variance(feature_share: f64, prints: f64) -> f64 {
    (1.0 - feature_share) * (1.0 + 1.0 / prints)
}

/// The same once only the share that is the feature's own was.
#[must_use]
pub fn damped_correction_variance(feature_share: f64, prints: f64) -> f64 {
    1.0 - feature_share * own_weight(feature_share, prints)
}
