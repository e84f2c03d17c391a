use dryfit::report;
use dryfit::rules::Library;
use dryfit::window::{Moved, region, sweep};

use super::{moved, with_model};

const CLIP: &str = include_str!("../../demo-data/gutter-clip.dryfit");
const LATCH: &str = include_str!("../../demo-data/vent-latch.dryfit");

fn check(name: &str, text: &str) {
    insta::with_settings!({snapshot_path => "../snapshots/window", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, text);
    });
}

fn swept(text: &str, path: &str) -> (String, String) {
    let library = Library::built_in();
    with_model(&library, text, |model| {
        let sweep = sweep(&library, model, moved(model, path));
        (report::sweep(&sweep), report::sweep_svg(&sweep).unwrap())
    })
}

#[test]
fn the_window_of_a_slack_reads_well() {
    let (words, picture) = swept(CLIP, "slack");
    check("slack", &words);
    assert!(picture.contains("role=\"img\" aria-labelledby=\"title description\""));
    assert!(picture.contains("<title id=\"title\">Margins of the rules while slack moves</title>"));
}

#[test]
fn the_window_of_a_thickness_reads_well() {
    check("arm-thickness", &swept(LATCH, "latch.spring.thickness").0);
}

#[test]
fn a_copys_thickness_moves_with_its_source() {
    let words = swept(CLIP, "clip.jaw.thickness").0;
    check("copied-thickness", &words);
    assert!(words.contains("clip.lower-jaw"), "{words}");
}

#[test]
fn the_window_of_readings_moves_them_together() {
    check("readings", &swept(LATCH, "frame.bar").0);
}

#[test]
fn a_field_that_no_rule_looks_at_says_so() {
    check("nobody-looks", &swept("machine bench\npart p { hole h { diameter 4 mm; depth 8 mm } }", "p.h.depth").0);
}

#[test]
fn the_region_of_length_and_thickness_reads_well() {
    let library = Library::built_in();
    let (words, picture) = with_model(&library, LATCH, |model| {
        let both = ["latch.spring.length", "latch.spring.thickness"].map(|path| moved(model, path));
        // Coarse: every point runs all the rules that look at it, and tests are not optimised.
        let both = both.map(|moved| Moved { range: moved.range.coarser(24.0), ..moved });
        let region = region(&library, model, both);
        (report::region(&region), report::region_svg(&region).unwrap())
    });
    check("length-and-thickness", &words);
    assert!(picture.contains("<desc id=\"description\">"));
}

#[test]
fn pictures_escape_what_the_sheet_says() {
    let text = "let gap = 2 mm\ndemand gap < 3 mm \"<script>&\"\nfit \"<b>a & b</b>\" { inside gap; outside 1.8 mm; class sliding }\nmachine bench\n";
    let (_, picture) = swept(text, "gap");
    assert!(!picture.contains("<b>") && !picture.contains("<script>"), "{picture}");
    assert!(picture.contains("&lt;b&gt;"), "{picture}");
}

#[test]
fn what_is_permitted_is_told_as_such() {
    check("permitted", &swept(CLIP, "clip.back.thickness").0);
}
