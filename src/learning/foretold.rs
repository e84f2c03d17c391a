//! A reading against what was foretold of it.

use super::deviations::LeftOut;
use super::figures::Figures;
use super::numbers::{normal_below, normal_place, student_beyond};

/// How far a reading is from what was foretold, in the words of proficiency tests: ISO 13528's zeta scores (from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Word {
    /// Within the limit that nearly all sheets meet on which all is well.
    AsForetold,
    /// Between that and the one that scatter does not reach.
    Seldom,
    /// Over it.
    NotByScatter,
}

/// The zeta score: a reading less what was expected, over both of their standard uncertainties.
#[must_use]
pub fn zeta(expected: f64, expected_u: f64, reading: f64, reading_u: f64) -> f64 {
    (reading - expected) / expected_u.hypot(reading_u)
}

/// The chance of a score at least so far from zero.
#[must_use]
pub fn chance(zeta: f64) -> f64 {
    2.0 * normal_below(-zeta.abs())
}

/// The En number of ISO 13528 and ISO/IEC 17043 with twice the standard uncertainties: half the zeta score.
#[must_use]
pub fn e_n(zeta: f64) -> f64 {
    0.5 * zeta
}

/// The score that the largest of so many independent ones stays below with this chance.
#[must_use]
pub fn largest_limit(dimensions: usize, level: f64) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "some dimensions")]
    let each = level.powf(1.0 / dimensions.max(1) as f64);
    normal_place(0.5 * (1.0 + each))
}

impl LeftOut {
    /// The two-sided chance of a reading so far from what all others foretell.
    #[must_use]
    pub fn chance(&self) -> f64 {
        student_beyond(self.off / self.scale, self.freedom)
    }

    /// The score of the same chance on the normal distribution, with the reading's sign.
    #[must_use]
    pub fn zeta(&self) -> f64 {
        self.off.signum() * -normal_place(0.5 * self.chance().max(f64::MIN_POSITIVE))
    }
}

/// The word for a score among so many dimensions of one sheet: with more of them, a larger one is nothing rare.
#[must_use]
pub fn word(zeta: f64, dimensions: usize, figures: &Figures) -> Word {
    let Figures { seldom_from, never_from, sheets_quiet, .. } = *figures;
    let first = if dimensions <= 1 { seldom_from } else { largest_limit(dimensions, sheets_quiet) };
    match zeta.abs() {
        small if small <= first => Word::AsForetold,
        middle if middle <= never_from => Word::Seldom,
        _ => Word::NotByScatter,
    }
}
