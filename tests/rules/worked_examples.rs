//! Worked examples of handbooks, entered as a designer would enter them: what the rules say is what
//! the book says.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Finding, Library, MarginNote};

/// The margin of a rule's finding on a sheet.
fn margin(sheet: &str, rule: &str) -> MarginNote {
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", sheet);
    let found = |finding: &&Finding| finding.rule == rule;
    inspection.findings.iter().find(found).and_then(|finding| finding.margin.clone()).unwrap()
}

/// What `value <= limit` was worked out from, in the unit that it is shown in.
fn value_at_most(margin: &MarginNote, limit: f64, unit: &str) -> f64 {
    assert_eq!(margin.unit, unit, "{margin:?}");
    limit - margin.room
}

fn near(found: f64, book: f64, part: f64) {
    assert!((found / book - 1.0).abs() <= part, "{found} is not within {part} of {book}");
}

/// Snap-Fit Joints for Plastics, a design guide, calculation example I (from memory; rows A061 to
/// A073 of tests/reference/handbook.csv): a hook of polycarbonate that tapers to half its thickness,
/// 19 mm long and 9.5 mm wide, catching by 2.4 mm. At 2 % the guide makes it 3.28 mm thick; it is
/// bent aside by 32.5 N and pushed in, at 30 degrees and a friction of 0.6, by 58.5 N.
///
/// The limits are set below the answers so that the rules speak, and no machine is named, so that the arm is as thick as
/// it is drawn. The guide has neither shear nor
/// large deflection; that takes 1.1 % off its strain.
const TAPERED_HOOK: &str = "
    material pc { modulus 1815 MPa; friction 0.6; flex-once 1 % }
    part latch {
      arm jaw {
        points +x
        bends +y
        length 19 mm
        thickness 3.28 mm
        tip-thickness 1.64 mm
        width 9.5 mm
        base rigid
        closed-by fingertip
        hook { depth 2.4 mm; lead-in 30 deg; return 45 deg }
      }
    }";

#[test]
fn the_strain_of_the_tapered_hook_is_the_design_guides() {
    let strain = value_at_most(&margin(TAPERED_HOOK, "overstrained-arm"), 1.0, "%");
    near(strain, 2.0, 0.015);
    assert!(strain < 2.0, "shear takes a part of the deflection: {strain} %");
}

#[test]
fn the_push_of_the_tapered_hook_is_the_design_guides() {
    // The guide's arm is a beam; three thicknesses wide, it is 5 % stiffer (solid finite elements, tests/reference).
    let plate = 1.048;
    let push = value_at_most(&margin(TAPERED_HOOK, "stiff-arm"), 60.0, "N") / plate;
    near(push, 58.5, 0.01);
    let factor = (0.6 + 30_f64.to_radians().tan()) / (1.0 - 0.6 * 30_f64.to_radians().tan());
    near(push / factor, 32.5, 0.01);
}

#[test]
fn a_thicker_hook_than_the_design_guides_is_strained_beyond_its_two_per_cent() {
    let raises = |thickness: &str| {
        let sheet = TAPERED_HOOK.replace("3.28 mm", thickness).replace("flex-once 1 %", "flex-once 2 %");
        let inspection = inspect_text(&Library::built_in(), "example.dryfit", &sheet);
        inspection.findings.iter().any(|finding| finding.rule == "overstrained-arm")
    };
    assert!(!raises("3.28 mm"));
    assert!(raises("3.6 mm"));
}

/// The left side of a margin's comparison, as it is shown.
fn left(margin: &MarginNote) -> f64 {
    margin.comparison.split_whitespace().next().unwrap().parse().unwrap()
}

/// Row A121, p. 20 of the same guide, read: a ring's undercut is eps d.
#[test]
fn a_rings_undercut_is_its_strain_times_its_diameter() {
    let sheet = "machine bench
        material petg { flex-once 1 % }
        part cap { ring-snap rim { diameter 40 mm; undercut 0.5 mm; gives outer } }";
    near(left(&margin(sheet, "overstrained-ring-snap")), 1.25, 1e-3);
}

/// Row A135, torsion section of the same guide (from memory): phi = gamma l / r, y = l1 sin(phi).
#[test]
fn a_round_bar_is_sheared_by_its_radius_times_its_twist() {
    let sheet = "
        material petg { flex-once 0.5 % }
        part latch { torsion-bar rocker { length 14 mm; diameter 3 mm; lever 16 mm; travel 2 mm } }";
    near(left(&margin(sheet, "overstrained-torsion-bar")), 150.0 * (2.0_f64 / 16.0).asin() / 14.0, 1e-3);
}

/// Row C002, derived: a web folded flat is strained by pi t / (2 l).
#[test]
fn a_web_folded_flat_is_strained_by_half_pi_times_thickness_over_length() {
    let sheet = "
        material petg
        part box { living-hinge lid { thickness 0.4 mm; length 6 mm; angle 180 deg } }";
    near(left(&margin(sheet, "cracked-hinge")), 50.0 * std::f64::consts::PI * 0.4 / 6.0, 1e-3);
}

/// Row A137, derived: the strain of a U-shaped arm at the apex of its bend; the rule also counts that
/// the inside of the bend is curved, a third of the thickness over the radius at first order.
#[test]
fn a_wide_u_is_strained_as_castigliano_says() {
    let sheet = "
        material petg { flex-once 0.1 % }
        part clip { bent-arm catch { turns half; tip-leg 16 mm; root-leg 16 mm; radius 10 mm; thickness 1 mm; width 8 mm; opens 3 mm } }";
    let (leg, bend, thickness, aside) = (16.0_f64, 10.0_f64, 1.0, 3.0);
    let pi = std::f64::consts::PI;
    let give = 4.0 * leg.powi(3) + 3.0 * bend * (2.0 * pi * leg * leg + pi * bend * bend + 8.0 * leg * bend);
    let strain = 3.0 * (leg + bend) * thickness * aside / give;
    let inside = 1.0 + thickness / (3.0 * bend);
    near(left(&margin(sheet, "overstrained-bent-arm")), 100.0 * strain * inside, 0.01);
}
