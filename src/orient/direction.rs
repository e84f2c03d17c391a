//! Ways up: unit vectors that a sheet can state, and how it states them.

use crate::geometry::{Vector, leaning};
use crate::source::Span;
use crate::syntax::tree::{Axis, Expr, ExprKind, Name, Value, ValueKind};

/// Tilts are written to this part of a degree, and checked as they are written.
const PER_DEGREE: f64 = 1e4;

/// A direction in a plane of two of the part's axes: what a sheet can state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    axis: Axis,
    /// In degrees, and toward which axis.
    tilt: Option<(f64, Axis)>,
}

impl Direction {
    /// The direction of a vector; `None` where it leans toward all three axes, which no sheet can state.
    #[must_use]
    pub fn of(vector: Vector) -> Option<Self> {
        let signed = |index: usize| Axis { index, negative: vector[index] < 0.0 };
        match leaning(vector).as_slice() {
            [only] => Some(Self { axis: signed(*only), tilt: None }),
            [from, to] => {
                let degrees = vector[*to].abs().atan2(vector[*from].abs()).to_degrees();
                let degrees = (degrees * PER_DEGREE).round() / PER_DEGREE;
                let tilt = (degrees > 0.0).then(|| (degrees, signed(*to)));
                Some(Self { axis: signed(*from), tilt })
            }
            _ => None,
        }
    }

    /// Whether it is one of the six axes.
    #[must_use]
    pub fn is_axis(&self) -> bool {
        self.tilt.is_none()
    }

    /// The unit vector.
    #[must_use]
    pub fn vector(&self) -> Vector {
        let Some((degrees, toward)) = self.tilt else { return self.axis.vector() };
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let (from, to) = (self.axis.vector(), toward.vector());
        std::array::from_fn(|i| cosine * from[i] + sine * to[i])
    }

    /// As a sheet states it: `+z`, `-z tilted 30 deg toward +x`.
    #[must_use]
    pub fn text(&self) -> String {
        match self.tilt {
            None => axis_text(self.axis),
            Some((degrees, toward)) => {
                format!("{} tilted {degrees} deg toward {}", axis_text(self.axis), axis_text(toward))
            }
        }
    }

    /// As the parser would read it.
    #[must_use]
    pub fn value(&self, span: Span) -> Value {
        let angle = |degrees: f64| {
            let unit = Some(Name::new("deg", span));
            Expr { kind: ExprKind::Number { value: degrees, unit }, span }
        };
        let tilt = self.tilt.map(|(degrees, toward)| (angle(degrees), toward));
        Value { kind: ValueKind::Direction { axis: self.axis, tilt }, span }
    }
}

fn axis_text(axis: Axis) -> String {
    format!("{}{}", if axis.negative { "-" } else { "+" }, ["x", "y", "z"][axis.index])
}

/// The two level directions along which a box lies when a direction points up: the axis that is
/// most level, and the one across it. Exact for every direction in a plane of two axes.
#[must_use]
pub fn level_directions(up: Vector) -> [Vector; 2] {
    let level = (0..3).min_by(|a, b| up[*a].abs().total_cmp(&up[*b].abs())).unwrap_or(0);
    let (a, b) = ((level + 1) % 3, (level + 2) % 3);
    let (mut axis, mut across) = ([0.0; 3], [0.0; 3]);
    axis[level] = 1.0;
    (across[a], across[b]) = (up[b], -up[a]);
    [axis, across]
}
