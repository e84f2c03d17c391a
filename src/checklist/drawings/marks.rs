//! What is watched while it prints, marked where it is: undersides that hang over thin air, roofs that bridge it, and what is
//! printed on support.

use super::sheet::{MM, Point};
use crate::report::Drawing;
use crate::rules::Mark;

/// Between two strokes, and how long they are.
const STEP: f64 = 1.6 * MM;
const STROKE: f64 = 1.4 * MM;
/// The least width of a mark.
const LEAST: f64 = 4.0 * MM;

/// Marks an underside that reaches from one x to another at a height, `floor` what lies under it, all on the paper.
pub(super) fn draw(drawing: &mut Drawing, mark: Mark, (left, right): (f64, f64), y: f64, floor: f64) {
    let (left, right) = widened(left, right);
    drawing.line((left, y), (right, y), "mark");
    match mark {
        Mark::Bridge => drawing.path(&zigzag(left, right, y), "stroke"),
        Mark::Overhang => {
            strokes(left, right).for_each(|x| drawing.line((x, y), (x - 0.6 * STROKE, y + STROKE), "stroke"));
        }
        Mark::Support => strokes(left, right).for_each(|x| drawing.line((x, y), (x, floor), "stroke")),
    }
}

fn widened(left: f64, right: f64) -> (f64, f64) {
    let short = (LEAST - (right - left)).max(0.0) / 2.0;
    (left - short, right + short)
}

fn strokes(left: f64, right: f64) -> impl Iterator<Item = f64> {
    let step = (right - left) / ((right - left) / STEP).round().max(1.0);
    std::iter::successors(Some(left), move |x| Some(x + step)).take_while(move |x| *x <= right + 0.5)
}

fn zigzag(left: f64, right: f64, y: f64) -> Vec<Point> {
    strokes(left, right).enumerate().map(|(index, x)| (x, if index % 2 == 0 { y } else { y + STROKE })).collect()
}

/// What a mark looks like, in words.
pub(super) fn looks(mark: Mark) -> &'static str {
    match mark {
        Mark::Bridge => "a zigzag under a line is a bridge",
        Mark::Overhang => "slanted strokes under a line are an overhang",
        Mark::Support => "uprights under a line are support",
    }
}
