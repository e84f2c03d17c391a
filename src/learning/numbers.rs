//! Distributions and a quadrature, over a library's special functions.

use statrs::function::{beta, erf, gamma};

/// The normal distribution's share below a place.
pub(super) fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// Its logarithm, also where the share itself is too small for a number: there by its asymptotic series (Abramowitz and Stegun,
/// 26.2.12, from memory).
pub(super) fn normal_ln_below(z: f64) -> f64 {
    const FAR: f64 = -30.0;
    if z > FAR {
        return normal_below(z).ln();
    }
    let q = z.powi(-2);
    -0.5 * z * z - (-z).ln() - 0.5 * std::f64::consts::TAU.ln() + (-q * (1.0 - 3.0 * q * (1.0 - 5.0 * q))).ln_1p()
}

/// The place below which a share of the normal distribution lies.
pub(super) fn normal_place(share: f64) -> f64 {
    -std::f64::consts::SQRT_2 * erf::erfc_inv(2.0 * share)
}

/// The normal distribution's density.
pub(super) fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// Its logarithm.
pub(super) fn normal_ln_density(z: f64) -> f64 {
    -0.5 * z * z - 0.5 * std::f64::consts::TAU.ln()
}

/// The share of Student's t above a place on the far side of zero.
fn student_tail(t: f64, freedom: f64) -> f64 {
    0.5 * beta::beta_reg(0.5 * freedom, 0.5, freedom / (freedom + t * t))
}

/// The share of Student's t below a place.
pub(super) fn student_below(t: f64, freedom: f64) -> f64 {
    if !t.is_finite() || freedom.is_infinite() {
        return normal_below(t);
    }
    let tail = student_tail(t, freedom);
    if t > 0.0 { 1.0 - tail } else { tail }
}

/// The place below which a share of Student's t lies.
pub(super) fn student_place(share: f64, freedom: f64) -> f64 {
    if freedom.is_infinite() || share <= 0.0 || share >= 1.0 {
        return normal_place(share);
    }
    let x = beta::inv_beta_reg(0.5 * freedom, 0.5, 2.0 * share.min(1.0 - share));
    (share - 0.5).signum() * (freedom * (1.0 / x - 1.0)).sqrt()
}

/// The two-sided chance of lying farther from zero than a place of Student's t.
pub(super) fn student_beyond(t: f64, freedom: f64) -> f64 {
    2.0 * student_below(-t.abs(), freedom)
}

/// The logarithm of Student's t density.
pub(super) fn student_ln_density(t: f64, freedom: f64) -> f64 {
    let whole = gamma::ln_gamma(0.5 * (freedom + 1.0)) - gamma::ln_gamma(0.5 * freedom);
    whole - 0.5 * (std::f64::consts::PI * freedom).ln() - 0.5 * (freedom + 1.0) * (t * t / freedom).ln_1p()
}

/// The share of chi-squared above a value.
pub(super) fn chi_squared_above(value: f64, freedom: f64) -> f64 {
    if value <= 0.0 { 1.0 } else { gamma::gamma_ur(0.5 * freedom, 0.5 * value) }
}

/// Simpson's rule with an even number of steps.
pub(super) fn integral(from: f64, to: f64, steps: u32, of: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / f64::from(steps);
    let weighted = |index: u32| {
        let weight = match index {
            0 => 1.0,
            last if last == steps => 1.0,
            odd if odd % 2 == 1 => 4.0,
            _ => 2.0,
        };
        weight * of(from + step * f64::from(index))
    };
    (0..=steps).map(weighted).sum::<f64>() * step / 3.0
}

/// The same over places that follow one another, where a function turns: each stretch between two of them is smooth.
pub(super) fn integral_over(places: &[f64], steps: u32, of: impl Fn(f64) -> f64) -> f64 {
    let stretches = places.windows(2).filter(|pair| pair[0] < pair[1]);
    stretches.map(|pair| integral(pair[0], pair[1], steps, &of)).sum()
}

/// Places around one, in steps, as many on either side.
pub(super) fn around(middle: f64, step: f64, each_side: i32) -> impl Iterator<Item = f64> {
    (-each_side..=each_side).map(move |number| middle + step * f64::from(number))
}

/// Halvings that find a place to the last digit.
const HALVINGS: u32 = 80;

/// Where something stops being so, from one place to another.
pub(super) fn turn(mut from: f64, mut to: f64, is_so: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(from, to);
        if is_so(middle) {
            from = middle;
        } else {
            to = middle;
        }
    }
    f64::midpoint(from, to)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of Student's t and chi-squared, from memory: t(0.975; 5) = 2.5706, chi-squared(0.95; 3) = 7.8147.
    #[test]
    fn places_of_the_usual_tables() {
        assert!((student_place(0.975, 5.0) - 2.5706).abs() < 1e-4);
        assert!((student_place(0.025, 5.0) + 2.5706).abs() < 1e-4);
        assert!((student_below(2.5706, 5.0) - 0.975).abs() < 1e-5);
        assert!((chi_squared_above(7.8147, 3.0) - 0.05).abs() < 1e-5);
        assert!((normal_place(0.975) - 1.959_964).abs() < 1e-6);
        assert!(student_place(0.5, 3.0).abs() < 1e-6);
    }

    /// Phi(-40) = 3.655893540915e-350, from memory of the series' first terms: its logarithm is near -804.6084.
    #[test]
    fn a_share_that_is_too_small_for_a_number_has_a_logarithm() {
        assert!((normal_ln_below(-40.0) + 804.608_442).abs() < 1e-5, "{}", normal_ln_below(-40.0));
        assert!((normal_ln_below(-30.0 + 1e-9) - normal_ln_below(-30.0 - 1e-9)).abs() < 1e-6);
    }

    #[test]
    fn a_density_is_whole() {
        let whole = integral(-400.0, 400.0, 80_000, |t| student_ln_density(t, 3.0).exp());
        assert!((whole - 1.0).abs() < 1e-5, "{whole}");
    }
}
