//! Numbers beside what they name, in views with so many features that balloons around them would be a thicket.

use super::balloons::Named;
use super::sheet::{MM, Point};
use crate::report::Drawing;

/// From this many on, a view has numbers in it and no balloons around it.
pub(super) const MANY: usize = 25;
/// How wide a digit is, how far a number reaches over the line it is written on, and under it.
const DIGIT: f64 = 1.5 * MM;
const ABOVE: f64 = 2.2 * MM;
const BELOW: f64 = 0.6 * MM;
/// From the middle of what it names.
const OFF: f64 = 0.8 * MM;
/// How far over the view's edges a number may reach.
const OVER: f64 = 2.0 * MM;

/// A box on the paper: left, top, right, bottom.
type Area = [f64; 4];

/// The numbers that have room, each beside the place that it names and clear of all others, and where each begins.
pub(super) fn place(named: &[Named], [left, top, right, bottom]: Area) -> Vec<(usize, Point)> {
    let room = [left - OVER, top - OVER, right + OVER, bottom + OVER];
    let mut taken: Vec<Area> = Vec::new();
    let mut placed = Vec::new();
    for one in named {
        let wide = DIGIT * f64::from(u8::try_from(one.number.to_string().len()).unwrap_or(u8::MAX));
        let (x, y) = one.at;
        let starts = [
            (x - wide / 2.0, y - OFF),
            (x - wide / 2.0, y + OFF + ABOVE),
            (x + OFF, y + ABOVE / 2.0),
            (x - OFF - wide, y + ABOVE / 2.0),
        ];
        let area = |(x, y): Point| [x, y - ABOVE, x + wide, y + BELOW];
        let is_free = |area: Area| {
            let inside = area[0] >= room[0] && area[1] >= room[1] && area[2] <= room[2] && area[3] <= room[3];
            inside && !taken.iter().any(|other| touch(area, *other))
        };
        if let Some(start) = starts.into_iter().find(|start| is_free(area(*start))) {
            taken.push(area(start));
            placed.push((one.number, start));
        }
    }
    placed
}

fn touch(a: Area, b: Area) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Draws them.
pub(super) fn draw(drawing: &mut Drawing, placed: &[(usize, Point)]) {
    for (number, start) in placed {
        drawing.text(*start, "tag", &number.to_string());
    }
}
