//! Bodies on the bed: in rows, with room between them.

use super::{Body, Refusal};
use crate::geometry::Vector;

/// Room between bodies, in mm.
const BETWEEN: f64 = 6.0;

/// The bodies in their places, from the bed's corner.
pub(super) fn laid_out(bodies: Vec<Body>, room: Vector) -> Result<Vec<Body>, Refusal> {
    let (mut x, mut y, mut deep) = (0.0, 0.0, 0.0_f64);
    let mut placed = Vec::new();
    for body in bodies {
        let size = body.solid.size();
        if x > 0.0 && x + size[0] > room[0] {
            (x, y, deep) = (0.0, y + deep + BETWEEN, 0.0);
        }
        if (0..3).any(|at| [x, y, 0.0][at] + size[at] > room[at]) {
            return Err(Refusal::NoRoom { body: body.name, size, room });
        }
        placed.push(Body { solid: body.solid.at([x, y, 0.0]), ..body });
        x += size[0] + BETWEEN;
        deep = deep.max(size[1]);
    }
    Ok(placed)
}
