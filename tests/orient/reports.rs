use dryfit::report;
use dryfit::rules::Library;

use super::ways_of;

/// A part in which everything lies along the layers one way up only.
const BRACKET: &str = "machine bench
material petg
part bracket {
  up   +z
  size 40 x 30 x 20 mm
  arm  latch { points +z; bends +x; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; hook { depth 1 mm; lead-in 30 deg } }
  face ledge { faces -y tilted 20 deg toward +z }
}
";

/// Two arms square to each other in a part that also has an underside for each of the ways left.
const QUARREL: &str = "machine bench
material petg
part hook {
  size 60 x 30 x 20 mm
  arm  upper { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; hook { depth 1 mm; lead-in 30 deg } }
  arm  side  { points +z; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm }
  face ledge { faces -y tilted 20 deg toward +x }
  face roof  { faces +y tilted 20 deg toward -x }
}
";

const UPRIGHT: &str = "machine bench
material petg
part post {
  size 10 x 10 x 230 mm
  arm a { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm }
  arm b { points +y; bends +x; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm }
  arm c { points +z; bends +x; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm }
}
";

fn check(name: &str, text: &str) {
    let ways = ways_of(&Library::built_in(), text);
    insta::with_settings!({snapshot_path => "../snapshots/orient", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, report::orient(&ways, false));
    });
}

#[test]
fn the_report_on_a_bracket_reads_well() {
    check("bracket", BRACKET);
}

#[test]
fn the_report_on_a_quarrel_reads_well() {
    check("quarrel", QUARREL);
}

#[test]
fn the_report_on_three_arms_reads_well() {
    check("three-arms", UPRIGHT);
}

#[test]
fn the_report_on_the_demo_clip_reads_well() {
    check("gutter-clip", include_str!("../../demo-data/gutter-clip.dryfit"));
}

#[test]
fn the_drawing_has_a_name_and_escapes_what_it_shows() {
    let svg = report::orient_svg(&ways_of(&Library::built_in(), QUARREL));
    assert!(svg.contains("role=\"img\" aria-labelledby=\"title description\""));
    assert!(svg.contains("<title id=\"title\">Ways up for hook</title>"));
    assert!(svg.contains("<desc id=\"description\">"));
    insta::with_settings!({snapshot_path => "../snapshots/orient", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("quarrel-svg", svg);
    });
}
