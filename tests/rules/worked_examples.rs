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
/// The limits are set below the answers so that the rules speak. The guide has neither shear nor
/// large deflection; that takes 1.1 % off its strain.
const TAPERED_HOOK: &str = "
    machine bench
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
    let push = value_at_most(&margin(TAPERED_HOOK, "stiff-arm"), 20.0, "N");
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
