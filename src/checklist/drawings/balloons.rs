//! Numbered balloons beside a view, apart from each other, each with a line to what it names.

use super::sheet::{MM, Point};
use crate::report::Drawing;

/// The radius of a balloon.
pub(super) const RADIUS: f64 = 2.6 * MM;
/// The least distance between the middles of two.
pub(super) const APART: f64 = 6.0 * MM;
/// From a view's edge to the middle of a balloon.
pub(super) const ASIDE: f64 = 6.5 * MM;

/// Which feature is where.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub number: usize,
    pub at: Point,
}

/// A balloon's middle with the place that it names.
pub(super) type Placed = (usize, Point, Point);

/// Balloons left and right of a view whose edges are given (left, top, right, bottom): each on the side that it is nearer
/// to while there is room, in the order of their heights.
pub(super) fn place(named: &[Named], [left, top, right, bottom]: [f64; 4]) -> Vec<Placed> {
    let middle = f64::midpoint(left, right);
    let mut sides: [Vec<&Named>; 2] = [Vec::new(), Vec::new()];
    for one in named {
        let nearer = usize::from(one.at.0 >= middle);
        // Neither side gets more than one above the other.
        let side = if sides[nearer].len() > sides[1 - nearer].len() { 1 - nearer } else { nearer };
        sides[side].push(one);
    }
    let mut placed = Vec::new();
    for (side, list) in sides.iter_mut().enumerate() {
        list.sort_by(|a, b| a.at.1.total_cmp(&b.at.1).then(a.number.cmp(&b.number)));
        let x = if side == 0 { left - ASIDE } else { right + ASIDE };
        for (one, y) in list.iter().zip(heights(list, top, bottom)) {
            placed.push((one.number, (x, y), one.at));
        }
    }
    untangled(placed)
}

/// Balloons change places while that makes their lines shorter: the shortest lines never cross.
fn untangled(mut placed: Vec<Placed>) -> Vec<Placed> {
    let length = |from: Point, to: Point| (from.0 - to.0).hypot(from.1 - to.1);
    for _ in 0..placed.len() {
        let mut is_done = true;
        for one in 1..placed.len() {
            for other in 0..one {
                let ((_, a, to_a), (_, b, to_b)) = (placed[one], placed[other]);
                if length(a, to_b) + length(b, to_a) < length(a, to_a) + length(b, to_b) - 1e-6 {
                    (placed[one].1, placed[other].1) = (b, a);
                    is_done = false;
                }
            }
        }
        if is_done {
            break;
        }
    }
    placed
}

/// Heights apart from each other, as near to what they name as that leaves, and not above the view.
fn heights(list: &[&Named], top: f64, bottom: f64) -> Vec<f64> {
    let mut heights: Vec<f64> = list.iter().map(|one| one.at.1.clamp(top, bottom.max(top))).collect();
    for index in 1..heights.len() {
        heights[index] = heights[index].max(heights[index - 1] + APART);
    }
    // What was pushed below the view goes up again as far as there is room.
    let mut lowest = bottom.max(top + APART * count(heights.len().saturating_sub(1)));
    for height in heights.iter_mut().rev() {
        *height = height.min(lowest);
        lowest = *height - APART;
    }
    heights
}

#[allow(clippy::cast_precision_loss, reason = "a handful")]
fn count(number: usize) -> f64 {
    number as f64
}

/// How high a view must be for its balloons.
pub(super) fn height_for(number: usize) -> f64 {
    APART * count(number.div_ceil(2).max(1) - 1)
}

/// Draws them.
pub(super) fn draw(drawing: &mut Drawing, placed: &[Placed]) {
    for (number, middle, end) in placed {
        let toward = (end.0 - middle.0, end.1 - middle.1);
        let length = toward.0.hypot(toward.1).max(1.0);
        let from = (middle.0 + toward.0 / length * RADIUS, middle.1 + toward.1 / length * RADIUS);
        drawing.line(from, *end, "leader");
        drawing.circle(*end, 0.4 * MM, "dot");
        drawing.circle(*middle, RADIUS, "balloon");
        drawing.text((middle.0, middle.1 + 1.0 * MM), "number", &number.to_string());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether two lines cross: the ends of each lie on both sides of the other.
    fn cross((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
        let side = |p: Point, q: Point, r: Point| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
        side(a, b, c) * side(a, b, d) < -1e-6 && side(c, d, a) * side(c, d, b) < -1e-6
    }

    #[test]
    fn balloons_and_their_lines_never_touch() {
        for many in [1, 2, 5, 13, 60] {
            let spot = |number: usize| (30.0 + count(number * 37 % 100), 40.0 + count(number * 53 % 80));
            let named: Vec<Named> = (1..=many).map(|number| Named { number, at: spot(number) }).collect();
            let placed = place(&named, [20.0, 30.0, 400.0, 30.0 + height_for(many).max(100.0)]);
            assert_eq!(placed.len(), many);
            for (index, (_, one, _)) in placed.iter().enumerate() {
                for (_, other, _) in &placed[..index] {
                    let apart = (one.0 - other.0).hypot(one.1 - other.1);
                    assert!(apart > 2.0 * RADIUS, "{many}: {one:?} {other:?}");
                }
                for (_, a, to_a) in &placed[..index] {
                    let (_, b, to_b) = placed[index];
                    assert!(!cross((*a, *to_a), (b, to_b)), "{many}: {a:?} to {to_a:?} crosses {b:?} to {to_b:?}");
                }
                assert!(one.1 >= 30.0 - 1e-9 && one.1 <= 30.0 + height_for(many).max(100.0) + 1e-9, "{many}: {one:?}");
            }
        }
    }
}
