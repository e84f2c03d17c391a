use dryfit::report;
use dryfit::rules::{Aspect, Library};

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

/// So wide that no line folds: what a line says is looked for whole.
fn unfolded() -> report::Look {
    report::Look::of_width(100).unfolded()
}

fn check(name: &str, text: &str) {
    let ways = ways_of(&Library::built_in(), text);
    insta::with_settings!({snapshot_path => "../snapshots/orient", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, report::orient(&ways, false, unfolded()));
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

/// All but as good: it stands no more than a fifth higher.
#[test]
fn a_near_tie_is_marked_and_told() {
    let block = "machine bench\nmaterial petg\npart block {\n  up +y\n  size 40 x 30 x 28 mm\n}\n";
    check("near-tie", block);
    let text = report::orient(&ways_of(&Library::built_in(), block), false, unfolded());
    assert!(text.contains("\n3~ ") && text.contains("all but as good"), "{text}");
}

/// The long bar lies on no bed of the bench, upright it tips over, and on its edge it would need
/// support: no tilt may come before a face.
#[test]
fn a_bar_on_its_edge_comes_after_a_bar_on_a_face() {
    for (size, said) in [("10 x 10 x 230", ""), ("230 x 10 x 10", "; brimmed yes"), ("8 x 60 x 200", "")] {
        let text = format!("machine bench\nmaterial petg\npart bar {{ size {size} mm{said} }}\n");
        let ways = ways_of(&Library::built_in(), &text);
        assert!(ways.ways[0].up.is_axis(), "{}", report::orient(&ways, true, unfolded()));
        for way in ways.ways.iter().filter(|way| !way.up.is_axis()) {
            assert!(way.of_aspect(Aspect::Support).any(|trouble| trouble.rule == "on-edge"), "{}", way.up.text());
        }
    }
}

#[test]
fn the_report_on_the_demo_clip_reads_well() {
    check("gutter-clip", include_str!("../../demo-data/gutter-clip.dryfit"));
}

/// A tie that leans by 30 deg, of 30 deg, toward one side or the other: rounding makes neither short.
const LEANING: &str = "machine bench
material petg
part p {
  size 20 x 20 x 120 mm
  tie a { points +z tilted 45 deg toward +x; width 8 mm; thickness 4 mm; load { force 20 N } }
  boss k { diameter 8 mm; hole 2.5 mm; height 8 mm; axis -z }
}
";

#[test]
fn mirror_twins_are_told_and_drawn_once() {
    let ways = ways_of(&Library::built_in(), LEANING);
    let text = report::orient(&ways, false, unfolded());
    assert!(text.contains("\n1      +y or -y ") && text.contains("+y tilted 45 deg toward +z, 3 alike "), "{text}");
    assert!(text.contains("or -y: the same holds") && text.contains("or -x: the same holds"), "{text}");
    assert!(!text.contains("short 0 %") && text.contains(" box      0 % "), "{text}");
    let all = report::orient(&ways, true, unfolded());
    assert!(ways.ways.iter().all(|way| all.contains(&format!("{} ", way.up.text()))), "{all}");
    let svg = report::orient_svg(&ways);
    for title in [">1. up +y or -y<", ">3. up +x or -x<", ">1 care; to support: k<"] {
        assert!(svg.contains(title), "{title}: {svg}");
    }
}

/// Tilted it is as good as on a face, as far as the sheet says: nothing is gained.
#[test]
fn among_equals_an_axis_comes_before_a_tilt() {
    let text = "machine bench\nmaterial petg\npart p { arm a { points +z; bends +x; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 1 mm } }\n";
    let ways = ways_of(&Library::built_in(), text);
    let first = ways.ways.iter().filter(|way| way.place == 1);
    assert!(first.clone().count() > 1 && first.clone().all(|way| way.up.is_axis()));
    let text = report::orient(&ways, false, unfolded());
    assert!(text.contains("a tilt, by which nothing is gained"), "{text}");
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
