//! The mended dimension is the one that the handbook's closed form gives when it is solved for it.
//!
//! Source: Snap-Fit Joints for Plastics, a design guide, Table 1, permissible deflection of a
//! rectangular cantilever: y = 0.67 eps l^2 / h for a constant section, y = 1.09 eps l^2 / h for a
//! thickness that falls to half at the tip (recorded in tests/reference/handbook.csv; 0.67 is 2/3).
//! The sheets state machine and limit without scatter, for which a mend would leave room. The clamped root has neither fillet nor give; `arm-strain` adds shear and large deflection to the
//! closed form, so the cases are slender, and those whose result lies within 1.5 % of a step's edge
//! are left to neither side.

use super::{advice, only};

const STEP: f64 = 0.1;
/// Shear and large deflection together, at the slenderness of these cases.
const BEYOND: f64 = 0.015;
/// Four fifths (`inside` in rules/steps.yaml) of petg's strain for repeated use (rules/materials.yaml).
const STRAIN: f64 = 0.8 * 0.0168;
/// From 10 mm on lengths are drawn in steps of this (`round-length` in rules/steps.yaml).
const LONG_STEP: f64 = 0.5;

fn mended(text: &str, name: &str) -> f64 {
    let library = only(&["overstrained-arm"]);
    let found = advice(&library, text);
    let (_, advice) = found.iter().find(|(finding, _)| finding.rule == "overstrained-arm").expect(text);
    let mends = &advice.as_ref().unwrap().mends;
    let mend = mends.iter().find(|mend| mend.changes.len() == 1 && mend.changes[0].name == name);
    let to = &mend.unwrap_or_else(|| panic!("{name}: {mends:?}")).changes[0].to;
    to.trim_end_matches(" mm").parse().unwrap()
}

/// The step below or above a value, where shear and large deflection cannot decide which.
fn stepped(value: f64, up: bool) -> Option<f64> {
    let step = |value: f64| if up { (value / STEP).ceil() } else { (value / STEP).floor() };
    let (low, high) = (step(value * (1.0 - BEYOND)), step(value * (1.0 + BEYOND)));
    ((low - high).abs() < 0.5).then_some(low * STEP)
}

fn sheet(length: f64, thickness: &str, y: f64) -> String {
    format!(
        "machine bench {{ outside-bias 0 mm; outside-spread 0 mm }}\nmaterial petg {{ flex-once 2.8 %; flex-repeated 1.68 % }}\nlet t = {thickness}\npart clip {{\n  up +z\n  arm jaw {{\n    points +x\n    \
         bends +y\n    length {length} mm\n    {}    width 8 mm\n    base rigid\n    cycles 100\n    opens {y} mm\n  }}\n}}\n",
        "thickness t\n    TIP"
    )
}

/// Lengths, and deflections as shares of them.
fn cases(shares: [f64; 2]) -> impl Iterator<Item = (f64, f64)> {
    let lengths = (0..14).map(|index| 9.0 + f64::from(index));
    lengths.flat_map(move |length| shares.map(|share| (length, (share * length * 100.0).round() / 100.0)))
}

#[test]
fn a_constant_arms_thickness_is_the_handbooks() {
    let mut checked = 0;
    for (length, y) in cases([0.11, 0.13]) {
        // eps = 1.5 t y / L^2, solved for t.
        let closed = STRAIN * length * length / (1.5 * y);
        let Some(wanted) = stepped(closed, false) else { continue };
        let text = sheet(length, &format!("{:.1} mm", closed * 1.75), y).replace("TIP", "");
        let found = mended(&text, "t");
        assert!((found - wanted).abs() < 1e-9, "L {length}, y {y}: {found}, handbook {closed}");
        checked += 1;
    }
    assert!(checked >= 8, "only {checked} cases");
}

#[test]
fn a_constant_arms_length_is_the_handbooks() {
    let mut checked = 0;
    for (t, y) in [(1.2, 1.6), (1.4, 2.0), (1.6, 2.2), (1.6, 3.0), (1.8, 3.1), (2.0, 3.0), (2.0, 3.7), (1.0, 2.3)] {
        // eps = 1.5 t y / L^2, solved for L.
        let closed = (1.5 * t * y / STRAIN).sqrt();
        assert!(closed > 10.0);
        let text = sheet((closed * 0.7 * 10.0).round() / 10.0, &format!("{t} mm"), y).replace("TIP", "");
        let found = mended(&text, "clip.jaw.length");
        // The length's own correction is half of the strain's.
        let (least, most) = (closed * (1.0 - BEYOND), closed * (1.0 + BEYOND) + LONG_STEP);
        assert!((least..=most).contains(&found), "t {t}, y {y}: {found}, handbook {closed}");
        assert!((found / LONG_STEP).fract() < 1e-9, "{found} is no step");
        checked += 1;
    }
    assert_eq!(checked, 8);
}

#[test]
fn a_tapered_arms_thickness_is_the_handbooks() {
    let mut checked = 0;
    for (length, y) in cases([0.15, 0.17]) {
        // y = 1.09 eps l^2 / h, solved for h.
        let closed = 1.09 * STRAIN * length * length / y;
        let Some(wanted) = stepped(closed, false) else { continue };
        let text = sheet(length, &format!("{:.1} mm", closed * 1.63), y).replace("TIP", "tip-thickness t / 2\n");
        let found = mended(&text, "t");
        assert!((found - wanted).abs() < 1e-9, "L {length}, y {y}: {found}, handbook {closed}");
        checked += 1;
    }
    assert!(checked >= 8, "only {checked} cases");
}
