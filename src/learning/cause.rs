//! One number that explains several deviations.

use super::numbers::chi_squared_above;

/// A deviation that a number would explain: how far, its variance, and by how much it moves with the number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Deviation.
    pub deviation: f64,
    /// Its variance, above zero.
    pub variance: f64,
    /// Slope of the dimension over the number.
    pub slope: f64,
}

/// A number as the cause: by how much it would be off, and what that leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Cause {
    /// By how much the number would be off.
    pub shift: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// What is left over: chi-squared.
    pub left_over: f64,
    /// The chance of so much or more left over by scatter.
    pub chance: f64,
}

/// Weighted least squares of one number; `None` where it moves nothing.
#[must_use]
pub fn cause(moved: &[Moved]) -> Option<Cause> {
    let weight: f64 = moved.iter().map(|one| one.slope * one.slope / one.variance).sum();
    (weight > 0.0).then(|| {
        let sum: f64 = moved.iter().map(|one| one.slope * one.deviation / one.variance).sum();
        let shift = sum / weight;
        let left = |one: &Moved| (one.deviation - one.slope * shift).powi(2) / one.variance;
        let left_over = moved.iter().map(left).sum();
        #[allow(clippy::cast_precision_loss, reason = "some deviations")]
        let freedom = moved.len() as f64 - 1.0;
        let chance = if freedom > 0.0 { chi_squared_above(left_over, freedom) } else { 1.0 };
        Cause { shift, u: weight.powf(-0.5), left_over, chance }
    })
}

/// The one cause among several, if one explains the deviations and no other does: what it leaves over comes by scatter more often
/// than `fits`, what any other does less often than `others`.
#[must_use]
pub fn only(causes: &[Cause], fits: f64, others: f64) -> Option<usize> {
    let mut order: Vec<usize> = (0..causes.len()).collect();
    order.sort_by(|a, b| causes[*a].left_over.total_cmp(&causes[*b].left_over));
    let (best, rest) = order.split_first()?;
    let is_alone = rest.first().is_none_or(|second| causes[*second].chance < others);
    (causes[*best].chance > fits && is_alone).then_some(*best)
}
