//! What a project's notes teach, all together.

use super::{BondLesson, FrictionLesson, Lessons, PrintingLesson, StrainLesson};

/// All that the notes of a project teach.
#[derive(Debug)]
#[non_exhaustive]
pub struct Taught<'a> {
    /// Readings by kind.
    pub lessons: &'a Lessons,
    /// Strain limits.
    pub strains: &'a [StrainLesson],
    /// Bonds of layers.
    pub bonds: &'a [BondLesson],
    /// Frictions.
    pub frictions: &'a [FrictionLesson],
    /// Bridges, slopes and first layers.
    pub printings: &'a [PrintingLesson],
}
