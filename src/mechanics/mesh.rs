//! Integrals along a bent arm: Gauss nodes in panels, and what is worked out at them.

use std::f64::consts::FRAC_PI_2;

use super::flexure::Shape;

/// Panels between the root and the place of the largest strain, and again from there to the tip: of an even stretch, for
/// each factor of e in thickness and in width, and at the most.
const PANELS: f64 = 4.0;
const PANELS_TAPERED: f64 = 5.0;
const MOST_PANELS: f64 = 24.0;
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

/// What is worked out at the nodes in each pass.
pub(super) struct Arc {
    /// For `phi = 1`.
    pub(super) slopes: Vec<f64>,
    /// Of the slopes under the force.
    pub(super) cosines: Vec<f64>,
    /// An integral from the root to each node.
    pub(super) inner: Vec<f64>,
}

impl Arc {
    pub(super) fn of(count: usize) -> Self {
        Self { slopes: vec![0.0; count], cosines: vec![0.0; count], inner: vec![0.0; count] }
    }
}

/// Gauss nodes in panels, with a panel boundary where the strain is largest.
pub(super) struct Mesh {
    /// Where each node stands.
    pub(super) at: Vec<f64>,
    /// In an integral over the arm.
    weights: Vec<f64>,
    /// One over `width thickness^3`.
    pub(super) softness: Vec<f64>,
    panels: Vec<f64>,
    pub(super) split: f64,
    /// How many panels lie before the split.
    before: usize,
    pub(super) shear_integral: f64,
}

impl Mesh {
    pub(super) fn new(shape: &Shape) -> Self {
        let split = shape.peak_at();
        let mut bounds = vec![0.0];
        if split > 0.0 {
            stretch(shape, 0.0, split, &mut bounds);
        }
        let before = bounds.len() - 1;
        stretch(shape, split, 1.0, &mut bounds);
        let panels: Vec<f64> = bounds.windows(2).map(|w| w[1] - w[0]).collect();
        let each = |one: &dyn Fn(f64, f64, usize) -> f64| -> Vec<f64> {
            let starts = bounds.iter().zip(&panels);
            starts.flat_map(|(start, size)| std::array::from_fn::<_, STAGES, _>(|i| one(*start, *size, i))).collect()
        };
        let at = each(&|start, size, i| start + size * POINTS[i]);
        let weights = each(&|_, size, i| size * WEIGHTS[i]);
        let softness = at.iter().map(|at| 1.0 / (shape.width(*at) * shape.thickness(*at).powi(3))).collect();
        let inverse = at.iter().zip(&weights).map(|(at, weight)| weight / (shape.width(*at) * shape.thickness(*at)));
        let shear_integral = inverse.sum();
        Self { at, weights, softness, panels, split, before, shear_integral }
    }

    /// Integral from the root to each node; gives the one to the tip.
    pub(super) fn cumulate(&self, values: &[f64], inner: &mut [f64]) -> f64 {
        let mut total = 0.0;
        let stages = values.chunks_exact(STAGES).zip(inner.chunks_exact_mut(STAGES));
        for ((stage, inner), size) in stages.zip(&self.panels) {
            for (inner, row) in inner.iter_mut().zip(&PARTIAL) {
                *inner = total + size * dot(row, stage);
            }
            total += size * dot(&WEIGHTS, stage);
        }
        total
    }

    /// Integral over the arm.
    pub(super) fn integral(&self, values: &[f64]) -> f64 {
        self.weights.iter().zip(values).map(|(weight, value)| weight * value).sum()
    }

    /// Integral from the root to the place where the panels are split.
    pub(super) fn until_split(&self, values: &[f64]) -> f64 {
        let nodes = self.before * STAGES;
        self.weights[..nodes].iter().zip(values).map(|(weight, value)| weight * value).sum()
    }

    /// One step of Newton's method from `phi` toward the one at which `integral of sin(phi h) + phi sink` is
    /// `deflection`. The function is concave up to a right angle: from below the steps rise to its root, from above one
    /// step leads below it. Where no slope short of a right angle would do, the `phi` of that slope, which is not exact.
    pub(super) fn force(&self, arc: &mut Arc, sink: f64, deflection: f64, phi: f64) -> (f64, bool) {
        let Arc { slopes, cosines, inner: sines } = arc;
        let largest = FRAC_PI_2 / slopes.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let phi = phi.min(largest);
        for ((slope, sine), cosine) in slopes.iter().zip(&mut *sines).zip(&mut *cosines) {
            (*sine, *cosine) = sine_and_cosine(phi * slope);
        }
        let (mut value, mut rate) = (phi * sink, sink);
        for (((weight, slope), sine), cosine) in self.weights.iter().zip(&*slopes).zip(&*sines).zip(&*cosines) {
            value += weight * sine;
            rate += weight * slope * cosine;
        }
        let wanted = phi + (deflection - value) / rate;
        let next = wanted.min(largest);
        // By the first order from those at hand; nothing is left of the second once the force has settled.
        for ((cosine, slope), sine) in cosines.iter_mut().zip(&*slopes).zip(&*sines) {
            *cosine -= sine * slope * (next - phi);
        }
        (next, wanted <= largest)
    }
}

/// Sine and cosine of an angle from zero to a right one, to the last digits but one: their Taylor series. The compiler works
/// out several nodes at once, which it cannot with a call of a library.
fn sine_and_cosine(angle: f64) -> (f64, f64) {
    let square = angle * angle;
    let mut sine = 0.0;
    for factor in SINE {
        sine = sine * square + factor;
    }
    let mut cosine = 0.0;
    for factor in COSINE {
        cosine = cosine * square + factor;
    }
    (sine * angle, cosine)
}

/// One over 21!, 19!, … 1!, with turning signs.
const SINE: [f64; 11] = [
    1.0 / 51_090_942_171_709_440_000.0,
    -1.0 / 121_645_100_408_832_000.0,
    1.0 / 355_687_428_096_000.0,
    -1.0 / 1_307_674_368_000.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 39_916_800.0,
    1.0 / 362_880.0,
    -1.0 / 5_040.0,
    1.0 / 120.0,
    -1.0 / 6.0,
    1.0,
];
/// One over 22!, 20!, … 0!, with turning signs.
const COSINE: [f64; 12] = [
    -1.0 / 1_124_000_727_777_607_680_000.0,
    1.0 / 2_432_902_008_176_640_000.0,
    -1.0 / 6_402_373_705_728_000.0,
    1.0 / 20_922_789_888_000.0,
    -1.0 / 87_178_291_200.0,
    1.0 / 479_001_600.0,
    -1.0 / 3_628_800.0,
    1.0 / 40_320.0,
    -1.0 / 720.0,
    1.0 / 24.0,
    -1.0 / 2.0,
    1.0,
];

/// Panel ends after `from` up to `to`, in equal ratios of thickness so that a thin tip is resolved.
fn stretch(shape: &Shape, from: f64, to: f64, bounds: &mut Vec<f64>) {
    let ratio = shape.thickness(to) / shape.thickness(from);
    let narrowing = shape.width(to) / shape.width(from);
    let count = (PANELS + PANELS_TAPERED * (ratio.ln().abs() + narrowing.ln().abs())).ceil().min(MOST_PANELS);
    let mut panel = 1.0;
    while panel <= count {
        let part = panel / count;
        let along = if (ratio - 1.0).abs() < 1e-6 { part } else { (ratio.powf(part) - 1.0) / (ratio - 1.0) };
        bounds.push(from + (to - from) * along);
        panel += 1.0;
    }
}

fn dot(a: &[f64; STAGES], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The C library's functions, on every hundredth of a right angle.
    #[test]
    fn sine_and_cosine_are_those_of_the_library() {
        for index in 0..=100 {
            let angle = FRAC_PI_2 * f64::from(index) / 100.0;
            let (ours, library) = (sine_and_cosine(angle), angle.sin_cos());
            assert!((ours.0 - library.0).abs() < 1e-15, "{angle}: {ours:?}, {library:?}");
            assert!((ours.1 - library.1).abs() < 1e-15, "{angle}: {ours:?}, {library:?}");
        }
    }
}
