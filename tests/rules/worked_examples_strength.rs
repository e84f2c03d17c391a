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

/// Lame's cylinders of one material (Shigley's Mechanical Engineering Design, chapter 3, press and shrink fits, from
/// memory; the figures worked out by hand): a solid shaft of 25 mm, 25 um too large, in a collar of 50 mm, both of
/// 207 `GPa`. p = E d / (2 R) (ro^2 - R^2) / (2 ro^2) with R 12.5 mm and ro 25 mm is 77.6 `MPa`, and the hoop stress at
/// the bore p (ro^2 + R^2) / (ro^2 - R^2) is 129.4 `MPa`.
#[test]
fn a_collar_shrunk_on_a_shaft_of_its_own_metal_is_stressed_as_in_the_book() {
    let sheet = "material petg { modulus 207 GPa; poisson 0.292; yield-stress 100 MPa }
        bought rod { shank 25.025 mm }
        part collar { up +z; hole bore { diameter 25 mm; axis +z; drilled yes } }
        fit \"shaft in collar\" { inside collar.bore.diameter; outside rod.shank; class press; around 50 mm;
          outside-modulus 207 GPa }";
    let found = margin("burst-fit", sheet);
    assert_eq!(found.unit, "MPa");
    // The shaft counts with steel's 0.29, which takes off 0.1 %.
    near(100.0 - found.room, 129.4, 0.2);
}

/// Saint-Venant's rectangle with sides of 2 to 1 (Timoshenko, Theory of Elasticity; Beer and Johnston, Mechanics of
/// Materials, torsion of bars that are not round: c1 0.246, c2 0.229; from memory): the shear at the middle of the
/// longer side is c2 / c1 b phi / l, 0.931 of that of a thin strip.
#[test]
fn a_rectangular_bar_is_sheared_as_in_the_books_table() {
    let sheet = "material petg { flex-once 0.1 % }
        part latch { up +z; torsion-bar rocker { length 20 mm; width 6 mm; height 3 mm; lever 20 mm; travel 2 mm } }";
    let found = margin("overstrained-torsion-bar", sheet);
    // 45 degrees to the layers the stress may reach 0.75 of that along them, and the strain half: the top of a parabola.
    let limit = 0.1 * 1.38 * 0.5;
    let strain = limit - found.room;
    near(strain, 100.0 * 0.229 / 0.246 * 3.0 * 0.1_f64.asin() / 20.0, 0.003);
}

/// A round bar in bending, 32 M / (pi d^3) (Shigley's Mechanical Engineering Design, chapter 3, from memory): 100 N at the
/// end of a pin of 10 mm and 40 mm is 40.74 `MPa`; spread along it, half of that; along its axis, 4 F / (pi d^2) alone.
#[test]
fn a_pin_bends_about_its_foot_as_a_round_bar_does() {
    let stress = |load: &str| {
        let sheet = format!(
            "material petg {{ yield-stress 1 MPa; bond 100 % }}
             part base {{ up +z; pin axle {{ diameter 10 mm; height 40 mm; axis +z; load {{ force 100 N; {load} }} }} }}"
        );
        1.0 - margin("snapped-pin", &sheet).room
    };
    near(stress("at end; acts +x"), 40.744, 0.002);
    near(stress("at spread"), 20.372, 0.002);
    near(stress("acts +z"), 1.2732, 0.0002);
}

/// Eccentric tension, F/A + M/W (Beer and Johnston, Mechanics of Materials, eccentric axial loading, from memory): 100 N on
/// two arms of 10 mm by 2 mm with hooks 1 mm deep is 2.5 `MPa` straight and, with a lever of 1.5 mm, 13.75 `MPa` in all.
#[test]
fn a_hook_pulls_beside_its_arm() {
    let stress = |backed: &str| {
        let sheet = format!(
            "material petg {{ yield-stress 1 MPa; bond 100 % }}
             part plug {{ arm jaw {{ points +x; bends +y; length 20 mm; thickness 2 mm; width 10 mm; count 2; bears 100 N
               hook {{ depth 1 mm; lead-in 30 deg; release lifted{backed} }} }} }}"
        );
        1.0 - margin("torn-hook", &sheet).room
    };
    near(stress(""), 13.75, 0.001);
    near(stress("; backed yes"), 2.5, 0.001);
}

/// A dry screw's preload, T / (0.2 d) (Shigley's Mechanical Engineering Design, chapter 8, from memory): 8 Nm on M6 is
/// 6667 N. Under a washer of 12 mm around a hole of 6 mm, 84.82 mm2, plastic of 50 `MPa` bears 4241 N. Where the head of
/// 10 mm turns on the plastic, 50.27 mm2, which bear 2513 N, with a friction of 0.3, VDI 2230 (from memory) has
/// 8000 / (0.16 + 0.58 x 5.35 x 0.15 + 4 x 0.3) = 4382 N, its numbers rounded.
#[test]
fn a_screw_presses_with_its_torque_less_what_its_head_rubs_away() {
    let presses = |bears: f64, washer: &str| {
        let sheet = format!(
            "material pla {{ yield-stress 50 MPa; friction-steel 0.3 }}
             part flange {{ hole bolt {{ diameter 6 mm; depth 10 mm; screw M6 {{ torque 8 Nm }}{washer} }} }}"
        );
        bears - margin("crushed-seat", &sheet).room
    };
    near(presses(4241.15, "; washer M6 { seat 13 mm }"), 6666.67, 0.01);
    near(presses(2513.27, ""), 4382.48, 0.005 * 4382.48);
}

/// A hole half as wide as its strip: the factor on the net section is 2.16 by Peterson's chart, 2 + (1 - d/w)^3 = 2.125 by
/// Heywood's formula (both from memory). 900 N on 8 mm x 4 mm are 28.125 N/mm2 beside the hole.
#[test]
fn a_hole_half_as_wide_as_its_strap_raises_the_stress_as_petersons_chart_has_it() {
    let margin = margin(
        "cracked-eye",
        "material glassy like pla { yield-stress 50 MPa; bond 100 % }
         part hanger { tie strap { points +x; width 16 mm; thickness 4 mm; hole 8 mm; load { force 900 N } } }",
    );
    let times = margin.left.value / 28.125;
    near(times, 2.125, 1e-9);
    assert!((times / 2.16 - 1.0).abs() < 0.02, "{times} against Peterson's 2.16");
}

/// A strap with a hole carries what its net section does: 450 N on (20 - 6) mm x 3 mm are 10.714 N/mm2, force over area.
#[test]
fn a_strap_with_a_hole_is_stressed_on_what_is_left_beside_it() {
    let margin = margin(
        "overloaded-tie",
        "material soft like petg { yield-stress 10 MPa; bond 100 % }
         part hanger { tie strap { points +x; width 20 mm; thickness 3 mm; hole 6 mm; load { force 450 N } } }",
    );
    near(margin.left.value, 450.0 / 42.0, 1e-9);
}

/// F L^3 / (3 E I) of a cantilever (Roark, table 8.1, from memory), twice that under a load that stays.
#[test]
fn a_beam_that_does_not_say_how_far_it_may_bend_droops_by_the_tables_deflection() {
    let margin = margin(
        "drooping-beam",
        "material plain like petg { modulus 1.9 GPa }
         part shelf { beam arm { points +x; length 250 mm; width 20 mm; height 8 mm; ends cantilever
           load { force 4 N; at end; held yes } } }",
    );
    let inertia = 20.0 * 8.0_f64.powi(3) / 12.0;
    near(margin.left.value, 2.0 * 4.0 * 250.0_f64.powi(3) / (3.0 * 1900.0 * inertia), 1e-6);
}

/// ISO 4032 has M6 nuts 10 mm across flats and 11.05 mm at the least over their corners, which are rounded: a sharp hexagon
/// of 10 mm is 11.547 mm, 10 / cos 30 deg.
#[test]
fn a_nuts_pocket_is_as_wide_over_its_corners_as_a_hexagon() {
    let margin = margin(
        "nut-breaks-out",
        "machine bench\nmaterial petg
         part bar { up +z; size 60 x 11.6 x 14 mm; nut trap M6 { across-flats 10 mm; depth 5 mm; axis +z } }",
    );
    let corners = 11.6 - 2.0 * margin.left.value;
    near(corners, 10.0 / 30_f64.to_radians().cos(), 1e-9);
    assert!(corners > 11.05);
}

/// A countersink of 90 deg is as deep as half of what it is wider than its hole (ISO 15065 draws it so, from memory).
#[test]
fn a_countersink_goes_as_deep_as_its_cone() {
    let margin = margin(
        "thin-under-head",
        "machine bench\nmaterial petg
         part leaf { up +z; hole fixing { diameter 4.5 mm; depth 3 mm; axis +z; screw M4 { head countersunk }
           countersink { diameter 9 mm } } }",
    );
    near(margin.left.value, 3.0 - 2.25, 1e-9);
    near(margin.right.value, 2.25 / 2.0, 1e-9);
}

/// The stress at the rim of a hole of 6 mm in a strap of 20 x 4 mm under 2 kN, with the hole's middle so far from an edge.
fn rim(from_edge: f64) -> f64 {
    let margin = margin(
        "eye-beside-edge",
        &format!(
            "material chalk like pla {{ yield-stress 45 MPa; bond 100 % }}
             part hanger {{ up +z; size 90 x 20 x 4 mm
               tie strap {{ points +x; width 20 mm; thickness 4 mm; at 45, 10, 2 mm; hole 6 mm; load {{ force 2 kN }} }}
               hole eye {{ diameter 6 mm; axis +z; through yes; at 8, {from_edge}, 4 mm }} }}"
        ),
    );
    45.0 - margin.room
}

/// Plane-stress finite elements of this strap (`strap_with_hole(3 / 7, 0.35)` of `tests/reference/fe/plane.py`) have 3.8101 times
/// the 25 N/mm2 of the whole section at the hole's rim. Roark's Formulas for Stress and Strain, off-centre circular hole in a
/// flat bar (from memory), has 3 % less: with q = 3/7, 25 x 0.90351 / 0.57143 x 0.65 / (1 - 0.35 x 1.09649) x 2.2104 = 92.16.
#[test]
fn a_hole_beside_the_middle_raises_the_stress_as_finite_elements_have_it() {
    near(rim(7.0), 95.25, 0.03 * 95.25);
}

/// Near the middle it goes over into the strap with its hole in the middle, for which R. B. Heywood (1952) has another
/// formula, 2 + (1 - d/w)^3 on the section that is left: 2.343 x 2000 / (14 x 4) = 83.7 N/mm2.
#[test]
fn a_hole_near_the_middle_comes_to_what_heywood_has_for_the_middle() {
    near(rim(9.8), 83.7, 1.5);
}
