//! Large-deflection bending of a tapered arm on a giving root, in dimensionless form: lengths over the arm's length,
//! thickness and width over those at the root, force as `phi = F L^2 / (E I_root)`.

use std::f64::consts::FRAC_PI_2;

/// Section and root of an arm, dimensionless.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
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
pub(super) struct Bent {
    /// `F L^2 / (E I_root)`.
    pub phi: f64,
    /// Horizontal distance from root to tip over the length.
    pub reach: f64,
    /// Largest outer-fibre curvature factor: `strain = factor * t_root / (2 L)`.
    pub peak: f64,
    /// Where along the arm, from the root, over the length.
    pub peak_at: f64,
}

/// Largest tip deflection over length that the solver takes.
pub(super) const LARGEST: f64 = 0.5;

/// What may still change when the iteration ends, as a share.
const SETTLED: f64 = 1e-12;

/// Panels between the root and the place of the largest strain, and again from there to the tip.
const PANELS: usize = 12;
const STAGES: usize = 3;

// Gauss-Legendre collocation of order six (three stages); a textbook table (Hairer, Norsett, Wanner, Solving Ordinary
// Differential Equations I, II.7), recalled and proved by the reference tests.
const ROOT15: f64 = 3.872_983_346_207_417;
const WEIGHTS: [f64; STAGES] = [5.0 / 18.0, 4.0 / 9.0, 5.0 / 18.0];
const POINTS: [f64; STAGES] = [0.5 - ROOT15 / 10.0, 0.5, 0.5 + ROOT15 / 10.0];
const PARTIAL: [[f64; STAGES]; STAGES] = [
    [5.0 / 36.0, 2.0 / 9.0 - ROOT15 / 15.0, 5.0 / 36.0 - ROOT15 / 30.0],
    [5.0 / 36.0 + ROOT15 / 24.0, 2.0 / 9.0, 5.0 / 36.0 - ROOT15 / 24.0],
    [5.0 / 36.0 + ROOT15 / 30.0, 2.0 / 9.0 + ROOT15 / 15.0, 5.0 / 36.0],
];

impl Shape {
    fn thickness(&self, s: f64) -> f64 {
        1.0 + (self.thickness_ratio - 1.0) * s
    }

    fn width(&self, s: f64) -> f64 {
        1.0 + (self.width_ratio - 1.0) * s
    }

    /// Where the strain of a slightly bent arm is largest: the maximum of `u / (b t^2)`, `u` from the tip.
    pub(super) fn peak_at(&self) -> f64 {
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
        let mut along: Vec<f64> = mesh.nodes.iter().map(|n| n.at).collect();
        let mut reach = 1.0;
        let mut phi = None;
        for pass in 0..200 {
            let slopes = self.unit_slopes(&mesh, &along, reach);
            let sink = self.turn_by_shear * reach + self.sink_by_shear + self.shear * mesh.shear_integral;
            // The small deflection's answer lies below the right one.
            let known = phi.unwrap_or_else(|| deflection / (mesh.cumulate(&slopes).1 + sink));
            let step = mesh.force(&slopes, sink, deflection, known);
            let (inner, total) = mesh.cumulate(&step.cosines);
            let settled =
                step.exact && (step.phi - known).abs() <= SETTLED * step.phi.abs() && (total - reach).abs() <= SETTLED;
            // Half steps at length: an arm that curls far swings about its shape instead of settling.
            let stride = if pass < 15 { 1.0 } else { 0.5 };
            for (x, fresh) in along.iter_mut().zip(inner) {
                *x += stride * (fresh - *x);
            }
            phi = Some(step.phi);
            reach += stride * (total - reach);
            if settled {
                return Some(self.peak(&mesh, &step.cosines, &along, step.phi, reach));
            }
        }
        None
    }

    /// Small deflection over that of the same shape clamped rigidly and without shear.
    pub(super) fn stiffness_factor(&self) -> f64 {
        let mesh = Mesh::new(self);
        let bending: Vec<f64> =
            mesh.nodes.iter().map(|n| (1.0 - n.at).powi(2) / (n.width * n.thickness.powi(3))).collect();
        let clamped = mesh.cumulate(&bending).1;
        let root = self.turn_by_moment + 2.0 * self.turn_by_shear + self.sink_by_shear;
        1.0 + (root + self.shear * mesh.shear_integral) / clamped
    }

    /// Slope at each node for `phi = 1`.
    fn unit_slopes(&self, mesh: &Mesh, along: &[f64], reach: f64) -> Vec<f64> {
        let root = self.turn_by_moment * reach + self.turn_by_shear;
        let curvature: Vec<f64> =
            mesh.nodes.iter().zip(along).map(|(n, x)| (reach - x) / (n.width * n.thickness.powi(3))).collect();
        let (slopes, _) = mesh.cumulate(&curvature);
        slopes.into_iter().map(|s| s + root).collect()
    }

    fn peak(&self, mesh: &Mesh, cosines: &[f64], along: &[f64], phi: f64, reach: f64) -> Bent {
        let strain = |at: f64, x: f64| phi * (reach - x) / (self.width(at) * self.thickness(at).powi(2));
        let known = (mesh.split, mesh.until_split(cosines));
        let places = mesh.nodes.iter().map(|n| n.at).zip(along.iter().copied());
        let start = (strain(0.0, 0.0), 0.0);
        let (peak, peak_at) = std::iter::once(known).chain(places).fold(start, |best, (at, x)| {
            let here = strain(at, x);
            if here > best.0 { (here, at) } else { best }
        });
        Bent { phi, reach, peak, peak_at }
    }
}

struct Node {
    at: f64,
    /// In an integral over the arm.
    weight: f64,
    thickness: f64,
    width: f64,
}

/// Gauss nodes in panels, with a panel boundary where the strain is largest.
struct Mesh {
    nodes: Vec<Node>,
    panels: Vec<f64>,
    split: f64,
    shear_integral: f64,
}

impl Mesh {
    fn new(shape: &Shape) -> Self {
        let split = shape.peak_at();
        let mut bounds = vec![0.0];
        if split > 0.0 {
            bounds.extend(stretch(shape, 0.0, split));
        }
        bounds.extend(stretch(shape, split, 1.0));
        let panels: Vec<f64> = bounds.windows(2).map(|w| w[1] - w[0]).collect();
        let nodes: Vec<Node> = bounds
            .iter()
            .zip(&panels)
            .flat_map(|(start, size)| {
                std::array::from_fn::<_, STAGES, _>(|i| (start + size * POINTS[i], size * WEIGHTS[i]))
            })
            .map(|(at, weight)| Node { at, weight, thickness: shape.thickness(at), width: shape.width(at) })
            .collect();
        let mut mesh = Self { nodes, panels, split, shear_integral: 0.0 };
        let inverse: Vec<f64> = mesh.nodes.iter().map(|n| 1.0 / (n.width * n.thickness)).collect();
        mesh.shear_integral = mesh.cumulate(&inverse).1;
        mesh
    }

    /// Integral from the root to each node, and to the tip.
    fn cumulate(&self, values: &[f64]) -> (Vec<f64>, f64) {
        let mut total = 0.0;
        let mut inner = Vec::with_capacity(values.len());
        for (stage, size) in values.chunks_exact(STAGES).zip(&self.panels) {
            inner.extend(PARTIAL.iter().map(|row| total + size * dot(row, stage)));
            total += size * dot(&WEIGHTS, stage);
        }
        (inner, total)
    }

    /// Integral from the root to the place where the panels are split.
    fn until_split(&self, values: &[f64]) -> f64 {
        let panels = if self.split > 0.0 { PANELS } else { 0 };
        values
            .chunks_exact(STAGES)
            .zip(&self.panels)
            .take(panels)
            .map(|(stage, size)| size * dot(&WEIGHTS, stage))
            .sum()
    }

    /// One step of Newton's method from `phi` toward the one at which `integral of sin(phi h) + phi sink` is
    /// `deflection`. The function is concave up to a right angle: from below the steps rise to its root, from above one
    /// step leads below it. Where no slope short of a right angle would do, the `phi` of that slope.
    fn force(&self, slopes: &[f64], sink: f64, deflection: f64, phi: f64) -> Step {
        let largest = FRAC_PI_2 / slopes.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let phi = phi.min(largest);
        let turned: Vec<(f64, f64)> = slopes.iter().map(|h| (phi * h).sin_cos()).collect();
        let (mut value, mut rate) = (phi * sink, sink);
        for ((node, slope), (sine, cosine)) in self.nodes.iter().zip(slopes).zip(&turned) {
            value += node.weight * sine;
            rate += node.weight * slope * cosine;
        }
        let wanted = phi + (deflection - value) / rate;
        let next = wanted.min(largest);
        // By the first order from those at hand; nothing is left of the second once the force has settled.
        let cosines = slopes.iter().zip(turned).map(|(h, (sine, cosine))| cosine - sine * h * (next - phi)).collect();
        Step { phi: next, exact: wanted <= largest, cosines }
    }
}

/// The force after a step toward the right one.
struct Step {
    phi: f64,
    /// Whether it was not held back at a right angle.
    exact: bool,
    /// Of the slopes at the nodes.
    cosines: Vec<f64>,
}

/// Panel ends after `from` up to `to`, in equal ratios of thickness so that a thin tip is resolved.
fn stretch(shape: &Shape, from: f64, to: f64) -> Vec<f64> {
    let ratio = shape.thickness(to) / shape.thickness(from);
    (1..=PANELS)
        .map(|k| {
            #[allow(clippy::cast_precision_loss, reason = "a dozen panels")]
            let part = k as f64 / PANELS as f64;
            let along = if (ratio - 1.0).abs() < 1e-6 { part } else { (ratio.powf(part) - 1.0) / (ratio - 1.0) };
            from + (to - from) * along
        })
        .collect()
}

fn dot(a: &[f64; STAGES], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
