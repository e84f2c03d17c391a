//! What is to be done with a piece and seen on it, as data: the report has the words.

use super::Arc;

/// What the instructions of a kind go by. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Guide {
    /// Of frames.
    Frames {
        /// What one print of both teaches.
        once: Planned,
        /// What three prints do.
        thrice: Planned,
    },
    /// Of holes and pins.
    Holes,
    /// Of a comb.
    Comb {
        /// From one opening to the next.
        step: f64,
        /// The fit's title.
        title: String,
        /// The standard uncertainty of the width where openings are only counted.
        counted_u: f64,
    },
    /// Of arcs.
    Arcs {
        /// The arcs, the widest first.
        arcs: Vec<Arc>,
        /// A strip's thickness.
        thick: f64,
    },
    /// Of an arm and its stair.
    Arm,
    /// Of bridges and slopes.
    Bridges,
    /// Of a ramp.
    Ramp {
        /// How many times a plate slides.
        slides: u32,
        /// The board's length.
        long: f64,
        /// The standard uncertainty of a rise that is read.
        rise_u: f64,
        /// The one of the coefficient by one slide, at a rise of a third of the length.
        slide_u: f64,
        /// The share by which slides scatter besides.
        scatter: f64,
    },
}

/// What prints teach of gaps: standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Planned {
    /// Of the bias, in mm.
    pub bias_u: f64,
    /// Of the scale.
    pub scale_u: f64,
}

/// Something to look at and write down. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Sight {
    /// What a step of the stair does to the arm.
    Step {
        /// From 1.
        number: usize,
        /// How far it opens the arm.
        opening: f64,
    },
    /// How far a bridge sags.
    Bridge {
        /// How far it spans.
        span: f64,
    },
    /// How a slope's underside came out.
    Slope {
        /// From vertical, in degrees.
        lean: f64,
    },
    /// How far the board's end rises until a plate slides.
    Slides {
        /// How many times.
        count: u32,
    },
    /// An outside across its first layers and above them.
    Foot {
        /// The part.
        part: String,
        /// The outside as drawn.
        drawn: f64,
    },
    /// Which arcs a strip bore.
    Wrapped {
        /// The strip.
        strip: String,
    },
}

/// What was drawn otherwise than the sheet says.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Remark {
    /// An arm that narrows is as wide all along as at its root.
    Narrows {
        /// The arm.
        arm: String,
    },
    /// An arm that grows from something thinner grows from a block.
    GrowsFrom {
        /// The arm.
        arm: String,
        /// Its `base`.
        base: String,
    },
}
