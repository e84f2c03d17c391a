//! The distribution of a sum of independent inputs, some normal, some uniform between bounds, some of Student's t.

use super::axes::Axis;
use super::inversion::Parts;

/// An input of Student's t narrower than this share of the whole counts as normal: by its tails it moves a chance by no
/// more than one in ten thousand.
const FAINT: f64 = 1e-4;

/// The chance that a sum lies below `limit`: of inputs around zero that each move it by so much, by a standard uncertainty.
pub(super) fn of_inputs(limit: f64, inputs: impl Iterator<Item = (f64, Axis)>) -> f64 {
    let mut parts = Parts::default();
    for (amount, axis) in inputs.filter(|(amount, _)| *amount != 0.0) {
        match axis {
            Axis::Normal => parts.normal = parts.normal.hypot(amount),
            Axis::Bounded => parts.half_widths.push(amount.abs() * 3.0_f64.sqrt()),
            Axis::Student(freedom) => parts.few.push((amount.abs(), freedom)),
        }
    }
    let least = FAINT * parts.whole();
    for (scale, _) in parts.few.extract_if(.., |(scale, _)| *scale < least) {
        parts.normal = parts.normal.hypot(scale);
    }
    if parts.few.is_empty() { below(limit, parts.normal, &mut parts.half_widths) } else { parts.below(limit) }
}

/// Uniform inputs that are worked out exactly; the narrowest beyond them count as normal.
const EXACT: usize = 5;
/// A uniform input narrower than this share of the whole counts as normal: nothing shows of its
/// corners, and its powers would only lose digits.
const NARROW: f64 = 0.05;
/// So many standard deviations below a step, nothing of it is left.
const REACH: f64 = 8.0;

/// The chance that the sum lies below `limit`: of a normal input of standard deviation `normal`
/// around zero, and uniform ones with these half-widths around zero.
fn below(limit: f64, normal: f64, half_widths: &mut [f64]) -> f64 {
    let variance = |half_width: &f64| half_width * half_width / 3.0;
    let whole = (normal * normal + half_widths.iter().map(variance).sum::<f64>()).sqrt();
    half_widths.sort_by(|a, b| b.total_cmp(a));
    let exact = half_widths.iter().take_while(|a| **a > NARROW * whole).count().min(EXACT);
    let (half_widths, rest) = half_widths.split_at(exact);
    let normal = (normal * normal + rest.iter().map(variance).sum::<f64>()).sqrt();
    if half_widths.is_empty() {
        return normal_below(limit / normal);
    }
    uniform_below(limit, half_widths, if normal <= NARROW * NARROW * whole { 0.0 } else { normal })
}

/// The normal distribution's share below `z`.
pub(in crate::rules) fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The normal distribution's density.
pub(super) fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// The chance that a sum of uniform inputs and a normal one lies below `limit`: over all choices of signs, the sum of
/// (-1)^k (limit + s)^n / n! where positive, over 2^n times the product of the half-widths, with s the signed sum of the
/// half-widths and k how many of the signs are negative. With a normal input the power over n! gives way to
/// [`smoothed_power`], what it is on the mean.
///
/// Source: distribution of a sum of uniform variables of unequal widths (the general case of the
/// Irwin-Hall distribution; from memory, checked against the triangle of two equal ones).
fn uniform_below(limit: f64, half_widths: &[f64], normal: f64) -> f64 {
    let total: f64 = half_widths.iter().sum();
    if limit.abs() >= total + REACH * normal {
        return if limit > 0.0 { 1.0 } else { 0.0 };
    }
    let n = u32::try_from(half_widths.len()).unwrap_or(u32::MAX);
    let scale: f64 = half_widths.iter().map(|half_width| 2.0 * half_width).product();
    let mut sum = 0.0;
    for signs in 0..1_u32 << n {
        let signed: f64 =
            half_widths.iter().enumerate().map(|(index, a)| if signs >> index & 1 == 1 { -a } else { *a }).sum();
        let power = smoothed_power(limit + signed, n, normal);
        sum += if signs.count_ones() % 2 == 1 { -power } else { power };
    }
    (sum / scale).clamp(0.0, 1.0)
}

/// x^n / n! where x is positive, on the mean of a normal x of this standard deviation: the n-fold integral of the normal
/// distribution. By parts, I(n) = (z I(n-1) + I(n-2)) / n, from the density and its integral on.
fn smoothed_power(x: f64, n: u32, normal: f64) -> f64 {
    if x <= -REACH * normal {
        return 0.0;
    }
    if x >= REACH * normal {
        // On the mean, even powers of the normal part are left: this is the same formula without its tail.
        return power_mean(x, n, normal * normal);
    }
    let z = x / normal;
    let (mut last, mut now) = (density(z), normal_below(z));
    for order in 1..=n {
        (last, now) = (now, (z * now + last) / f64::from(order));
    }
    now * normal.powi(n.cast_signed())
}

/// The mean of x^n / n! of a normal x of this mean and variance: M(n) = (x M(n-1) + v M(n-2)) / n.
fn power_mean(x: f64, n: u32, variance: f64) -> f64 {
    let (mut last, mut now) = (0.0, 1.0);
    for order in 1..=n {
        (last, now) = (now, (x * now + variance * last) / f64::from(order));
    }
    now
}

#[cfg(test)]
mod tests {
    use super::below;

    /// Beyond all that the inputs can reach, everything or nothing lies below a limit.
    #[test]
    fn a_limit_out_of_reach_is_certain() {
        for normal in [0.0, 0.1] {
            assert!((below(5.0, normal, &mut [1.0, 2.0]) - 1.0).abs() < 1e-15);
            assert!(below(-5.0, normal, &mut [1.0, 2.0]).abs() < 1e-15);
        }
    }

    /// Two bounded inputs of half-width 1 have the triangle as their sum: x²/8 of it lies below, x from its lower end on. With
    /// a narrow normal input that is the mean of x², which adds its variance.
    #[test]
    fn a_narrow_normal_input_blurs_a_triangle() {
        for (x, normal) in [(0.8, 0.07), (1.0, 0.1), (1.2, 0.1)] {
            let (ours, exact) = (below(x - 2.0, normal, &mut [1.0, 1.0]), (x * x + normal * normal) / 8.0);
            assert!((ours - exact).abs() < 1e-12, "{x}: {ours}, exactly {exact}");
        }
    }
}
