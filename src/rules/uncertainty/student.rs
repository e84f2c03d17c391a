//! Student's t distribution: what is known of a mean from few readings.

use std::sync::atomic::{AtomicU64, Ordering};

use super::sum::normal_below;

/// From so many degrees of freedom on, it is the normal distribution to a tenth of a per cent.
const MANY: f64 = 200.0;
/// Simpson's steps over the angle.
const STEPS: u32 = 64;
/// The share below a place, for any degrees of freedom above zero.
///
/// With t = √ν tan θ the density is that of cos^(ν-1) θ, which is whole between a right angle on either side (from memory, checked
/// against the closed forms of one and two degrees of freedom and against tables).
pub(super) fn below(t: f64, freedom: f64) -> f64 {
    if freedom > MANY || t.is_infinite() {
        return normal_below(t);
    }
    let angle = (t.abs() / freedom.sqrt()).atan();
    let whole = libm::exp(libm::lgamma(f64::midpoint(freedom, 1.0)) - libm::lgamma(freedom / 2.0));
    let scale = whole / std::f64::consts::PI.sqrt();
    // From the nearer end: the tail where it is the smaller part.
    let half = std::f64::consts::FRAC_PI_2;
    let tail = (scale * simpson(angle, half, freedom - 1.0)).min(0.5);
    if t > 0.0 { 1.0 - tail } else { tail }
}

fn simpson(from: f64, to: f64, power: f64) -> f64 {
    let step = (to - from) / f64::from(STEPS);
    let weighted = |index: u32| {
        let weight = match index {
            0 | STEPS => 1.0,
            odd if odd % 2 == 1 => 4.0,
            _ => 2.0,
        };
        weight * (from + step * f64::from(index)).cos().max(0.0).powf(power)
    };
    (0..=STEPS).map(weighted).sum::<f64>() * step / 3.0
}

/// The characteristic function, for a whole number of degrees of freedom ν.
///
/// With z = √ν s it is z^(ν/2) K(z) / (2^(ν/2 - 1) Γ(ν/2)), K the modified Bessel function of order ν/2 (Hurst, Aust. J. Stat. 37,
/// 1995; from memory). From the recurrence of K, φ(ν + 2) = φ(ν) + z² φ(ν - 2) / (ν (ν - 2)), of terms above zero alone: for odd ν
/// from exp(-z) and (1 + z) exp(-z) on, for even ones from z K1(z) and that and z² K0(z) / 2.
pub(super) fn characteristic(s: f64, freedom: u32) -> f64 {
    if f64::from(freedom) > MANY {
        return (-0.5 * s * s).exp();
    }
    let z = f64::from(freedom).sqrt() * s;
    if z < FLAT && freedom > 1 {
        return 1.0;
    }
    let odd = freedom % 2 == 1;
    let (mut last, mut now) = if odd { ((-z).exp(), (1.0 + z) * (-z).exp()) } else { second_and_fourth(z) };
    if freedom <= 2 {
        return last;
    }
    for order in (if odd { 3 } else { 4 }..freedom).step_by(2).map(f64::from) {
        (last, now) = (now, now + z * z * last / (order * (order - 2.0)));
    }
    now
}

/// z K1(z), and that and z² K0(z) / 2. The modified Bessel functions are the integrals of exp(-z cosh t), for K1 times cosh t,
/// over all t above zero (Abramowitz and Stegun 9.6.24, from memory); the rule of trapezoids has them to a part in 1e9.
fn second_and_fourth(z: f64) -> (f64, f64) {
    let middle = 0.5 * (-z).exp();
    let (mut zero, mut one) = (middle, middle);
    let (mut grown, growth) = (1.0, BESSEL_STEP.exp());
    let mut cosh = 1.0;
    while z * (cosh - 1.0) < NOTHING {
        grown *= growth;
        cosh = f64::midpoint(grown, 1.0 / grown);
        let part = (-z * cosh).exp();
        zero += part;
        one += part * cosh;
    }
    let second = z * BESSEL_STEP * one;
    (second, second + 0.5 * z * z * BESSEL_STEP * zero)
}

/// Closer to zero than this a characteristic function is one (that of one degree of freedom has a corner there).
const FLAT: f64 = 1e-4;
/// The steps of the integrals, and less than the exponential of how little nothing of them is left.
const BESSEL_STEP: f64 = 0.4;
const NOTHING: f64 = 24.0;

/// Where as much of the distribution of a whole number of degrees of freedom lies below as of the normal one below a place.
pub(super) fn place(normal: f64, freedom: u32) -> f64 {
    let Some(places) = PLACES.get(freedom as usize) else { return normal };
    let at = normal.abs().min(REACH) / APART;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some dozens")]
    let first = (at as usize).clamp(1, KNOWN - 3) - 1;
    #[allow(clippy::cast_precision_loss, reason = "some dozens")]
    let x = at - first as f64;
    let around = [0, 1, 2, 3].map(|index| known_place(places, first + index, f64::from(freedom)));
    // The cubic through four neighbours.
    let two = around[0] - 2.0 * around[1] + around[2];
    let three = around[3] - around[0] + 3.0 * (around[1] - around[2]);
    let between = around[0] + x * (around[1] - around[0] + (x - 1.0) * (two / 2.0 + (x - 2.0) * three / 6.0));
    normal.signum() * between.sinh()
}

/// Up to so many degrees of freedom; with more it is taken for normal where places are asked for.
const TABLED: usize = 64;
/// The places of the normal variable that are kept, so many of them, so far apart, from zero to the last.
const KNOWN: usize = 49;
const APART: f64 = 0.125;
const REACH: f64 = 6.0;

/// Places for those of the normal variable, as area hyperbolic sines: smooth, and no more than some dozens. Each is looked for
/// when it is first asked for; until then it is zero.
static PLACES: [[AtomicU64; KNOWN]; TABLED] = [const { [const { AtomicU64::new(0) }; KNOWN] }; TABLED];

fn known_place(places: &[AtomicU64; KNOWN], index: usize, freedom: f64) -> f64 {
    if index == 0 {
        return 0.0;
    }
    let known = f64::from_bits(places[index].load(Ordering::Relaxed));
    if known > 0.0 {
        return known;
    }
    #[allow(clippy::cast_precision_loss, reason = "some dozens")]
    let place = area_place(index as f64 * APART, freedom);
    places[index].store(place.to_bits(), Ordering::Relaxed);
    place
}

/// The area hyperbolic sine of the place above which as much of the distribution lies as of the normal one above its own, which
/// is the smaller place of the two: by Newton's steps from there for the logarithm of the tail, which goes nearly straight with it.
fn area_place(normal: f64, freedom: f64) -> f64 {
    let tail = normal_below(-normal);
    let mut place = normal.asinh();
    for _ in 0..STEPS_TO_PLACE {
        let t = place.sinh();
        let found = below(-t, freedom);
        let slope = density(t, freedom) * place.cosh() / found;
        let step = (found / tail).ln() / slope;
        place += step;
        if step.abs() < CLOSE {
            break;
        }
    }
    place
}

fn density(t: f64, freedom: f64) -> f64 {
    let whole = libm::exp(libm::lgamma(f64::midpoint(freedom, 1.0)) - libm::lgamma(freedom / 2.0));
    whole / (std::f64::consts::PI * freedom).sqrt() * (1.0 + t * t / freedom).powf(-f64::midpoint(freedom, 1.0))
}

/// How closely a place is found, and in how many steps at the most.
const CLOSE: f64 = 1e-10;
const STEPS_TO_PLACE: u32 = 24;

#[cfg(test)]
mod tests {
    use super::*;

    /// One degree of freedom: 1/2 + atan(t)/π; two: 1/2 + t / (2 √(2 + t²)).
    #[test]
    fn the_closed_forms_of_one_and_two_degrees_of_freedom() {
        for t in [-30.0, -3.0_f64, -0.4, 0.0, 0.7, 2.0, 12.0] {
            let one = 0.5 + t.atan() / std::f64::consts::PI;
            let two = 0.5 + t / (2.0 * (2.0 + t * t).sqrt());
            assert!((below(t, 1.0) - one).abs() < 1e-9, "{t}: {} and {one}", below(t, 1.0));
            assert!((below(t, 2.0) - two).abs() < 1e-9, "{t}: {} and {two}", below(t, 2.0));
        }
    }

    /// Table G.2 of JCGM 100:2008 (from memory): t for 95.45 % is 13.97, 4.53, 3.31, 2.87, 2.65 and 2.28 for 1, 2, 3, 4, 5
    /// and 10 degrees of freedom.
    #[test]
    fn the_gums_table_of_t() {
        for (freedom, t) in [(1, 13.97), (2, 4.53), (3, 3.31), (4, 2.87), (5, 2.65), (10, 2.28)] {
            let ours = place(2.0, freedom);
            assert!((ours - t).abs() < 0.006, "{freedom}: {ours}, the table says {t}");
            // And between the places of the tables it is the inverse.
            let back = below(place(1.3, freedom), f64::from(freedom));
            assert!((back - normal_below(1.3)).abs() < 1e-6, "{freedom}: {back}");
        }
    }

    /// As far out as formulas are looked at (six standard deviations), and nearest to zero, where the cubic leans on one side:
    /// as much of the distribution lies below as of the normal one, to within 2e-5 of what does.
    #[test]
    fn places_at_both_ends_of_the_tables() {
        for freedom in [1, 2, 5, 30] {
            for normal in [0.0, 0.06, 0.19, 2.94, 5.81, 5.94, 6.0] {
                let (ours, exact) = (below(-place(normal, freedom), f64::from(freedom)), normal_below(-normal));
                assert!((ours / exact - 1.0).abs() < 2e-5, "{normal}, {freedom}: {ours}, not {exact}");
                assert!((place(-normal, freedom) + place(normal, freedom)).abs() < 1e-12);
            }
            assert!(place(8.0, freedom) >= place(5.99, freedom), "beyond, it stays");
        }
    }

    /// K0 and K1 at 0.1, 1, 2 and 5 (scipy 1.17, as Abramowitz and Stegun's table 9.8 has them).
    #[test]
    fn the_bessel_functions_of_even_degrees_of_freedom() {
        let table = [
            (0.1, 2.427_069_025, 9.853_844_781),
            (1.0, 0.421_024_438, 0.601_907_230),
            (2.0, 0.113_893_873, 0.139_865_882),
            (5.0, 0.003_691_098_3, 0.004_044_613_4),
        ];
        for (z, zero, one) in table {
            let (second, fourth) = second_and_fourth(z);
            assert!((second - z * one).abs() < 2e-9, "{z}: {second}");
            assert!((fourth - second - 0.5 * z * z * zero).abs() < 2e-9, "{z}: {fourth}");
        }
    }

    /// With three and five degrees of freedom (1 + z) exp(-z) and (1 + z + z²/3) exp(-z), z = √ν s; with many nearly that of the
    /// normal distribution.
    #[test]
    fn the_closed_forms_of_characteristic_functions() {
        for s in [0.01, 0.4, 1.0, 3.0_f64] {
            let [three, five] = [3.0_f64.sqrt() * s, 5.0_f64.sqrt() * s];
            assert!((characteristic(s, 3) - (1.0 + three) * (-three).exp()).abs() < 1e-15);
            assert!((characteristic(s, 5) - (1.0 + five + five * five / 3.0) * (-five).exp()).abs() < 1e-15);
            for many in [199, 200] {
                assert!((characteristic(s, many) - (-0.5 * s * s).exp()).abs() < 5e-3, "{many}");
            }
        }
    }
}
