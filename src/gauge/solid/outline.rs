//! Flat outlines in millimetres: an outer line with holes in it.

/// A point of a drawing.
pub type Point = [f64; 2];

/// Coordinates are whole ten-thousandths of a millimetre, so that points that should meet do.
const GRID: f64 = 1e4;

/// An area: what lies inside the outer line and outside the holes.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    outer: Vec<Point>,
    holes: Vec<Vec<Point>>,
}

impl Outline {
    /// Of its corners, either way around.
    #[must_use]
    pub fn of(corners: Vec<Point>) -> Self {
        Self { outer: wound(corners, true), holes: Vec::new() }
    }

    /// A rectangle from its lower left to its upper right corner.
    #[must_use]
    pub fn rectangle([x0, y0]: Point, [x1, y1]: Point) -> Self {
        Self::of(vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    }

    /// A circle of so many straight pieces, its corners on the circle, as modellers export it.
    #[must_use]
    pub fn circle(centre: Point, diameter: f64, facets: u32) -> Self {
        let corner =
            |at: u32| on_circle(centre, diameter / 2.0, std::f64::consts::TAU * f64::from(at) / f64::from(facets));
        Self::of((0..facets).map(corner).collect())
    }

    /// With a hole, which lies inside it and touches nothing.
    #[must_use]
    pub fn without(mut self, hole: &Self) -> Self {
        self.holes.push(wound(hole.outer.clone(), false));
        self
    }

    /// The outer line, counterclockwise.
    #[must_use]
    pub fn outer(&self) -> &[Point] {
        &self.outer
    }

    /// The holes, clockwise.
    #[must_use]
    pub fn holes(&self) -> &[Vec<Point>] {
        &self.holes
    }

    /// All lines, the outer one first.
    pub fn lines(&self) -> impl Iterator<Item = &[Point]> {
        std::iter::once(self.outer.as_slice()).chain(self.holes.iter().map(Vec::as_slice))
    }

    /// Its area in square millimetres.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.lines().map(area).sum()
    }
}

/// The point of a circle at an angle in radians.
#[must_use]
pub fn on_circle([x, y]: Point, radius: f64, angle: f64) -> Point {
    [x + radius * angle.cos(), y + radius * angle.sin()]
}

/// On the grid, without points that stand on each other or in the middle of a straight line, wound as asked.
fn wound(points: Vec<Point>, counterclockwise: bool) -> Vec<Point> {
    let mut points: Vec<Point> = points.into_iter().map(|point| point.map(|at| (at * GRID).round() / GRID)).collect();
    points.dedup();
    while points.len() > 3 {
        let count = points.len();
        let idle = (0..count).find(|at| {
            let [before, here, after] = [(at + count - 1) % count, *at, (at + 1) % count].map(|at| points[at]);
            cross(before, here, after).abs() < 0.5 / GRID / GRID
        });
        match idle {
            Some(at) => drop(points.remove(at)),
            None => break,
        }
    }
    if (area(&points) > 0.0) != counterclockwise {
        points.reverse();
    }
    points
}

/// The area inside a line: positive where it runs counterclockwise.
fn area(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// Twice the area of a triangle: positive where it turns left.
#[must_use]
pub(super) fn cross(a: Point, b: Point, c: Point) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}
