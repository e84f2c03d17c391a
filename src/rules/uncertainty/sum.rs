//! The distribution of a sum of independent inputs, some normal, some uniform between bounds, some of Student's t.

use super::axes::Axis;
use super::student;

/// How far Student's t is followed in its own scale, and in how many steps.
const SCALES: f64 = 5.0;
const SCALE_STEPS: u32 = 32;

/// The chance that a sum lies below `limit`: of inputs around zero that each move it by so much, by a standard uncertainty.
///
/// Student's t with ν degrees of freedom is a normal variable of which the variance is itself uncertain: ν over a chi-squared
/// one. Several of them count as one with the degrees of freedom of the formula of Welch and Satterthwaite (JCGM 100:2008, G.4.1).
pub(super) fn of_inputs(limit: f64, inputs: impl Iterator<Item = (f64, Axis)>) -> f64 {
    let (mut normal, mut half_widths) = (0.0_f64, Vec::new());
    let (mut variance, mut freedom) = (0.0_f64, 0.0_f64);
    for (amount, axis) in inputs {
        match axis {
            Axis::Normal => normal = normal.hypot(amount),
            Axis::Bounded => half_widths.push(amount.abs() * 3.0_f64.sqrt()),
            Axis::Student(of) => {
                variance += amount * amount;
                freedom += amount.powi(4) / f64::from(of);
            }
        }
    }
    if variance == 0.0 {
        return below(limit, normal, half_widths);
    }
    let freedom = variance * variance / freedom;
    if normal == 0.0 && half_widths.is_empty() {
        return student::below(limit / variance.sqrt(), freedom);
    }
    // Simpson's rule over the chi variable.
    let step = (freedom.sqrt() + SCALES) / f64::from(SCALE_STEPS);
    let (mut sum, mut weights) = (0.0, 0.0);
    for index in 0..=SCALE_STEPS {
        let chi = step * f64::from(index);
        let weight = simpsons(index, SCALE_STEPS) * chi.powf(freedom - 1.0) * (-0.5 * chi * chi).exp();
        let share = if chi > 0.0 {
            below(limit, normal.hypot((variance * freedom).sqrt() / chi), half_widths.clone())
        } else {
            0.5
        };
        sum += weight * share;
        weights += weight;
    }
    sum / weights
}

fn simpsons(index: u32, last: u32) -> f64 {
    match index {
        0 => 1.0,
        end if end == last => 1.0,
        odd if odd % 2 == 1 => 4.0,
        _ => 2.0,
    }
}

/// Uniform inputs that are worked out exactly; the narrowest beyond them count as normal.
const EXACT: usize = 5;
/// A uniform input narrower than this share of the whole counts as normal: nothing shows of its
/// corners, and its powers would only lose digits.
const NARROW: f64 = 0.05;
/// How far the normal part is followed, in its standard deviations, and in how many steps.
const REACH: f64 = 6.0;
const STEPS: u32 = 96;

/// The chance that the sum lies below `limit`: of a normal input of standard deviation `normal`
/// around zero, and uniform ones with these half-widths around zero.
fn below(limit: f64, normal: f64, mut half_widths: Vec<f64>) -> f64 {
    let variance = |half_width: f64| half_width * half_width / 3.0;
    let whole = (normal * normal + half_widths.iter().map(|a| variance(*a)).sum::<f64>()).sqrt();
    half_widths.sort_by(|a, b| b.total_cmp(a));
    let mut rest = normal * normal;
    let kept = half_widths.iter().take_while(|a| **a > NARROW * whole).count().min(EXACT);
    rest += half_widths.drain(kept..).map(variance).sum::<f64>();
    let normal = rest.sqrt();
    if half_widths.is_empty() {
        return normal_below(limit / normal);
    }
    if normal <= NARROW * NARROW * whole {
        return uniform_below(limit, &half_widths);
    }
    // Simpson's rule over the normal part.
    let step = 2.0 * REACH / f64::from(STEPS);
    let weighted = |index: u32| {
        let z = -REACH + step * f64::from(index);
        simpsons(index, STEPS) * density(z) * uniform_below(limit - normal * z, &half_widths)
    };
    let sum: f64 = (0..=STEPS).map(weighted).sum();
    (sum * step / 3.0).clamp(0.0, 1.0)
}

/// The normal distribution's share below `z`.
pub(in crate::rules) fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The normal distribution's density.
pub(super) fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// The chance that a sum of uniform inputs lies below `limit`: over all choices of signs,
/// the sum of (-1)^k (limit + s)^n where positive, over n! 2^n times the product of the half-widths,
/// with s the signed sum of the half-widths and k how many of the signs are negative.
///
/// Source: distribution of a sum of uniform variables of unequal widths (the general case of the
/// Irwin-Hall distribution; from memory, checked against the triangle of two equal ones).
fn uniform_below(limit: f64, half_widths: &[f64]) -> f64 {
    let total: f64 = half_widths.iter().sum();
    if limit.abs() >= total {
        return if limit > 0.0 { 1.0 } else { 0.0 };
    }
    let n = u32::try_from(half_widths.len()).unwrap_or(u32::MAX);
    let mut scale = 1.0;
    for (index, half_width) in half_widths.iter().enumerate() {
        #[allow(clippy::cast_precision_loss, reason = "at most five")]
        let factor = (index + 1) as f64;
        scale *= 2.0 * half_width * factor;
    }
    let mut sum = 0.0;
    for signs in 0..1_u32 << n {
        let signed: f64 =
            half_widths.iter().enumerate().map(|(index, a)| if signs >> index & 1 == 1 { -a } else { *a }).sum();
        let power = (limit + signed).max(0.0).powi(n.cast_signed());
        sum += if signs.count_ones() % 2 == 1 { -power } else { power };
    }
    (sum / scale).clamp(0.0, 1.0)
}
