//! What goes along with a change, and what it says of that.

use dryfit::mend::Kind;
use dryfit::report::mend_text;
use dryfit::rules::{Level, Library, NothingNote};

use super::{advice, mends_of, only};

/// What else moves is what is written on the printed parts: neither what is bought nor what only follows.
#[test]
fn what_else_moves_is_what_is_drawn() {
    let text = "machine bench\nmaterial pla\nlet wide = 6 mm\nbought pin { width wide }\n\
                part post { up +z; boss b { diameter wide; hole 2.5 mm; height 14 mm; depth 12 mm; axis +z\n\
                  screw M3 { kind thread-forming; engagement 8 mm } }\n  hole other { diameter wide; depth 3 mm; axis +z } }\n";
    let best = &mends_of(&Library::built_in(), text, "thin-boss")[0];
    assert_eq!(best.changes[0].name, "wide");
    let moved: Vec<&str> = best.moves.iter().map(|(path, _, _)| path.as_str()).collect();
    assert_eq!(moved, ["post.b.diameter", "post.other.diameter"]);
}

/// An arm that breaks may become no thinner than its demand lets it, which is not enough for its polymer: another one takes
/// more, and together with it that little is.
#[test]
fn another_material_makes_room_for_a_smaller_change() {
    let text = "machine bench\nmaterial petg\npart clip { up +z; arm jaw { points +x; bends +y; length 14 mm; thickness 3.4 mm; \
                width 8 mm; root-fillet 1.6 mm; hook { depth 2 mm; lead-in 25 deg; return 40 deg } } }\n\
                demand clip.jaw.length <= 14 mm \"fits\"\ndemand clip.jaw.thickness >= 2.6 mm \"holds\"\n\
                demand clip.jaw.hook.depth >= 2 mm \"holds\"\n";
    let best = &mends_of(&Library::built_in(), text, "overstrained-arm")[0];
    let told: Vec<[&str; 2]> = best.changes.iter().map(|change| [change.name.as_str(), change.to.as_str()]).collect();
    assert_eq!((best.kind, best.clean), (Kind::MaterialPair, true));
    assert_eq!(told, [["material", "pp"], ["clip.jaw.thickness", "2.6 mm"]]);
}

/// That nothing is clean tells whether anything cures at all, and whether the sheet holds as drawn. A demand forbids what a thin
/// wall needs; what is bought cannot be changed, whether it is too tight or has just the room that it needs.
#[test]
fn why_nothing_is_clean_is_told() {
    let forbidden = "machine bench\nmaterial petg\npart p { up +z; wall w { thickness 0.5 mm; height 9 mm } }\n\
                     demand p.w.thickness <= 0.6 mm \"fits\"\n";
    let bought = |mouth: &str| {
        format!(
            "machine bench\nmaterial petg\nbought rail {{ lip measured 8.02, 7.98 mm; mouth measured {mouth}, {mouth} mm }}\n\
             fit \"lip in mouth\" {{ inside rail.mouth; outside rail.lip; class free }}\n"
        )
    };
    let cases = [
        (forbidden.to_owned(), "thin-wall", (true, false, true)),
        (bought("8.01"), "jammed-fit", (false, false, true)),
        (bought("8.30"), "jammed-fit", (false, true, false)),
    ];
    for (text, rule, told) in cases {
        let found = advice(&only(&[rule, "broken-demand"]), &text);
        let (_, of_rule) = found.into_iter().find(|(finding, _)| finding.rule == rule).unwrap();
        let Some(NothingNote::Searched(search)) = of_rule.unwrap().nothing else {
            panic!("something is clean: {text}")
        };
        assert_eq!((search.harms, search.holds, search.limit.is_some()), told, "{search:?}");
    }
}

/// A note is no side of a conflict, since what is only noted may stay: that a mend raises one is told with it all the same, and
/// it is not called clean.
#[test]
fn what_a_mend_raises_is_told_where_it_is_no_more_than_a_note() {
    let text = "machine bench\nmaterial petg\nbought rod { diameter 8 mm h9 }\n\
                part lever { up +z; boss hub { diameter 12 mm; hole 7.9 mm; height 10 mm; axis +z } }\n\
                fit \"rod in hub\" { inside lever.hub.hole; outside rod.diameter; class press }\n";
    let best = &mends_of(&Library::built_in(), text, "burst-fit")[0];
    let raised: Vec<(&str, Level)> = best.harms.iter().map(|harm| (harm.rule.as_str(), harm.level)).collect();
    assert_eq!((best.clean, raised), (false, vec![("loose-press", Level::Note)]));
    assert!(mend_text(&best.note()).ends_with("but raises loose-press on rod in hub"), "{}", mend_text(&best.note()));
}
