//! Solids of plain shapes: outlines drawn out to a height, with bosses on them. Closed, oriented, in millimetres.

mod outline;
mod triangles;

use std::collections::BTreeMap;

pub use outline::{Outline, Point, on_circle};

use crate::geometry::{Vector, cross, dot};

/// A closed surface of triangles, counterclockwise as seen from outside.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Solid {
    corners: Vec<Vector>,
    triangles: Vec<[usize; 3]>,
}

/// What is wrong with a surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unsound {
    /// An outline crosses itself.
    #[error("an outline crosses itself")]
    Crossing,
    /// An edge has not exactly one neighbour, turned the same way out.
    #[error("the surface is not closed")]
    Open,
    /// It encloses nothing, or is inside out.
    #[error("the surface encloses nothing")]
    Empty,
}

impl Solid {
    /// An outline drawn out from the bed to a height.
    ///
    /// # Errors
    /// [`Unsound`] where that is no solid.
    pub fn drawn_out(outline: &Outline, height: f64) -> Result<Self, Unsound> {
        Self::with_bosses(outline, height, &[], 0.0)
    }

    /// The same with bosses on its top, which touch neither its edge nor each other, up to a height of their own from the bed.
    ///
    /// # Errors
    /// [`Unsound`] where that is no solid.
    pub fn with_bosses(outline: &Outline, height: f64, bosses: &[Outline], top: f64) -> Result<Self, Unsound> {
        let mut making = Making::default();
        making.cap(outline, 0.0, false)?;
        outline.lines().for_each(|line| making.walls(line, 0.0, height));
        let around = bosses.iter().fold(outline.clone(), Outline::without);
        making.cap(&around, height, true)?;
        for boss in bosses {
            boss.lines().for_each(|line| making.walls(line, height, top));
            making.cap(boss, top, true)?;
        }
        making.solid.sound()
    }

    /// Turned: what lay along x, y and z lies along these axes, which are a right-handed set.
    #[must_use]
    pub fn turned(mut self, [x, y, z]: [Vector; 3]) -> Self {
        for corner in &mut self.corners {
            *corner = std::array::from_fn(|at| corner[0] * x[at] + corner[1] * y[at] + corner[2] * z[at]);
        }
        self
    }

    /// Moved so that the lowest corner of its box lies there.
    #[must_use]
    pub fn at(mut self, to: Vector) -> Self {
        let (from, _) = self.extents();
        for corner in &mut self.corners {
            // Turning leaves negative noughts and the like.
            *corner = std::array::from_fn(|at| ((corner[at] - from[at] + to[at]) * 1e4).round() / 1e4);
        }
        self
    }

    /// The lowest and highest coordinates.
    #[must_use]
    pub fn extents(&self) -> (Vector, Vector) {
        let fold = |start: f64, pick: fn(f64, f64) -> f64| {
            self.corners.iter().fold([start; 3], |all, one| std::array::from_fn(|at| pick(all[at], one[at])))
        };
        (fold(f64::INFINITY, f64::min), fold(f64::NEG_INFINITY, f64::max))
    }

    /// Its box.
    #[must_use]
    pub fn size(&self) -> Vector {
        let (low, high) = self.extents();
        std::array::from_fn(|at| high[at] - low[at])
    }

    /// Its corners in mm.
    #[must_use]
    pub fn corners(&self) -> &[Vector] {
        &self.corners
    }

    /// Its triangles, as indices of corners.
    #[must_use]
    pub fn triangles(&self) -> &[[usize; 3]] {
        &self.triangles
    }

    /// The volume that it encloses in mm³: that of the pyramids from the origin to each triangle (the divergence theorem).
    #[must_use]
    pub fn volume(&self) -> f64 {
        let pyramid = |corners: &[usize; 3]| {
            let [a, b, c] = corners.map(|at| self.corners[at]);
            dot(a, cross(b, c)) / 6.0
        };
        self.triangles.iter().map(pyramid).sum()
    }

    /// The solid itself, if it is closed and right side out.
    fn sound(self) -> Result<Self, Unsound> {
        let mut edges: BTreeMap<(usize, usize), u32> = BTreeMap::new();
        for [a, b, c] in &self.triangles {
            for edge in [(*a, *b), (*b, *c), (*c, *a)] {
                *edges.entry(edge).or_default() += 1;
            }
        }
        let is_matched = |((a, b), count): (&(usize, usize), &u32)| *count == 1 && edges.contains_key(&(*b, *a));
        match edges.iter().all(is_matched) {
            false => Err(Unsound::Open),
            true if self.volume() > 0.0 => Ok(self),
            true => Err(Unsound::Empty),
        }
    }
}

/// A solid while it is made: corners in one place are one corner.
#[derive(Default)]
struct Making {
    solid: Solid,
    known: BTreeMap<[i64; 3], usize>,
}

impl Making {
    fn corner(&mut self, [x, y]: Point, z: f64) -> usize {
        #[allow(clippy::cast_possible_truncation, reason = "a piece fits a bed")]
        let place = [x, y, z].map(|at| (at * 1e4).round() as i64);
        *self.known.entry(place).or_insert_with(|| {
            self.solid.corners.push([x, y, z]);
            self.solid.corners.len() - 1
        })
    }

    fn cap(&mut self, outline: &Outline, z: f64, up: bool) -> Result<(), Unsound> {
        let corners: Vec<usize> = outline.lines().flatten().map(|point| self.corner(*point, z)).collect();
        for [a, b, c] in triangles::triangles(outline).ok_or(Unsound::Crossing)? {
            let [a, b, c] = [corners[a], corners[b], corners[c]];
            self.solid.triangles.push(if up { [a, b, c] } else { [a, c, b] });
        }
        Ok(())
    }

    fn walls(&mut self, line: &[Point], from: f64, to: f64) {
        for (here, next) in line.iter().zip(line.iter().cycle().skip(1)) {
            let (a, b) = (self.corner(*here, from), self.corner(*next, from));
            let (c, d) = (self.corner(*next, to), self.corner(*here, to));
            self.solid.triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop where it fails")]
mod tests {
    use super::*;

    /// A prism holds its area times its height, a plate with bosses the sum of both (solid geometry).
    #[test]
    fn volumes_are_areas_times_heights() {
        let plate = Outline::rectangle([0.0, 0.0], [30.0, 10.0]);
        let hole = Outline::circle([5.0, 5.0], 4.0, 64);
        let boss = Outline::circle([20.0, 5.0], 6.0, 64);
        let solid = Solid::with_bosses(&plate.without(&hole), 2.0, &[boss], 7.0).unwrap();
        let circle = |diameter: f64| 64.0 / 8.0 * diameter.powi(2) * (std::f64::consts::TAU / 64.0).sin();
        let expected = 2.0 * (300.0 - circle(4.0)) + 5.0 * circle(6.0);
        assert!((solid.volume() - expected).abs() < 1e-2, "{} is not {expected}", solid.volume());
        assert_eq!(solid.extents(), ([0.0, 0.0, 0.0], [30.0, 10.0, 7.0]));
    }

    #[test]
    fn a_turned_solid_keeps_its_volume_and_its_outside() {
        let corner = Outline::of(vec![[0.0, 0.0], [4.0, 0.0], [4.0, 1.0], [1.0, 1.0], [1.0, 3.0], [0.0, 3.0]]);
        let solid = Solid::drawn_out(&corner, 2.0).unwrap();
        let turned = solid.clone().turned([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]).at([9.0, 8.0, 0.0]);
        assert!((turned.volume() - solid.volume()).abs() < 1e-9 && (solid.volume() - 12.0).abs() < 1e-9);
        assert_eq!(turned.extents(), ([9.0, 8.0, 0.0], [12.0, 10.0, 4.0]));
    }

    #[test]
    fn what_crosses_itself_is_refused() {
        let bow = Outline::of(vec![[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 3.0]]);
        assert!(Solid::drawn_out(&bow, 2.0).is_err());
    }

    #[test]
    fn many_holes_leave_it_closed() {
        let mut plate = Outline::rectangle([0.0, 0.0], [64.0, 16.0]);
        for (at, diameter) in [(8.0, 3.0), (20.0, 5.0), (34.0, 8.0), (52.0, 12.0)] {
            plate = plate.without(&Outline::circle([at, 8.0], diameter, 64));
        }
        let solid = Solid::drawn_out(&plate, 5.0).unwrap();
        assert!((solid.volume() - 5.0 * plate.area()).abs() < 1e-6);
    }
}
