//! What shrinks, swells, warms and sags between two parts, with figures worked out by hand.

use dryfit::inspect::inspect_text;
use dryfit::rules::Library;

use crate::probe::assert_millimetres;

/// A machine that makes what is drawn.
const TRUE: &str = "machine bench { inside-bias 0 mm; outside-bias 0 mm; hole-bias 0 mm; crown-sag 0.3 mm; bias-shrinkage 0 %; facets 100000 }\n";

/// The length on the left side of what a rule found, in millimetres.
fn value(rule: &str, sheet: &str) -> f64 {
    let sheet = format!("{TRUE}{sheet}");
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", &sheet);
    let finding = inspection.findings.iter().find(|finding| finding.rule == rule);
    let margin = finding.and_then(|finding| finding.margin.as_ref());
    margin.unwrap_or_else(|| panic!("{rule} is not raised with a margin")).left.value
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-4, "found {found}, expected {expected}");
}

/// Shrinkage is a share of the drawn length (as ISO 294-4 defines it for moulded plates, from memory): 150 mm less 0.6 %
/// is 149.1 mm. Along the stack layers are laid to height, and do not shrink so.
#[test]
fn what_is_drawn_shrinks_by_its_materials_share() {
    let lid = |across: &str| {
        format!(
            "{TRUE}material abs {{ shrinkage 0.6 % }}\n\
             part lid {{ up +z; slot mouth {{ width 150 mm; depth 9 mm; axis -x; across {across} }} }}"
        )
    };
    assert_millimetres("slot", "printed(width)", &lid("+y"), 149.1);
}

/// 40 mm that swell by 2.2 % grow by 0.88 mm: of 0.5 mm of clearance a side (0.05 mm more than half of that) 0.06 mm are left.
#[test]
fn a_slider_of_polyamide_grows_by_its_share_of_water() {
    let found = value(
        "swollen-fit",
        "material pa6 { swelling-wet 2.2 %; shrinkage 0 % }
         service { wet yes }
         bought channel { inside 40.50 mm }
         part slider { up +z; size 40 x 30 x 12 mm }
         fit \"slider in channel\" { inside channel.inside; outside slider.size.x; class sliding }",
    );
    near(found, (40.5 - 40.0 * 1.022) / 2.0);
}

/// Linear expansion, a L dT (any text of physics; ISO 1 for 20 degC): a hub of 60 mm with 80e-6 /K around steel with 12e-6
/// /K loses 60 x 68e-6 x 50 = 0.204 mm of grip from 20 to 70 degC, and a pin of it in steel as much down to -30 degC.
#[test]
fn a_press_fit_loses_what_its_two_sides_grow_apart() {
    let hub = value(
        "warm-press",
        "material asa { expansion 80 ppm/K; shrinkage 0 % }
         service { temperature 70 degC }
         bought ring { od 60 mm }
         part hub { up +z; boss seat { diameter 90 mm; hole 59.7 mm; height 12 mm; axis +z } }
         fit \"ring in hub\" { inside hub.seat.hole; outside ring.od; class press; outside-expansion 12 ppm/K }",
    );
    near(hub, 0.3 + 50.0 * (60.0 * 12e-6 - 59.7 * 80e-6));
    let pin = value(
        "warm-press",
        "material asa { expansion 80 ppm/K; shrinkage 0 % }
         service { coldest -30 degC }
         bought ring { bore 60 mm }
         part cap { up +z; pin peg { diameter 60.3 mm; height 12 mm; axis +z } }
         fit \"peg in ring\" { inside ring.bore; outside cap.peg.diameter; class press; inside-expansion 12 ppm/K }",
    );
    near(pin, 0.3 - 50.0 * (60.3 * 80e-6 - 60.0 * 12e-6));
}

/// In the cold a hub of plastic shrinks onto what it holds: 10 mm with 80e-6 /K around steel with 12e-6 /K is tighter by
/// 10 x 68e-6 x 50 = 0.034 mm at -30 degC. Around a shaft that cannot give, its bore is stretched by that over its diameter,
/// whatever its wall (Lame; rows `press_hoop_strain` of `tests/reference/mechanics.csv`), from 1.5 to 1.84 %.
#[test]
fn a_hub_is_stretched_most_at_its_coldest() {
    let stretch = |service: &str| {
        let sheet = format!(
            "{TRUE}material asa {{ expansion 80 ppm/K; shrinkage 0 %; yield-stress 1 MPa }}\n{service}
             bought rod {{ shank 10.15 mm }}
             part knob {{ up +z; boss hub {{ diameter 30 mm; hole 10 mm; height 9 mm; axis +z }} }}
             fit \"rod in hub\" {{ inside knob.hub.hole; outside rod.shank; class press; outside-expansion 12 ppm/K
               outside-modulus 100000 GPa }}"
        );
        let inspection = inspect_text(&Library::built_in(), "example.dryfit", &sheet);
        let found = inspection.findings.iter().find(|finding| finding.rule == "burst-fit").unwrap();
        found.margin.as_ref().unwrap().left.value
    };
    // Stress goes with strain; the layers' crests take 0.2 of a layer of 0.2 mm off both.
    let ratio = stretch("service { coldest -30 degC }") / stretch("");
    let colder = (10.0 * 80e-6 - 10.15 * 12e-6) * 50.0;
    near(ratio, (0.11 + colder) / 0.11);
}

/// A crown that sags by 0.3 mm takes half of that off each side of a rod's clearance: 0.25 mm less 0.15 mm.
#[test]
fn a_lying_seat_loses_half_of_its_crowns_sag_a_side() {
    let found = value(
        "sagging-seat",
        "material petg { shrinkage 0 % }
         bought rod { diameter 6 mm }
         part carrier { up +z; hole bore { diameter 6.38 mm; depth 40 mm; axis +x } }
         fit \"rod in carrier\" { inside carrier.bore.diameter; outside rod.diameter; class sliding }",
    );
    near(found, 0.19 - 0.15);
}

/// Shear of a hook's foot, F / (n b l) against 1 / sqrt 3 of the yield stress (von Mises; mechanics of materials): two
/// hooks 10 mm wide and 2 mm along their arms part at 2 x 10 x 2 / sqrt 3 = 23.094 N with a yield stress of 1 `MPa`.
#[test]
fn a_hook_shears_off_along_its_foot() {
    let sheet = "material petg { yield-stress 1 MPa; bond 100 %; shrinkage 0 % }
        part plug { arm jaw { points +x; bends +y; length 20 mm; thickness 2 mm; width 10 mm; count 2; bears 100 N
          hook { depth 5 mm; lead-in 45 deg; release lifted; length 2 mm } } }";
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", &format!("{TRUE}{sheet}"));
    let found = inspection.findings.iter().find(|finding| finding.rule == "sheared-hook").unwrap();
    // The rule takes the root's inverse as 0.577.
    let parts_at = found.margin.as_ref().unwrap().right.value;
    assert!((parts_at * 3.0_f64.sqrt() / 40.0 - 1.0).abs() < 1e-3, "{parts_at}");
}

/// Dixon's r10, the gap over the range, against its critical values, two-sided 95 % (D. B. Rorabacher, Anal. Chem. 63 (1991)
/// 139-146, from memory: 0.970, 0.829, 0.710, 0.625, 0.568, 0.526, 0.493, 0.466 for 3 to 10 readings): a set just above
/// each is told, one just below is not.
#[test]
fn a_reading_strays_from_dixons_critical_ratio_on() {
    let critical = [0.970, 0.829, 0.710, 0.625, 0.568, 0.526, 0.493, 0.466];
    for (count, ratio) in (3..).zip(critical) {
        let told = |ratio: f64| {
            // All but one of them lie evenly over 1 mm, the last beyond by its gap.
            let last = 1.0 / (1.0 - ratio);
            let others = (0..count - 1).map(|index| f64::from(index) / f64::from((count - 2).max(1)));
            let readings: Vec<String> = others.chain([last]).map(|reading| format!("{:.6}", 20.0 + reading)).collect();
            let sheet = format!("bought tube {{ outside measured {} mm }}", readings.join(", "));
            let inspection = inspect_text(&Library::built_in(), "example.dryfit", &sheet);
            inspection.findings.iter().any(|finding| finding.rule == "stray-reading")
        };
        assert!(told(ratio + 0.003) && !told(ratio - 0.003), "{count} readings at {ratio}");
    }
}
