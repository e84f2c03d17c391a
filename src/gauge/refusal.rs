//! Why a piece is not made: what was looked for, and what was found.

use super::Unsound;
use crate::geometry::Vector;

/// Why a piece is not made. Its words are the report's.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Refusal {
    /// With the dimensions that it would have it is no body.
    Unsound(Unsound),
    /// A body is larger than what is printed within the bed's margin, both in mm.
    NoRoom {
        /// The body.
        body: String,
        /// Its size.
        size: Vector,
        /// What is printed.
        room: Vector,
    },
    /// The sheet names no machine, or no material.
    NoBlock(&'static str),
    /// A block does not state what the piece is drawn by.
    NotStated {
        /// The kind of block.
        kind: String,
        /// Its path.
        of: String,
        /// The field.
        field: &'static str,
    },
    /// The machine does not say what it can print.
    NoVolume,
    /// The packs have no figures of learning.
    NoFigures,
    /// The material bends farther than any arc strains it to cracking.
    BendsTooFar,
    /// The sheet has no arm.
    NoArm,
    /// It has none of this path.
    NoSuchArm {
        /// As asked for.
        path: String,
        /// The arm that is nearly called so.
        near: Option<String>,
    },
    /// An arm lacks what the piece is drawn by.
    ArmLacks {
        /// Its path.
        arm: String,
        /// The field.
        field: &'static str,
    },
    /// An arm does not bend square to where it points.
    BendsAskew {
        /// Its path.
        arm: String,
    },
    /// An arm has no room for a stop under its tip; lengths in mm.
    ShortArm {
        /// Its name.
        arm: String,
        /// Its length.
        length: f64,
        /// The fillet of its root.
        fillet: f64,
    },
    /// An arm opens too far for a stair.
    OpensFar {
        /// Its name.
        arm: String,
    },
    /// The sheet has no fit that a comb is drawn for.
    NoFit,
    /// It has none of this title.
    NoSuchFit {
        /// As asked for.
        title: String,
        /// The fit that is nearly called so.
        near: Option<String>,
    },
    /// A comb does not serve a fit.
    NotServed {
        /// Its title.
        title: String,
        /// Why.
        why: NotServed,
    },
}

/// Why a comb does not serve a fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NotServed {
    /// Its dimensions cannot be worked out.
    Unknown,
    /// Both of its sides are printed.
    PrintedPair,
    /// What is around the bought part is no drawn slot or hole.
    NoOpening,
}

impl From<Unsound> for Refusal {
    fn from(why: Unsound) -> Self {
        Self::Unsound(why)
    }
}
