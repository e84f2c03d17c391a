//! Small drawings of blocks, beside the views of their part.

use crate::pack::Formula;

/// A small drawing of a block: a shape, and what it measures in the block's own terms.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Detail {
    /// What is drawn.
    pub shape: Shape,
    /// Its measures, in the order of [`Shape::takes`]. A needed one that cannot be worked out leaves the drawing out.
    pub measures: Vec<Formula>,
}

/// What a small drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Shape {
    /// A spring arm from the side, with its hook and how far it opens.
    Arm,
    /// A spring arm round a bend.
    BentArm,
    /// A clamp along the tube that it takes.
    Clamp,
    /// A gap from its end.
    Slot,
    /// Circles about one middle.
    Rings,
    /// A hexagon across its flats.
    Hexagon,
    /// A rectangular section, open above where its height is not given.
    Section,
    /// A web between two leaves, and how far it folds.
    Web,
    /// A roof over a gap.
    Bridge,
    /// What goes in and what takes it, the clearance between them drawn larger than it is.
    Pair,
    /// A hook in the window that it catches in.
    Catch,
}

impl Shape {
    /// Each with its word in the data.
    pub(super) const ALL: [(&'static str, Self); 11] = [
        ("arm", Self::Arm),
        ("bent-arm", Self::BentArm),
        ("clamp", Self::Clamp),
        ("slot", Self::Slot),
        ("rings", Self::Rings),
        ("hexagon", Self::Hexagon),
        ("section", Self::Section),
        ("web", Self::Web),
        ("bridge", Self::Bridge),
        ("pair", Self::Pair),
        ("catch", Self::Catch),
    ];

    /// What it measures, in order: what it needs, and what it can do without.
    #[must_use]
    pub fn takes(self) -> (&'static [&'static str], &'static [&'static str]) {
        match self {
            Self::Arm => {
                (&["length", "thickness"], &["tip thickness", "root fillet", "opening", "depth", "lead-in", "return"])
            }
            Self::BentArm => (&["turn", "root leg", "tip leg", "radius", "thickness"], &["hook depth"]),
            Self::Clamp => (&["inside radius", "thickness", "wrap", "tube"], &[]),
            Self::Slot => (&["width"], &["depth"]),
            Self::Rings => (&["diameter"], &["another diameter"]),
            Self::Hexagon => (&["across flats"], &[]),
            Self::Section => (&["width"], &["height"]),
            Self::Web => (&["thickness", "length", "angle"], &[]),
            Self::Bridge => (&["span"], &[]),
            Self::Pair => (&["inside", "outside", "sides"], &[]),
            Self::Catch => (&["depth", "foot", "window", "arm"], &["lead-in", "return"]),
        }
    }
}
