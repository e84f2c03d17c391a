//! A reading that was probably mistyped, and what was meant.

use super::Entry;
use crate::learning::mistyped::{Slip, slip};
use crate::learning::reading;
use crate::quantity::number;

/// A reading that was probably mistyped.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Suspect {
    /// Which of the group's readings.
    pub entry: usize,
    /// How likely it is wild.
    pub chance: f64,
    /// The number as it was written, in mm.
    pub written: f64,
    /// How it was probably mistyped, and the number that was meant.
    pub slip: Option<(Slip, f64)>,
}

impl Suspect {
    pub(super) fn of(at: usize, chance: f64, entry: &Entry, readings: &[f64], usual: f64) -> Self {
        let foretold = entry.foretold();
        // Of repeats, the one that is farthest from what was foretold.
        let far = |value: &f64| (value - foretold.mean).abs();
        let worst = readings.iter().enumerate().max_by(|(_, a), (_, b)| far(a).total_cmp(&far(b)));
        let (index, written) = worst.map_or((0, entry.came), |(index, value)| (index, *value));
        let fits = |meant: f64| {
            let mut all = readings.to_vec();
            all[index] = meant;
            ((reading::mean(&all) - foretold.mean) / foretold.u()).abs() < usual
        };
        let slip = slip(&number((written * 1e4).round() / 1e4), |meant| !readings.is_empty() && fits(meant));
        Self { entry: at, chance, written, slip }
    }
}
