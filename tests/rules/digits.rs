//! What a message says of two numbers that are nearly alike, very small, or given in inches.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Library, Resolution};

/// What a rule says on a sheet that is printed on the bench machine.
fn said(rule: &str, sheet: &str) -> String {
    let sheet = format!("machine bench\nmaterial petg\n{sheet}");
    // What fails by less than a drawing can say is told too.
    let mut library = Library::built_in();
    library.resolution = Resolution::default();
    let inspection = inspect_text(&library, "digits.dryfit", &sheet);
    let found = inspection.findings.iter().find(|finding| finding.rule == rule);
    found.map_or_else(|| panic!("{rule} is silent on {sheet}"), |finding| finding.message.to_string())
}

/// 90 less 44.9 deg is 45.1 deg: beyond 45 deg, and it must read so.
#[test]
fn a_lean_just_past_the_limit_does_not_read_like_the_limit() {
    let found = said("steep-underside", "part h { up +z; face c { faces -z tilted 44.9 deg toward +x } }");
    assert!(found.contains("leans 45.1 deg out from vertical"), "{found}");
    let clear = said("steep-underside", "part h { up +z; face c { faces -z tilted 30 deg toward +x } }");
    assert!(clear.contains("leans 60 deg out from vertical"), "{clear}");
}

/// 3.04 mm in 64 facets is 3.04 cos(pi/64) = 3.0363 mm clear; on its side it prints like a slot, 0.1 mm narrower.
#[test]
fn a_hole_just_under_its_standard_does_not_read_like_it() {
    let found = said("screw-clearance", "part b { up +z; hole lying { diameter 3.04 mm; axis +x; screw M3 } }");
    assert!(found.contains("comes out 2.936 mm clear") && found.contains("screw is 3 mm"), "{found}");
}

/// A force below ten newtons keeps two digits: by the small-deflection formula, 3 E I y / L^3 with `E` 1.9 kN per mm2, a section of
/// 8.05 x 1.65 mm as printed, y 0.5 mm and L 18 mm, it is 1.47 N; a root that gives takes a little of it, and
/// an arm five times as wide as thick is a little stiffer than a beam.
#[test]
fn a_small_force_keeps_its_digits() {
    let arm = "arm a { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; count 40; \
               hook { depth 0.5 mm; lead-in 30 deg; return 45 deg } }";
    let found = said("stiff-arm", &format!("part clip {{ up +z; {arm} }}"));
    assert!(found.contains("(1.5 N bends the arm aside)"), "{found}");
}

/// (8.3312 cos(pi/64) - 0.25 - 8.0018) / 2 = 0.0347 mm, which is 0.0014 in: two digits would leave none.
#[test]
fn inches_have_as_fine_digits_as_millimetres() {
    let sheet = "bought rod { shank measured 0.315, 0.3152, 0.3149 in }\npart k { up +z; hole h { diameter 0.328 in; axis +z } }\n\
                 fit \"rod in h\" { inside k.h.diameter; outside rod.shank; class sliding }";
    let found = said("jammed-fit", sheet);
    assert!(found.contains("0.001 in of clearance a side"), "{found}");
}

#[test]
fn nothing_has_no_sign() {
    let sheet = "bought tube { bore 6 mm }\nbought rod { shank 6 mm }\nfit \"x\" { inside tube.bore; outside rod.shank; class sliding }";
    let found = said("jammed-fit", sheet);
    assert!(found.contains("0.00 mm of clearance a side (± 0.00 mm)") && !found.contains("-0.00"), "{found}");
}
