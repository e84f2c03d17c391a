//! Binary STL: eighty bytes of heading, a count, fifty bytes a triangle (the format's usual description; it has no standard). It knows
//! neither units nor names: millimetres are meant, and all bodies lie in it together.

use crate::gauge::Body;
use crate::geometry::{Vector, cross, unit};

const HEADING: usize = 80;

/// The whole file. The same bodies give the same bytes.
#[must_use]
pub fn stl(bodies: &[Body]) -> Vec<u8> {
    let mut out = b"dryfit gauge, millimetres".to_vec();
    out.resize(HEADING, b' ');
    let count: usize = bodies.iter().map(|body| body.solid.triangles().len()).sum();
    out.extend(u32::try_from(count).unwrap_or(u32::MAX).to_le_bytes());
    for body in bodies {
        for corners in body.solid.triangles() {
            let corners = corners.map(|at| body.solid.corners()[at]);
            std::iter::once(normal(corners)).chain(corners).flatten().for_each(|value| {
                #[allow(clippy::cast_possible_truncation, reason = "the format's own numbers")]
                out.extend((value as f32).to_le_bytes());
            });
            out.extend([0, 0]);
        }
    }
    out
}

fn normal([a, b, c]: [Vector; 3]) -> Vector {
    let side = |to: Vector| std::array::from_fn(|at| to[at] - a[at]);
    unit(cross(side(b), side(c)), 0.0).unwrap_or_default()
}
