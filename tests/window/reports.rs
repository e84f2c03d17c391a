use dryfit::report;
use dryfit::rules::{Level, Library};
use dryfit::window::{region, sweep};

use super::{moved, with_model};

const CLIP: &str = include_str!("../../demo-data/gutter-clip.dryfit");
const LATCH: &str = include_str!("../../demo-data/vent-latch.dryfit");

/// So wide that no line folds: what a line says is looked for whole.
fn unfolded() -> report::Look {
    report::Look::of_width(100).unfolded()
}

fn check(name: &str, text: &str) {
    insta::with_settings!({snapshot_path => "../snapshots/window", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, text);
    });
}

fn swept(text: &str, path: &str) -> (String, String) {
    let library = Library::built_in();
    with_model(&library, text, |model| {
        let sweep = sweep(&library, model, moved(model, path));
        (report::sweep(&sweep, unfolded()), report::sweep_svg(&sweep))
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

const CLIPS: &str = "sheet \"Clips\" revision \"A\"\nmachine bench\nmaterial pla\nlet l = 12 mm\npart clip {\n  up +z\n  size 30 x 20 x 15 mm\n  \
    arm left { points +x; bends +y; length l + 2 mm; thickness 2.4 mm; width 8 mm; root-fillet 1.2 mm; cycles 200; hook { depth 1.5 mm; lead-in 30 deg } }\n  \
    arm right like left { bends -y; length 2 * l }\n}\ndemand clip.left.length < 18 mm \"stays short\"\n";

/// Every rule that stops somewhere in a stretch is named, with where it begins and ends to.
#[test]
fn a_stretch_names_every_rule_that_reports_its_level() {
    let (words, picture) = swept(CLIPS, "l");
    check("causes", &words);
    let stop = words.lines().find(|line| line.contains("stop (now)")).unwrap();
    for cause in [
        "overstrained-arm on clip.left to ",
        "overstrained-arm on clip.right to ",
        "longer-than-part on clip.right from 15 mm",
        "broken-demand on demand from 16 mm",
    ] {
        assert!(stop.contains(cause) && picture.contains(cause), "{cause}: {stop}");
    }
}

#[test]
fn one_extent_of_a_size_moves() {
    let text = "machine bench\nmaterial petg\npart q { up +z; size 60 x 40 x 20 mm; hole h { diameter 5 mm; depth 15 mm; axis +z } }\n\
                part p { up +z; size q.size; hole h { diameter 5 mm; depth 15 mm; axis +z } }\n";
    let (words, picture) = swept(text, "q.size.z");
    check("extent", &words);
    assert!(picture.contains("Margins of the rules while q.size.z moves"));
    // Stated by name: only this part's own changes.
    let words = swept(text, "p.size.z").0;
    assert!(words.contains("deeper-than-part on p.h") && !words.contains("q.h"), "{words}");
}

/// Both move at once: the demand is broken exactly where their sum is too much.
#[test]
fn two_extents_of_one_size_move_together() {
    let text = "machine bench\nmaterial petg\npart p { up +z; size 60 x 40 x 20 mm }\ndemand p.size.x + p.size.z < 90 mm \"fits the tray\"\n";
    let library = Library::built_in();
    with_model(&library, text, |model| {
        let both = ["p.size.x", "p.size.z"].map(|path| moved(model, path));
        let region = region(
            &library,
            model,
            both.map(|moved| {
                let range = moved.range.coarser(12.0);
                moved.over(range)
            }),
        );
        let demand = region.rules.iter().find(|area| area.rule == "broken-demand").unwrap();
        let columns = region.values[0].len();
        for (index, state) in demand.states.iter().enumerate() {
            let sum = region.values[0][index % columns] + region.values[1][index / columns];
            assert_eq!(*state == Some(Some(Level::Stop)), sum >= 90.0, "{sum}");
            let room = demand.room[index];
            assert!(room.is_none_or(|room| (room - (90.0 - sum) / 90.0).abs() < 1e-9), "{sum}: {room:?}");
        }
        assert!(demand.room.iter().flatten().count() > 10, "{:?}", demand.room);
        assert!(report::region_svg(&region).contains("p.size.x and p.size.z"));
    });
}

/// Shorter than 1.5 thicknesses the formula of a strain does not hold: what holds there could not be checked, and what is
/// hopeless stays a stop.
#[test]
fn where_a_rule_cannot_be_checked_only_a_stop_is_told() {
    let text = |depth: &str| {
        format!(
            "machine bench\nmaterial petg\npart p {{ up +z; size 60 x 40 x 20 mm; arm a {{ points +x; bends +y; length 12 mm; \
             thickness 2 mm; width 8 mm; root-fillet 1 mm; cycles 50; closed-by tool; hook {{ depth {depth}; lead-in 40 deg }} }} }}\n"
        )
    };
    let library = Library::built_in();
    let reports = |depth: &str| {
        with_model(&library, &text(depth), |model| {
            let region = region(&library, model, ["p.a.length", "p.a.thickness"].map(|path| moved(model, path)));
            let (columns, rows) = (region.values[0].len(), region.values[1].len());
            let corner = (region.is_unchecked(0, rows - 1), region.state(0, rows - 1).flatten());
            assert!(!region.is_unchecked(columns - 1, 0));
            (corner, report::region(&region, unfolded()), report::region_svg(&region))
        })
    };
    let (corner, words, picture) = reports("0.1 mm");
    assert_eq!(corner, (true, Some(Level::Care)));
    assert!(words.contains("4 mm |?~") && words.contains("? a rule could not be checked"), "{words}");
    assert!(picture.contains(">a rule could not be checked</text>"), "{picture}");
    let (corner, words, picture) = reports("1 mm");
    assert_eq!(corner, (false, Some(Level::Stop)));
    assert!(words.contains("4 mm |##") && !words.contains("could not be checked"), "{words}");
    assert!(!picture.contains("could not be checked"), "{picture}");
}

#[test]
fn the_region_of_length_and_thickness_reads_well() {
    let library = Library::built_in();
    let (words, picture) = with_model(&library, LATCH, |model| {
        let both = ["latch.spring.length", "latch.spring.thickness"].map(|path| moved(model, path));
        // Coarse: every point runs all the rules that look at it, and tests are not optimised.
        let both = both.map(|moved| {
            let range = moved.range.coarser(24.0);
            moved.over(range)
        });
        let region = region(&library, model, both);
        (report::region(&region, unfolded()), report::region_svg(&region))
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
