//! Worked examples of strength textbooks, written as sheets: the finding's margin gives the book's result back.
//!
//! All are recalled from memory, none was looked up again; each result also follows from the plain formula beside it. No
//! machine is named, so that nothing is added to the drawn sizes, and the material's values are exact.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Library, MarginNote};

/// The margin of a rule's finding on a sheet.
fn margin(rule: &str, sheet: &str) -> MarginNote {
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", sheet);
    let finding = inspection.findings.into_iter().find(|finding| finding.rule == rule);
    finding.and_then(|finding| finding.margin).unwrap_or_else(|| panic!("{rule} is not raised with a margin"))
}

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected} within {tolerance}");
}

/// R. K. Bansal, Strength of Materials, bending stresses in beams: a cantilever of 2 m and 40 mm x 60 mm fails under 2 kN
/// at its free end. The book's stress at failure is 166.67 N/mm2; 6 F L / (b h^2).
#[test]
fn a_cantilever_with_a_load_at_its_end_fails_at_the_books_stress() {
    let margin = margin(
        "overloaded-beam",
        "material steel like petg { yield-stress 100 MPa; bond 100 % }
         part frame { beam arm { points +x; length 2 m; width 40 mm; height 60 mm; ends cantilever
           load { force 2 kN; at end } } }",
    );
    assert_eq!(margin.unit, "MPa");
    near(100.0 - margin.room, 166.67, 0.005);
}

/// The same chapter: a beam 300 mm wide and 200 mm deep rests on a span of 8 m. The book's spread load at 120 N/mm2 is
/// 30 N/mm, 240 kN in all; (w L^2 / 8) / (b h^2 / 6).
#[test]
fn a_resting_beam_with_a_spread_load_reaches_the_books_stress() {
    let margin = margin(
        "overloaded-beam",
        "material steel like petg { yield-stress 100 MPa; bond 100 % }
         part frame { beam girder { points +x; length 8 m; width 300 mm; height 200 mm; ends resting
           load { force 240 kN; at spread } } }",
    );
    near(100.0 - margin.room, 120.0, 1e-6);
}

/// R. K. Bansal, Strength of Materials, deflection of beams: a beam of 6 m rests on its ends and carries 50 kN at its
/// centre; I is 78e6 mm4 (here 117 mm x 200 mm), E 2.1e5 N/mm2. The book's deflection is 13.736 mm; F L^3 / (48 E I).
#[test]
fn a_resting_beam_with_a_load_at_its_centre_bends_as_far_as_in_the_book() {
    let margin = margin(
        "sagging-beam",
        "material steel like petg { modulus 210 GPa }
         part frame { beam girder { points +x; length 6 m; width 117 mm; height 200 mm; ends resting; sag 10 mm
           load { force 50 kN; at centre } } }",
    );
    assert_eq!(margin.unit, "mm");
    near(10.0 - margin.room, 13.736, 0.0005);
}

/// Beer and Johnston, Mechanics of Materials, columns: a pin-ended wooden column of 2 m with a modulus of 13 `GPa` must not
/// buckle below 250 kN. The book's square section has sides of 98.3 mm; pi^2 E I / L^2. Three digits of the side give
/// the load to 0.2 %.
#[test]
fn a_pinned_strut_buckles_at_the_books_load() {
    let margin = margin(
        "buckled-strut",
        "material wood like petg { modulus 13 GPa; yield-stress 200 MPa }
         part frame { strut column { length 2 m; width 98.3 mm; thickness 98.3 mm; ends pinned
           load { force 300 kN } } }",
    );
    assert_eq!(margin.unit, "kN");
    near(300.0 + margin.room, 250.0, 0.002 * 250.0);
}
