//! Chances along lines against what the normal distribution says exactly.

use super::*;

fn chance(count: usize, mut holds: impl FnMut(&[f64]) -> f64) -> f64 {
    failing(&vec![Axis::Normal; count], Closely::Exactly, &mut holds)
}

#[test]
fn quantiles_invert_the_normal_distribution() {
    for share in [1e-9, 1e-4, 0.02, 0.3, 0.5, 0.7, 0.999] {
        assert!((normal_below(quantile(share)) - share).abs() < 1e-12 + 1e-9 * share, "{share}");
    }
}

/// The way in which a value moves most, of length one: by its slopes, 3, -4 and 12 of 13; where there are none by how far it
/// bends, 3 and 4 of 5; and where nothing moves it, any. The unit that it is in makes no difference.
#[test]
fn lines_run_the_way_in_which_a_value_moves_most() {
    type Value = fn(&[f64]) -> f64;
    let values: [(Value, [f64; 3]); 3] = [
        (|by| 7.0 + 3.0 * by[0] - 4.0 * by[1] + 12.0 * by[2], [3.0 / 13.0, -4.0 / 13.0, 12.0 / 13.0]),
        (|by| 3.0 * by[0].abs() + 4.0 * by[2].powi(2), [0.6, 0.0, 0.8]),
        (|_| 2.0, [1.0, 0.0, 0.0]),
    ];
    for (value, exact) in values {
        for unit in [0.01, 1.0, 100.0] {
            let found = steepest(3, &mut |by| unit * value(by));
            assert!(found.iter().zip(exact).all(|(one, exact)| (one - exact).abs() < 1e-9), "{found:?}, not {exact:?}");
        }
    }
}

/// A limit on either side of a sum, exactly 2 P(z < -limit), wherever the sum's direction lies.
#[test]
fn a_strip_has_the_normal_distributions_chance() {
    for count in 1..=10 {
        let amounts: Vec<f64> = (0..count).map(|index| 0.8_f64.powi(index)).collect();
        let whole = amounts.iter().map(|amount| amount * amount).sum::<f64>().sqrt();
        for limit in [0.5, 1.0, 1.96] {
            let ours = chance(amounts.len(), |by| {
                limit - by.iter().zip(&amounts).map(|(by, amount)| by * amount).sum::<f64>().abs() / whole
            });
            let exact = 2.0 * normal_below(-limit);
            assert!((ours - exact).abs() < 1e-4, "{count} inputs at {limit}: {ours}, exactly {exact}");
        }
    }
}

/// A window between two limits, wherever it lies and however narrow: P(z < b) - P(z < a) holds, and where the window is what
/// fails, that fails. It closes without a step.
#[test]
fn a_narrow_window_is_found_wherever_it_lies() {
    for count in [1, 3] {
        let along = |by: &[f64]| by.iter().sum::<f64>() / f64::from(u8::try_from(by.len()).unwrap_or(u8::MAX)).sqrt();
        for middle in [-1.7, -0.4, 0.0, 0.5, 1.5, 3.0] {
            for half in [0.6, 0.2, 0.05, 0.01] {
                let exact = normal_below(middle + half) - normal_below(middle - half);
                let holding = 1.0 - chance(count, |by| half - (along(by) - middle).abs());
                assert!((holding - exact).abs() < 5e-3, "{count} at {middle} ± {half}: {holding}, exactly {exact}");
                let failing = chance(count, |by| (along(by) - middle).abs() - half);
                assert!((failing - exact).abs() < 5e-3, "{count} at {middle} ± {half}: {failing}, exactly {exact}");
            }
        }
    }
}

/// A circle: 1 - exp(-r²/2) lies within (two standard normal variables, exactly).
#[test]
fn a_circle_holds_what_the_exponential_says() {
    for radius in [0.5_f64, 1.0, 2.0] {
        let ours = chance(2, |by| radius * radius - by[0] * by[0] - by[1] * by[1]);
        let exact = (-0.5 * radius * radius).exp();
        assert!((ours - exact).abs() < 2e-3, "{radius}: {ours}, exactly {exact}");
    }
}

/// The largest of several: 1 - P(z < t)^n.
#[test]
fn a_corner_of_several_inputs() {
    for count in 2..=6 {
        let ours = chance(count, |by| 1.0 - by.iter().copied().fold(f64::MIN, f64::max));
        let exact = 1.0 - normal_below(1.0).powf(f64::from(u8::try_from(count).unwrap_or(u8::MAX)));
        assert!((ours - exact).abs() < 5e-3, "{count}: {ours}, exactly {exact}");
    }
}

/// A limit that is moved by little moves the chance by little: no steps.
#[test]
fn a_chance_goes_smoothly() {
    let at = |limit: f64| chance(3, |by| limit - (by[0] + 0.3 * by[1] * by[1] + 0.2 * by[0] * by[2]));
    let mut last = at(0.5);
    for step in 1..=100 {
        let now = at(0.5 + 0.01 * f64::from(step));
        assert!(now < last && last - now < 5e-3, "{step}: {last} to {now}");
        last = now;
    }
}

/// Where a value bends away from its chord, the end that stays is pulled in: a dozen looks find the crossing of a stiffness that
/// goes with a cube or a reciprocal, where halving takes seventeen.
#[test]
fn a_crossing_is_found_in_few_looks() {
    type Bend = fn(f64) -> f64;
    let bends: [(Bend, f64); 3] = [
        (|z| (z + 6.0).powi(3) - 300.0, 300.0_f64.cbrt() - 6.0),
        (|z| 1.0 / (z + 6.0) - 0.12, 1.0 / 0.12 - 6.0),
        (|z| 0.12 - 1.0 / (z + 6.0), 1.0 / 0.12 - 6.0),
    ];
    for (index, (value, exact)) in bends.into_iter().enumerate() {
        let mut looks = 0;
        let mut at = |z: f64| {
            looks += 1;
            value(z)
        };
        let [low, high] = [-4.5, 4.5].map(|z| (z, at(z)));
        let found = crossing(low, high, &mut at);
        assert!((found - exact).abs() < CLOSE, "{index}: {found}, exactly {exact}");
        assert!(looks <= 12, "{index}: {looks} looks");
    }
}

/// Beside a pole: `1 / (1 - z / pole)` passes a limit where `z` is `pole (1 - 1 / limit)`, and beyond the pole nothing can be
/// worked out, as of a slope that locks by friction.
#[test]
fn a_pole_does_not_draw_the_crossing_to_the_last_look_before_it() {
    for (pole, limit) in [(1.9_f64, 50.0), (2.1, 8.0), (1.2, 1e4), (3.0, 300.0)] {
        let holds = |by: &[f64]| if by[0] < pole { limit - 1.0 / (1.0 - by[0] / pole) } else { f64::NAN };
        let exact = normal_below(-pole * (1.0 - 1.0 / limit));
        for count in [1, 3] {
            let ours = chance(count, holds);
            assert!((ours - exact).abs() < 2e-4, "{pole}, {limit}, {count} inputs: {ours}, exactly {exact}");
        }
    }
}
