//! What can be said to lie in a part, against the part's box.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Level, Library};

/// The rules about a part's box that a part's contents raise, in order.
fn raised(size: &str, contents: &str) -> Vec<String> {
    let sheet = format!("machine bench\nmaterial petg\npart p {{ up +z; size {size}; {contents} }}\n");
    let found = inspect_text(&Library::built_in(), "box.dryfit", &sheet).findings;
    let unreadable: Vec<_> = found.iter().filter(|finding| finding.label == "not checked").collect();
    assert!(unreadable.is_empty(), "{contents}: {unreadable:?}");
    found.iter().map(|finding| finding.rule.clone()).filter(|rule| rule.ends_with("-than-part")).collect()
}

fn one(size: &str, contents: &str, rule: &str) {
    assert_eq!(raised(size, contents), [rule], "{contents}");
}

fn none(size: &str, contents: &str) {
    assert!(raised(size, contents).is_empty(), "{contents}: {:?}", raised(size, contents));
}

#[test]
fn what_fills_the_box_to_its_edge_lies_in_it() {
    none(
        "1 in x 24 mm x 12 mm",
        "arm a { points +x; bends +y; length 25.4 mm; thickness 1.8 mm; width 12 mm; root-fillet 2 mm; opens 0.1 mm }",
    );
    none(
        "40 x 20 x 12 mm",
        "hole a { diameter 4 mm; depth 12 mm; axis +z }; slot b { width 20 mm; depth 12 mm; length 40 mm; axis +z; across +y }",
    );
    none(
        "40 x 20 x 12 mm",
        "wall a { thickness 40 mm; height 20 mm; faces +x }; wall b { thickness 2 mm; height 40 mm; faces +y }",
    );
    none(
        "40 x 20 x 12 mm",
        "ring-snap a { diameter 16 mm; undercut 0.3 mm; gives outer; free-diameter 20 mm; axis +z }",
    );
    none(
        "0.3 m x 2 cm x 12 mm",
        "hole a { diameter 4 mm; depth 300 mm; axis +x }; pin b { diameter 8 mm; height 20 mm; axis +y }",
    );
    none(
        "40 x 20 x 12 mm",
        "bent-arm a { turns half; tip-leg 30 mm; root-leg 20 mm; radius 9 mm; thickness 2 mm; width 12 mm; faces +z; opens 1 mm }",
    );
}

#[test]
fn a_slight_tilt_or_taper_takes_nothing_out_of_the_box() {
    none("40 x 20 x 12 mm", "pin a { diameter 4 mm; height 12 mm; axis +z tilted 2 deg toward +x }");
    none(
        "40 x 20 x 12 mm",
        "arm a { points +x; bends +y; length 40 mm; thickness 2 mm; tip-thickness 1 mm; width 12 mm; tip-width 11.9 mm; opens 0.1 mm }",
    );
    none("40 x 20 x 12 mm", "edge a { fillet 30 mm }; text \"b\" b { stroke 1 mm; depth 0.4 mm }");
}

#[test]
fn each_dimension_counts_along_its_own_direction() {
    let size = "60 x 40 x 20 mm";
    one(
        size,
        "arm a { points +y; bends +x; length 41 mm; thickness 2 mm; width 12 mm; opens 0.1 mm }",
        "longer-than-part",
    );
    one(
        size,
        "arm a { points +x; bends +y; length 30 mm; thickness 2 mm; width 21 mm; opens 0.1 mm }",
        "thicker-than-part",
    );
    one(
        size,
        "arm a { points +x; bends +z; length 30 mm; thickness 2 mm; width 41 mm; opens 0.1 mm }",
        "thicker-than-part",
    );
    one(
        "60 x 3 x 20 mm",
        "arm a { points +x; bends +y; length 30 mm; thickness 2 mm; width 8 mm; hook { depth 1.2 mm; lead-in 30 deg } }",
        "thicker-than-part",
    );
    one(
        size,
        "beam a { points +x; rises +z; length 50 mm; width 20 mm; height 21 mm; ends cantilever }",
        "thicker-than-part",
    );
    one(
        size,
        "beam a { points +y; rises +z; length 50 mm; width 20 mm; height 12 mm; ends cantilever }",
        "longer-than-part",
    );
    one(size, "tie a { points +x; width 41 mm; thickness 3 mm }", "thicker-than-part");
    one(size, "slot a { width 3 mm; depth 21 mm; axis +z; across +x }", "deeper-than-part");
    one(size, "slot a { width 3 mm; depth 12 mm; length 41 mm; axis +z; across +x }", "longer-than-part");
    one(size, "nut a M4 { across-flats 7.3 mm; depth 21 mm; axis +z }", "deeper-than-part");
    one(size, "thread a M8 { length 21 mm; axis +z }", "deeper-than-part");
    one(size, "wall a { thickness 2 mm; height 41 mm; faces +x }", "deeper-than-part");
    one(size, "living-hinge a { thickness 0.4 mm; length 41 mm; angle 90 deg; crosses +y }", "longer-than-part");
    one(size, "bridge a { span 61 mm; supported yes }", "longer-than-part");
    one(
        size,
        "hole a { diameter 4 mm; depth 12 mm; axis +z; screw M4; counterbore { diameter 41 mm } }",
        "wider-than-part",
    );
}

#[test]
fn what_reaches_into_a_boss_reaches_into_the_part() {
    let size = "60 x 40 x 12 mm";
    let boss = |more: &str| format!("boss a {{ diameter 8 mm; hole 2.5 mm; axis +z; {more} }}");
    one(
        size,
        &boss("height 8 mm; depth 23 mm; screw M3 { kind thread-forming; length 25 mm; grip 2 mm }"),
        "deeper-than-part",
    );
    one(size, &boss("screw M3 { kind thread-forming; length 16 mm; grip 3 mm }"), "deeper-than-part");
    one(size, &boss("insert M3 { length 13 mm }"), "deeper-than-part");
    // A screw that goes into an insert may reach on through a hole that is not the boss's.
    none(size, &boss("height 10 mm; insert M3 { length 5.8 mm }; screw M3 { length 16 mm; grip 2 mm }"));
    // The same screw through a hole goes on into another part.
    none(size, "hole a { diameter 3.7 mm; depth 12 mm; axis +z; screw M3 { length 30 mm; grip 12 mm } }");
}

#[test]
fn without_a_direction_only_the_longest_side_is_sure() {
    let size = "60 x 40 x 20 mm";
    none(size, "torsion-bar a { length 43 mm; diameter 3 mm; lever 59 mm; travel 1 mm }");
    one(size, "torsion-bar a { length 43 mm; diameter 3 mm; lever 64 mm; travel 1 mm }", "longer-than-part");
    none(size, "strut a { length 74 mm; width 8 mm; thickness 6 mm; ends pinned }");
    one(size, "strut a { length 75 mm; width 8 mm; thickness 6 mm; ends pinned }", "longer-than-part");
    none(size, "hole a { diameter 4 mm; depth 60 mm }; slot b { width 4 mm; length 60 mm }");
    one(size, "hole a { diameter 4 mm; depth 61 mm }", "deeper-than-part");
    one(size, "slot b { width 4 mm; length 61 mm }", "longer-than-part");
}

#[test]
fn a_pin_counts_by_how_far_it_rises() {
    let sways = |pin: &str| {
        let sheet = format!(
            "machine bench\nmaterial petg\npart p {{ up +z; size 60 x 60 x 60 mm; pin a {{ {pin}; supported yes }} }}\n"
        );
        let found = inspect_text(&Library::built_in(), "pin.dryfit", &sheet).findings;
        found.iter().find(|finding| finding.rule == "slender-pin").map(|finding| finding.message.clone())
    };
    assert_eq!(sways("diameter 2 mm; height 40 mm; axis +x"), None);
    assert_eq!(sways("diameter 2.2 mm; height 40 mm; axis +z tilted 60 deg toward +x"), None);
    let leaning = sways("diameter 2.2 mm; height 50 mm; axis +z tilted 60 deg toward +x");
    assert!(leaning.is_some_and(|message| message.contains("rises 25 mm")));
    assert!(sways("diameter 2.2 mm; height 23 mm; axis +z").is_some());
    assert!(sways("diameter 2.2 mm; height 23 mm; axis -z").is_some());
}

/// Whether a rectangle fits in another, by turning it in small steps.
fn fits_turned(long: f64, short: f64, bed: f64) -> bool {
    (0..=9000).map(|step| f64::from(step) / 100.0_f64).map(f64::to_radians).any(|angle| {
        let (sine, cosine) = angle.sin_cos();
        long * cosine + short * sine <= bed && long * sine + short * cosine <= bed
    })
}

#[test]
fn what_is_longer_than_the_bed_may_lie_aslant_on_it() {
    for (long, short) in
        [(209, 209), (211, 20), (250, 30), (250, 46), (250, 48), (290, 6), (290, 8), (300, 5), (211, 150)]
    {
        let sheet = format!("machine bench\npart rail {{ up +z; size {long} x {short} x 12 mm; brimmed yes }}");
        let found = inspect_text(&Library::built_in(), "bed.dryfit", &sheet).findings;
        let level = found.iter().find(|finding| finding.rule == "off-the-bed").map(|finding| finding.level);
        let fits = fits_turned(f64::from(long), f64::from(short), 210.0);
        let wanted = if fits { (long > 210).then_some(Level::Note) } else { Some(Level::Stop) };
        assert_eq!(level, wanted, "{long} x {short}");
    }
}
