//! The values that follow a word: plain ones, tolerances, readings, bounds, sizes, places and directions.

use serde::{Deserialize, Serialize};

use super::{Expr, Name};
use crate::source::Span;

/// What follows a word.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Value {
    /// Its form.
    pub kind: ValueKind,
    /// Where.
    pub span: Span,
}

impl Value {
    /// Calls `visit` on every expression in it and everything below.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Expr)) {
        match &self.kind {
            ValueKind::Plain(expr) => expr.walk(visit),
            ValueKind::Toleranced { nominal, above, below } => {
                for expr in [nominal, above, below] {
                    expr.walk(visit);
                }
            }
            ValueKind::Measured { readings, limit, .. } => {
                for expr in readings.iter().chain(limit.as_deref()) {
                    expr.walk(visit);
                }
            }
            ValueKind::Between { low, high } => {
                low.walk(visit);
                high.walk(visit);
            }
            ValueKind::Bound { at, .. } => at.walk(visit),
            ValueKind::Size(lengths) | ValueKind::Place(lengths) => {
                for expr in lengths {
                    expr.walk(visit);
                }
            }
            ValueKind::Direction { tilt, .. } => {
                if let Some((angle, _)) = tilt {
                    angle.walk(visit);
                }
            }
        }
    }
}

/// The forms of a value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum ValueKind {
    /// A number, word, path, text, comparison or calculation.
    Plain(Expr),
    /// `2.4 mm ± 0.1 mm`, `22 mm +0.1/-0.0 mm`
    Toleranced {
        /// The drawn value.
        nominal: Expr,
        /// How far above it may be.
        above: Expr,
        /// How far below it may be, as a positive amount.
        below: Expr,
    },
    /// `measured 2.02, 1.98, 2.05 mm by caliper`
    Measured {
        /// The readings; those without a unit take the last one's.
        readings: Vec<Expr>,
        /// What they were taken with.
        instrument: Option<Name>,
        /// The instrument's limit, where the sheet states it.
        limit: Option<Box<Expr>>,
    },
    /// `between 14.6 mm and 15.0 mm`, `14.6 to 15.0 mm`
    Between {
        /// The lower bound.
        low: Expr,
        /// The upper bound.
        high: Expr,
    },
    /// `at least 17 mm`, `at most 9 mm`: known to one side only
    Bound {
        /// On which side.
        side: Side,
        /// The bound.
        at: Expr,
    },
    /// `42 x 24 x 12 mm`; extents without a unit take the last one's.
    Size(Vec<Expr>),
    /// `12, 8, 0 mm`; distances without a unit take the last one's.
    Place(Vec<Expr>),
    /// `+x`, `-z tilted 30 deg toward +y`
    Direction {
        /// The axis it starts from.
        axis: Axis,
        /// How far it is tilted, and toward which axis.
        tilt: Option<(Expr, Axis)>,
    },
}

/// To which side of a bound a value lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// It is at least so much.
    Least,
    /// It is at most so much.
    Most,
}

/// One of the part's own six axis directions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Axis {
    /// 0 for x, 1 for y, 2 for z.
    pub index: usize,
    /// Whether it points the negative way.
    pub negative: bool,
}

impl Axis {
    /// The unit vector.
    #[must_use]
    pub fn vector(self) -> [f64; 3] {
        let mut vector = [0.0; 3];
        vector[self.index] = if self.negative { -1.0 } else { 1.0 };
        vector
    }
}
