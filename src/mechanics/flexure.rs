//! Large-deflection bending of a tapered arm on a giving root, in dimensionless form: lengths over the arm's length,
//! thickness and width over those at the root, force as `phi = F L^2 / (E I_root)`.

use super::mesh::{Arc, Mesh};

/// Section and root of an arm, dimensionless.
#[derive(Debug, Clone, Copy)]
pub struct Shape {
    /// Tip over root thickness, above zero.
    pub thickness_ratio: f64,
    /// Tip over root width, above zero.
    pub width_ratio: f64,
    /// Root rotation under a unit of `phi` at a unit of moment arm.
    pub turn_by_moment: f64,
    /// Root rotation under a unit of `phi` by its shear; the root's sinking under the moment is equal to it.
    pub turn_by_shear: f64,
    /// Deflection under a unit of `phi` from the root's sinking by shear.
    pub sink_by_shear: f64,
    /// Deflection under a unit of `phi` from the arm's own shear, over the integral of `ds / (width thickness)`.
    pub shear: f64,
}

/// State of a bent arm.
#[derive(Debug, Clone, Copy)]
pub struct Bent {
    /// `F L^2 / (E I_root)`.
    pub phi: f64,
    /// Horizontal distance from root to tip over the length.
    pub reach: f64,
    /// Largest outer-fibre curvature factor: `strain = factor * t_root / (2 L)`.
    pub peak: f64,
    /// Where along the arm, from the root, over the length.
    pub peak_at: f64,
    /// Small deflection over that of the same shape clamped rigidly and without shear.
    pub stiffness_factor: f64,
}

/// Largest tip deflection over length that the solver takes.
pub const LARGEST: f64 = 0.5;

/// What may still change when the iteration ends, as a share.
const SETTLED: f64 = 1e-11;

impl Shape {
    pub(super) fn thickness(&self, s: f64) -> f64 {
        1.0 + (self.thickness_ratio - 1.0) * s
    }

    pub(super) fn width(&self, s: f64) -> f64 {
        1.0 + (self.width_ratio - 1.0) * s
    }

    /// Where the strain of a slightly bent arm is largest: the maximum of `u / (b t^2)`, `u` from the tip.
    pub fn peak_at(&self) -> f64 {
        let (r, q) = (self.thickness_ratio, self.width_ratio);
        let (dr, dq) = (1.0 - r, 1.0 - q);
        // 2 dq dr u^2 + q dr u - q r = 0, its positive root in the form that stays good as dq goes to zero.
        let square = (q * dr).powi(2) + 8.0 * dq * dr * q * r;
        if dr <= 0.0 || square < 0.0 {
            return 0.0;
        }
        let u = 2.0 * q * r / (q * dr + square.sqrt());
        (1.0 - u).max(0.0)
    }

    /// Bend the arm until its tip stands `deflection` (over the length) aside. `None` where the iteration does not
    /// settle, as when a very thin tip turns by more than some 80 degrees.
    ///
    /// Each pass takes the shape so far, one step of Newton's method for the force that reaches the deflection in it,
    /// and the shape under that force.
    pub(super) fn bend(&self, deflection: f64) -> Option<Bent> {
        let mesh = Mesh::new(self);
        let mut along = mesh.at.clone();
        let mut arc = Arc::of(mesh.at.len());
        let mut reach = 1.0;
        let mut phi = None;
        for pass in 0..200 {
            let bending = self.unit_slopes(&mesh, &along, reach, &mut arc);
            let sink = self.turn_by_shear * reach + self.sink_by_shear + self.shear * mesh.shear_integral;
            // The small deflection's answer lies below the right one.
            let known = phi.unwrap_or_else(|| deflection / (bending + sink));
            let (next, is_exact) = mesh.force(&mut arc, sink, deflection, known);
            let total = mesh.cumulate(&arc.cosines, &mut arc.inner);
            let settled = is_exact && (next - known).abs() <= SETTLED * next.abs() && (total - reach).abs() <= SETTLED;
            // Half steps at length: an arm that curls far swings about its shape instead of settling.
            let stride = if pass < 15 { 1.0 } else { 0.5 };
            for (x, fresh) in along.iter_mut().zip(&arc.inner) {
                *x += stride * (fresh - *x);
            }
            phi = Some(next);
            reach += stride * (total - reach);
            if settled {
                return Some(self.peak(&mesh, &arc.cosines, &along, next, reach));
            }
        }
        None
    }

    /// Small deflection over that of the same shape clamped rigidly and without shear.
    pub(super) fn stiffness_factor(&self) -> f64 {
        self.stiffness_on(&Mesh::new(self))
    }

    fn stiffness_on(&self, mesh: &Mesh) -> f64 {
        let bending: Vec<f64> =
            mesh.at.iter().zip(&mesh.softness).map(|(at, soft)| (1.0 - at).powi(2) * soft).collect();
        let clamped = mesh.integral(&bending);
        let root = self.turn_by_moment + 2.0 * self.turn_by_shear + self.sink_by_shear;
        1.0 + (root + self.shear * mesh.shear_integral) / clamped
    }

    /// Slope at each node for `phi = 1`; gives its integral over the arm.
    fn unit_slopes(&self, mesh: &Mesh, along: &[f64], reach: f64, arc: &mut Arc) -> f64 {
        let root = self.turn_by_moment * reach + self.turn_by_shear;
        for ((curvature, soft), x) in arc.inner.iter_mut().zip(&mesh.softness).zip(along) {
            *curvature = (reach - x) * soft;
        }
        mesh.cumulate(&arc.inner, &mut arc.slopes);
        arc.slopes.iter_mut().for_each(|slope| *slope += root);
        mesh.integral(&arc.slopes)
    }

    fn peak(&self, mesh: &Mesh, cosines: &[f64], along: &[f64], phi: f64, reach: f64) -> Bent {
        let strain = |at: f64, x: f64| phi * (reach - x) / (self.width(at) * self.thickness(at).powi(2));
        let known = (mesh.split, mesh.until_split(cosines));
        let places = mesh.at.iter().copied().zip(along.iter().copied());
        let start = (strain(0.0, 0.0), 0.0);
        let (peak, peak_at) = std::iter::once(known).chain(places).fold(start, |best, (at, x)| {
            let here = strain(at, x);
            if here > best.0 { (here, at) } else { best }
        });
        Bent { phi, reach, peak, peak_at, stiffness_factor: self.stiffness_on(mesh) }
    }
}
