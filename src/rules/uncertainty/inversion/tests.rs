//! Sums with means of few readings against a published table, closed forms and quadrature of the densities.

use proptest::collection::vec;
use proptest::prelude::*;

use super::*;
use crate::rules::uncertainty::sum::normal_below;

fn below(limit: f64, normal: f64, half_widths: &[f64], few: &[(f64, u32)]) -> f64 {
    Parts { normal, half_widths: half_widths.to_vec(), few: few.to_vec() }.below(limit)
}

/// The five per cent points of Behrens and Fisher's distribution, of t1 cos θ + t2 sin θ for θ in steps of 15 degrees (Sukhatme,
/// Sankhya 4, 1938; Fisher and Yates, Statistical Tables, table VI; from memory, and each within 0.001 of what quadrature says).
#[test]
fn the_table_of_behrens_and_fisher() {
    let table: [((u32, u32), &[f64]); 3] = [
        ((8, 6), &[2.306, 2.310, 2.331, 2.364, 2.398, 2.430, 2.447]),
        ((6, 6), &[2.447, 2.440, 2.435, 2.435]),
        ((8, 8), &[2.306, 2.300, 2.294, 2.292]),
    ];
    for ((one, other), points) in table {
        for (steps, point) in (0_u8..).zip(points) {
            let (sin, cos) = f64::from(15 * steps).to_radians().sin_cos();
            let beyond = 2.0 * below(-point, 0.0, &[], &[(cos, one), (sin, other)]);
            assert!((beyond - 0.05).abs() < 1e-4, "{one}, {other} at {steps}: {beyond} beyond {point}");
        }
    }
}

/// Means of two readings add up to one of the sum of their scales: 1/2 + atan(x / scale) / π (stability of Cauchy's
/// distribution), however many there are and far out as well.
#[test]
fn any_number_of_means_of_two_readings() {
    for count in [2_u8, 3, 10, 50] {
        for limit in [-900.0, -70.0, -9.0, -2.0, -0.1, 0.0, 0.5, 30.0_f64] {
            let exact = 0.5 + (limit / f64::from(count)).atan() / PI;
            let ours = below(limit, 0.0, &[], &vec![(1.0, 1); count.into()]);
            assert!((ours - exact).abs() < 2e-7, "{count} at {limit}: {ours}, exactly {exact}");
        }
    }
}

/// By quadrature of one density after the other (scipy 1.17, Gauss and Legendre's rule with 400 places over the area
/// hyperbolic sine of each but the last, of which the share below is taken), without characteristic functions.
#[test]
fn what_quadrature_of_the_densities_says() {
    type Case = (f64, f64, &'static [f64], &'static [(f64, u32)], f64);
    let cases: [Case; 13] = [
        (-3.0, 0.0, &[], &[(1.0, 2), (0.5, 3), (0.7, 1)], 0.130_340_540),
        (-1.5, 0.0, &[], &[(1.0, 2), (1.0, 2), (1.0, 2)], 0.286_690_489),
        (-2.5, 0.0, &[], &[(1.0, 1), (2.0, 5), (0.5, 4)], 0.227_380_715),
        (-4.0, 0.0, &[], &[(1.0, 2), (1.0, 2), (1.0, 3)], 0.087_475_565),
        (-2.0, 0.0, &[], &[(1.0, 6), (1.0, 9), (0.8, 30)], 0.133_255_080),
        (-0.1, 0.0, &[], &[(1.0, 1), (1.0, 3)], 0.480_977_725),
        (-2.0, 1.0, &[], &[(0.5, 1), (0.5, 2)], 0.145_130_435),
        (-2.0, 1.0, &[], &[(0.5, 2)], 0.067_647_181),
        (-1.5, 0.6, &[], &[(1.0, 3)], 0.139_924_142),
        (-1.0, 0.3, &[1.2], &[(0.4, 2)], 0.164_235_218),
        (-1.2, 0.0, &[1.0, 0.4], &[(0.1, 3)], 0.019_727_399),
        (-0.7, 0.0, &[0.9], &[(0.05, 1)], 0.129_408_424),
        (-1.9, 0.0, &[1.7], &[(0.02, 1), (0.03, 2)], 0.006_090_673),
    ];
    for (limit, normal, half_widths, few, exact) in cases {
        let ours = below(limit, normal, half_widths, few);
        assert!((ours - exact).abs() < 1e-7, "{few:?} at {limit}: {ours}, quadrature says {exact}");
    }
}

/// The variances add up (JCGM 100:2008, 5.1.2), and that between bounds is a third of the square of half of their distance (4.3.7):
/// 3² + 6²/3 + 2² is 5².
#[test]
fn the_whole_is_the_combined_uncertainty() {
    let parts = Parts { normal: 3.0, half_widths: vec![6.0], few: vec![(2.0, 4)] };
    assert!((parts.whole() - 5.0).abs() < 1e-15, "{}", parts.whole());
}

/// Where the tails of each take over, and where an input becomes so narrow that it counts for nothing, a chance does not jump.
#[test]
fn a_chance_does_not_jump_where_another_way_is_taken() {
    let few = vec![(1.0, 1); 50];
    let whole = Parts { few: few.clone(), ..Parts::default() }.whole();
    let [inside, outside] = [-1e-9, 1e-9].map(|by| below(-(FAR + by) * whole, 0.0, &[], &few));
    assert!((inside - outside).abs() < 1e-5, "{inside} to {outside}");
    for limit in [-0.5, -1.7, -1.732, -1.75, -3.0] {
        let last = below(limit, 0.0, &[3.0_f64.sqrt()], &[(1e-4, 1)]);
        let bounded = (0.5 + limit / 12.0_f64.sqrt()).max(0.0);
        assert!((last - bounded).abs() < 2e-4, "{limit}: {last}, without it {bounded}");
    }
}

fn any_few() -> impl Strategy<Value = Vec<(f64, u32)>> {
    vec((0.01..3.0, 1_u32..40), 2..7)
}

proptest! {
    #[test]
    fn the_order_of_inputs_does_not_matter(few in any_few(), normal in 0.0..2.0, at in -9.0..9.0_f64) {
        let mut turned = few.clone();
        turned.reverse();
        let [one, other] = [&few, &turned].map(|few| below(at, normal, &[0.4, 1.1], few));
        prop_assert!((one - other).abs() < 1e-12, "{} and {}", one, other);
    }

    #[test]
    fn what_lies_below_and_above_is_all(few in any_few(), half_widths in vec(0.01..2.0, 0..4), at in 0.0..30.0_f64) {
        let [low, high] = [-at, at].map(|at: f64| below(at, 0.0, &half_widths, &few));
        prop_assert!((low + high - 1.0).abs() < 1e-12 && low < 0.5 + 1e-9, "{} and {}", low, high);
    }

    #[test]
    fn a_farther_limit_is_passed_less_often(few in any_few(), half_widths in vec(0.01..2.0, 0..4), at in 0.0..30.0_f64) {
        let [near, far] = [at, at + 0.01].map(|at: f64| below(-at, 0.0, &half_widths, &few));
        prop_assert!(far < near + 5e-8, "{} to {}", near, far);
    }

    /// With more readings the tails draw in, and the share below comes nearer to the normal distribution's.
    #[test]
    fn more_readings_move_a_chance_towards_the_normal_ones(few in any_few(), more in 1_u32..100, at in 0.5..4.0_f64) {
        let whole = Parts { few: few.clone(), ..Parts::default() }.whole();
        let with_more: Vec<_> = few.iter().map(|(scale, freedom)| (*scale, freedom + more)).collect();
        let [one, other] = [&few, &with_more].map(|few| below(-at * whole, 0.0, &[], few));
        let exact = normal_below(-at);
        prop_assert!((other - exact).abs() < (one - exact).abs() + 5e-8, "{} to {}, normal {}", one, other, exact);
    }
}
