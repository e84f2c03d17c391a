//! Uncertainty against the GUM's own formulas (JCGM 100:2008), against Monte Carlo (JCGM 101:2008)
//! and, for sums, against convolutions.
#![allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small grids")]

use dryfit::inspect::inspect_text;
use dryfit::pack::Project;
use dryfit::quantity::{Dimension, Input, InputId, InputKind, Quantity, Shape, mean_of, rectangular};
use dryfit::rules::Library;

fn length(value: f64) -> Quantity {
    Quantity::exact(value, Dimension::LENGTH)
}

fn uncertain(input: u64, value: f64, standard: f64) -> Quantity {
    length(value).with_input(InputId::at(input), standard)
}

fn close(ours: f64, expected: f64, what: &str) {
    assert!((ours - expected).abs() <= 1e-12 + 1e-9 * expected.abs(), "{what}: {ours}, expected {expected}");
}

/// JCGM 100:2008, 4.2.1 to 4.2.3: s(mean) = s / sqrt(n).
#[test]
fn mean_of_readings() {
    let readings = [2.02, 1.98, 2.05];
    let mean = readings.iter().sum::<f64>() / 3.0;
    let variance = readings.iter().map(|r| (r - mean) * (r - mean)).sum::<f64>() / 2.0;
    let (ours, standard) = mean_of(&readings).unwrap();
    close(ours, mean, "mean");
    close(standard, (variance / 3.0).sqrt(), "standard uncertainty of the mean");
}

/// JCGM 100:2008, 4.4.5, thermometer of table 1: twenty readings, mean 100.145, s 1.489, s(mean) 0.333
/// (the table's values, from memory).
#[test]
fn the_gums_own_twenty_readings() {
    let readings = [
        96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11,
        101.20, 101.57, 101.84, 102.36, 102.72,
    ];
    let (mean, standard) = mean_of(&readings).unwrap();
    assert!((mean - 100.145).abs() < 0.0005, "{mean}");
    assert!((standard - 0.333).abs() < 0.0005, "{standard}");
}

/// JCGM 100:2008, 4.3.7: a / sqrt(3); F.2.2.1: a step of 0.01 gives 0.00289.
#[test]
fn bounds_and_steps() {
    close(rectangular(0.2), 0.2 / 3.0_f64.sqrt(), "half-width 0.2");
    assert!((rectangular(0.005) - 0.00289).abs() < 1e-5);
}

/// JCGM 100:2008, 5.1.6: for a product the squares of the relative uncertainties add up.
#[test]
fn product_and_quotient() {
    let (a, b) = (uncertain(0, 20.0, 0.1), uncertain(1, 5.0, 0.05));
    let relative = ((0.1_f64 / 20.0).powi(2) + (0.05_f64 / 5.0).powi(2)).sqrt();
    let product = a.multiply(&b).unwrap();
    close(product.uncertainty(), 100.0 * relative, "product");
    close(a.divide(&b).unwrap().uncertainty(), 4.0 * relative, "quotient");
    let cube = a.power(&Quantity::ratio(3.0)).unwrap();
    close(cube.uncertainty() / cube.value, 3.0 * 0.1 / 20.0, "cube: three times the relative uncertainty");
}

/// JCGM 100:2008, 5.2.2: fully correlated inputs add linearly, and a difference of one with itself is exact.
#[test]
fn what_is_shared_stays_correlated() {
    let a = uncertain(0, 20.0, 0.1);
    close(a.add(&a).unwrap().uncertainty(), 0.2, "a + a");
    close(a.subtract(&a).unwrap().uncertainty(), 0.0, "a - a");
    let b = uncertain(1, 3.0, 0.1);
    close(a.add(&b).unwrap().uncertainty(), 0.02_f64.sqrt(), "a + b");
}

/// The chance of failing that a sheet's demand is reported with.
fn chance(sheet: &str) -> f64 {
    let inspection = inspect_text(&Library::built_in(), "test.dryfit", sheet);
    let demand = inspection.findings.iter().find(|finding| finding.rule == "broken-demand");
    let margin = demand.expect("the demand is reported").margin.clone();
    margin.and_then(|margin| margin.chance).expect("it has a chance")
}

/// Two rectangular inputs of equal width make a triangle; its tail is exact: P(x > t) = (2a - t)^2 / (8 a^2)
/// for inputs on [-a, a] (convolution of two uniform densities).
#[test]
fn sum_of_two_bounded_values_against_exact_convolution() {
    // Half-width 0.3 each, failing beyond a sum of 0.3 above the middle.
    let exact = (0.6_f64 - 0.3).powi(2) / (8.0 * 0.09);
    let ours = chance(
        "bought a { x between 9.7 mm and 10.3 mm }\nbought b { x between 4.7 mm and 5.3 mm }\n\
         demand a.x + b.x < 15.3 mm \"test\"",
    );
    assert!((ours - exact).abs() < 1e-9, "{ours} against {exact}");
}

/// A normal and three bounded inputs against a convolution by brute force on a fine grid.
#[test]
fn a_mixed_sum_against_convolution_on_a_grid() {
    let ours = chance(
        "bought a { x between 9.7 mm and 10.3 mm }\nbought b { x between 4.8 mm and 5.2 mm }\n\
         bought c { x between 2.95 mm and 3.05 mm }\nbought d { x 1 mm ± 0.1 mm }\n\
         demand a.x + b.x + c.x + d.x < 19.25 mm \"test\"",
    );
    // Densities on a grid of 1 um, convolved one after the other; ± is two standard deviations.
    let step = 0.001_f64;
    let uniform = |half: f64| -> Vec<f64> {
        let n = (2.0 * half / step).round() as usize;
        vec![1.0 / n as f64; n]
    };
    let normal: Vec<f64> = (-400..400)
        .map(|i| (f64::from(i) + 0.5) * step)
        .map(|x| (-0.5 * (x / 0.05).powi(2)).exp() / (0.05 * std::f64::consts::TAU.sqrt()) * step)
        .collect();
    let convolved = [uniform(0.2), uniform(0.05), normal].iter().fold(uniform(0.3), |sum, next| {
        let mut wider = vec![0.0; sum.len() + next.len() - 1];
        for (i, a) in sum.iter().enumerate() {
            for (j, b) in next.iter().enumerate() {
                wider[i + j] += a * b;
            }
        }
        wider
    });
    // The middle of the grid is the sum's mean, 19 mm.
    let middle = (convolved.len() - 1) as f64 / 2.0;
    let failing: f64 =
        convolved.iter().enumerate().filter(|(i, _)| (*i as f64 - middle) * step > 0.25).map(|(_, share)| share).sum();
    assert!((ours - failing).abs() < 2e-3, "{ours} against {failing}");
}

/// One normal input: the chance is the normal tail. P(z > 1.5) = 0.066807 (tables of the normal distribution).
#[test]
fn a_normal_value_against_the_normal_table() {
    let ours = chance("bought a { x 10 mm ± 0.2 mm }\ndemand a.x < 10.15 mm \"test\"");
    assert!((ours - 0.066_807).abs() < 1e-5, "{ours}");
}

/// A strongly curved formula: the first order gives 0.5 for x^2 < 4 at x = 2, whatever the spread, and the
/// square of a normal value fails where |x| > 2. Here exact: P(|x| > 2.6), x normal (2, 0.5): 0.115070.
#[test]
fn a_curved_formula_is_drawn_in_full() {
    let ours = chance("bought a { x 2 mm ± 1 mm }\nlet unused = 1 mm\ndemand a.x * a.x < 6.76 mm2 \"test\"");
    assert!((ours - 0.115_07).abs() < 0.002, "{ours}");
}

/// A bend within the spread, as in a press fit that may come out loose: max(x, 0) with x normal (0.0838, 0.09) fails
/// against 0.035 where x does, P(z > -0.5422) = 0.70616 (tables of the normal distribution).
#[test]
fn a_formula_with_a_bend_is_no_curve() {
    let ours = chance("bought a { x 0.0838 mm ± 0.18 mm }\ndemand max(a.x, 0 mm) < 0.035 mm \"test\"");
    assert!((ours - 0.706_16).abs() < 0.002, "{ours}");
}

/// A limit on either side: P(|z| > 1) = 0.317311, P(|z| > 1.95) = 0.051176 for a normal input (integral of the normal
/// density, its tables), wherever the limits stand (JCGM 101:2008 propagates the distribution itself).
#[test]
fn limits_on_both_sides_of_a_normal_value() {
    for (limit, exact) in [(1.0, 0.317_311), (1.95, 0.051_176)] {
        let ours =
            chance(&format!("bought a {{ x 10 mm ± 0.2 mm }}\ndemand abs(a.x - 10 mm) < {} mm \"test\"", 0.1 * limit));
        assert!((ours - exact).abs() < 0.003, "{limit}: {ours} against {exact}");
    }
    // Off the middle by half a standard deviation: P(z > 0.5) + P(z < -1.5) = 0.308538 + 0.066807.
    let ours = chance("bought a { x 10.05 mm ± 0.2 mm }\ndemand abs(a.x - 10 mm) < 0.1 mm \"test\"");
    assert!((ours - 0.375_345).abs() < 0.003, "{ours}");
}

/// Two uniform inputs of half-width a: P(|x + y| > t) = (2a - t)^2 / (4 a^2) (the triangle's two tails). With unequal ones,
/// a normal one among them, each side's chance is worked out exactly by itself.
#[test]
fn limits_on_both_sides_of_a_sum_of_bounded_values() {
    let two = "bought a { x between 9.7 mm and 10.3 mm }\nbought b { x between 4.7 mm and 5.3 mm }\n";
    for limit in [0.1, 0.3, 0.35] {
        let exact = (0.6_f64 - limit).powi(2) / 0.36;
        let ours = chance(&format!("{two}demand abs(a.x + b.x - 15 mm) < {limit} mm \"test\""));
        assert!((ours - exact).abs() < 0.005, "{limit}: {ours} against {exact}");
    }
    let mixed = "bought a { x between 9.7 mm and 10.3 mm }\nbought b { x between 4.8 mm and 5.2 mm }\n\
                 bought c { x between 2.95 mm and 3.05 mm }\nbought d { x 1 mm ± 0.2 mm }\n";
    let sum = "a.x + b.x + c.x - d.x";
    let sides = ["< 17.15 mm", "> 16.8 mm"].map(|side| chance(&format!("{mixed}demand {sum} {side} \"test\"")));
    let ours = chance(&format!("{mixed}demand abs({sum} - 16.975 mm) < 0.175 mm \"test\""));
    assert!((ours - sides[0] - sides[1]).abs() < 0.01, "{ours} against {sides:?}");
}

/// The larger of two independent values: it stays below a limit where both do, 1 - P(z < t)^2; at one standard deviation
/// 1 - 0.841345^2 = 0.292139 (tables of the normal distribution), and so for six, 1 - 0.841345^6 = 0.645314.
#[test]
fn the_larger_of_several_values() {
    let ours =
        chance("bought a { x 10 mm ± 0.2 mm }\nbought b { x 10 mm ± 0.2 mm }\ndemand max(a.x, b.x) < 10.1 mm \"test\"");
    assert!((ours - 0.292_139).abs() < 0.003, "{ours}");
    let names = ["a", "b", "c", "d", "e", "f"];
    let bought = names.map(|name| format!("bought {name} {{ x 10 mm ± 0.2 mm }}\n")).concat();
    let largest = names.iter().skip(1).fold("a.x".to_owned(), |largest, name| format!("max({largest}, {name}.x)"));
    let ours = chance(&format!("{bought}demand {largest} < 10.1 mm \"test\""));
    // Six bends at once are the hardest there is for a thousand points.
    assert!((ours - 0.645_314).abs() < 0.02, "{ours}");
}

/// Which inputs are met first must not decide which of the points each of them gets.
#[test]
fn the_order_of_a_sheet_does_not_change_a_chance() {
    let [a, b, c] = ["bought a { x 10 mm ± 0.2 mm }\n", "bought b { x 5 mm ± 0.2 mm }\n", "let c = 1 mm ± 0.1 mm\n"];
    let demand = "demand abs(a.x - 2 * b.x + c) < 1.1 mm \"test\"\n";
    let first = chance(&format!("{a}{b}{c}{demand}"));
    for sheet in
        [format!("{c}{b}{a}{demand}"), format!("{demand}{b}{c}{a}"), format!("demand b.x > c \"x\"\n{c}{a}{b}{demand}")]
    {
        assert!((chance(&sheet) - first).abs() < 1e-12, "{sheet}");
    }
}

#[test]
fn distributions_have_the_standard_deviation_that_they_state() {
    let bounded = Input::bounded(["test".into(), "test".into()], 0.3, None, InputKind::Bounds);
    assert_eq!(bounded.shape, Shape::Rectangular);
    close(bounded.standard, 0.3 / 3.0_f64.sqrt(), "rectangular");
}

/// JCGM 100:2008, H.1, the end gauge (from memory): a gauge of nominally 50 mm is compared with a standard of
/// 50.000623 mm (u 25 nm), to which it differs by 215 nm (u 9.7 nm), at -0.1 K (u 0.41 K) from 20 degC; the standard's
/// expansion is 11.5e-6 /K (u 1.2e-6), the difference of expansions 0 (u 0.58e-6), of temperatures 0 (u 0.029 K).
/// The GUM's result is 50.000838 mm with 32 nm (31.7 before it is rounded). Tolerances here are two standard deviations.
#[test]
fn the_gums_end_gauge() {
    let sheet = "let standard = 50.000623 mm ± 0.05 um
        let differs = 0.215 um ± 0.0194 um
        let away = -0.1 K ± 0.82 K
        let expands = 11.5 ppm/K ± 2.4 ppm/K
        let expands-more = 0 ppm/K ± 1.16 ppm/K
        let warmer = 0 K ± 0.058 K
        demand standard + differs - standard * (expands-more * away + expands * warmer) >= 50.001 mm \"none\"";
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", sheet);
    let found = inspection.findings.iter().find(|finding| finding.rule == "broken-demand");
    let margin = found.and_then(|finding| finding.margin.as_ref()).unwrap();
    let nanometres = if margin.unit == "um" { 1e3 } else { 1e6 };
    close(margin.room * nanometres, -162.0, "the gauge's length less 50.001 mm");
    let uncertainty = margin.uncertainty * nanometres;
    assert!((uncertainty - 31.7).abs() < 0.1, "{uncertainty} nm");
}

const GATE: &str = "blocks:
  gate:
    doc: What has to hold together.
    in: [part]
    name: required
    drawn: true
    fields:
      one: {doc: The one., kind: condition, required: true}
      other: {doc: The other., kind: condition, required: true}
    example: gate g { one 2 > 1; other 2 > 1 }
rules:
  open-gate:
    title: a gate that is open
    about: [gate]
    holds: {care: one and other}
    says: it is open
    why: Both have to hold.
    sources: [our own gates]
    passes: let width = 1 mm
    fails: let width = 1 mm
";

/// Two conditions that have nothing to do with each other hold together by the product of their chances: by the table of the
/// normal distribution one that is half a standard uncertainty from its limit holds by 0.69146, one that is a whole one from it
/// by 0.84134; together they fail by 1 - 0.69146 * 0.84134 = 0.4182.
#[test]
fn two_conditions_of_a_block_against_the_normal_table() {
    let project = Project::of_texts([("gate.yaml".to_owned(), GATE.to_owned())]).map_err(|error| error.faults).unwrap();
    let library = Library::with_project(project).map_err(|error| error.faults).unwrap();
    let sheet = "machine bench\nmaterial petg\nbought rail { lip 8.005 +- 0.02 mm; mouth 8.15 +- 0.3 mm }\n\
                 part p { up +z; gate g { one rail.lip >= 8 mm; other rail.mouth >= 8 mm } }\n";
    let found = inspect_text(&library, "gate.dryfit", sheet).findings;
    let chance = found.iter().find(|finding| finding.rule == "open-gate").and_then(|gate| gate.margin.as_ref()?.chance);
    assert!(chance.is_some_and(|ours| (ours - 0.4182).abs() < 2e-4), "{chance:?}");
}
