use dryfit::mend::{Alone, Choice, Ended, Kind, repeat, repeat_until};
use dryfit::report::{advice_lines, mend_text};
use dryfit::rules::{Level, Library, NothingNote};
use dryfit::syntax::edit::apply;

use super::{advice, only};

const HEAD: &str = "machine bench\nmaterial petg\n";

fn best(text: &str, rule: &str) -> dryfit::mend::Mend {
    let library = Library::built_in();
    let found = advice(&library, text);
    let (_, advice) = found.into_iter().find(|(finding, _)| finding.rule == rule).expect(text);
    advice.unwrap().mends.into_iter().next().expect("a mend")
}

fn mended(text: &str, mend: &dryfit::mend::Mend) -> String {
    let edits: Vec<_> = mend.changes.iter().map(|change| change.edit.clone()).collect();
    apply(text, &edits)
}

#[test]
fn a_sum_is_mended_where_its_allowance_is_set() {
    let text = format!(
        "{HEAD}bought rail {{ lip measured 2.02, 1.98, 2.05 mm }}\nlet slack = 0.1 mm\n\
         part clip {{ up +z; slot mouth {{ width rail.lip + slack; depth 9 mm; axis +z }} }}\n\
         fit \"mouth on lip\" {{ inside clip.mouth.width; outside rail.lip; class free }}\n"
    );
    let mend = best(&text, "jammed-fit");
    assert_eq!(mend.changes[0].name, "slack");
    assert!(mend.moves.iter().any(|(path, _, _)| path == "clip.mouth.width"), "{mend:?}");
    assert!(mended(&text, &mend).contains("measured 2.02, 1.98, 2.05 mm"));
    let literal = text.replace("let slack = 0.1 mm\n", "").replace("rail.lip + slack", "rail.lip + 0.1 mm");
    let mend = best(&literal, "jammed-fit");
    assert_eq!(mend.changes[0].name, "the 0.1 mm in clip.mouth.width");
}

/// An allowance that has a name is changed there: the share of the whole gets no second one.
#[test]
fn an_allowance_that_has_a_name_is_the_only_one() {
    let text = format!(
        "{HEAD}bought rail {{ lip measured 8.02, 7.98 mm }}\nlet slack = 0.01 mm\n\
         part clip {{ up +z; slot mouth {{ width (rail.lip + slack) * 1.01; axis +z }} }}\n\
         fit \"mouth on lip\" {{ inside clip.mouth.width; outside rail.lip; class free }}\n"
    );
    let library = Library::built_in();
    let found = advice(&library, &text);
    let mends = found.into_iter().find(|(finding, _)| finding.rule == "jammed-fit").unwrap().1.unwrap().mends;
    let names: Vec<&str> = mends.iter().flat_map(|mend| &mend.changes).map(|change| change.name.as_str()).collect();
    assert_eq!(names, ["slack"]);
}

#[test]
fn an_inch_sheet_stays_in_inches() {
    let text = format!(
        "{HEAD}part clip {{ up +z; hole dowel {{ diameter 0.25 in; depth 0.4 in; takes 0.25 in; axis +z }} }}\n"
    );
    let mend = best(&text, "shrunk-hole");
    let steps = mend.changes[0].to.strip_suffix(" in").unwrap().parse::<f64>().unwrap() / 0.005;
    assert!(mend.clean && (steps - steps.round()).abs() < 1e-6, "{mend:?}");
    assert!(mended(&text, &mend).contains(&format!("diameter {}; depth 0.4 in", mend.changes[0].to)));
}

/// From 10 mm on, that is 0.39 in, lengths are drawn in half millimetres or in fiftieths of an inch.
#[test]
fn a_long_dimension_is_rounded_as_people_draw_it_in_inches_too() {
    let text = format!(
        "{HEAD}part clip {{ up +z; arm jaw {{ points +x; bends +y; length 0.5 in; thickness 0.1 in; width 0.4 in; \
         root-fillet 0.04 in; hook {{ depth 0.06 in; lead-in 30 deg; return 45 deg }} }} }}\n"
    );
    let mend = best(&text, "overstrained-arm");
    assert_eq!((mend.changes[0].name.as_str(), mend.changes[0].to.as_str()), ("clip.jaw.length", "0.62 in"));
}

#[test]
fn a_copy_is_mended_at_its_source_and_what_else_moves_is_said() {
    let text = format!(
        "{HEAD}part clip {{ up +z\n  wall a {{ thickness 0.6 mm; height 9 mm }}\n  wall b like a {{ height 7 mm }}\n}}\n"
    );
    let mend = best(&text, "thin-wall");
    assert_eq!(mend.changes[0].name, "clip.a.thickness");
    assert_eq!(mend.changes[0].to, "0.84 mm");
    assert_eq!(*mend.moves, [("clip.b.thickness".to_owned(), "0.6 mm".to_owned(), "0.84 mm".to_owned())]);
    let library = Library::built_in();
    let of_copy = advice(&library, &text).into_iter().find(|(finding, _)| finding.about == "clip.b");
    let mend = &of_copy.unwrap().1.unwrap().mends[0];
    assert_eq!(mend.changes[0].name, "clip.a.thickness");
}

/// Geometry: a wall is half of what lies between its two diameters, (7.5 - 2.5) / 2 = 2.5 mm.
#[test]
fn a_wall_that_is_written_out_changes_with_its_diameters() {
    let text = "machine bench\nmaterial pla\n\
        part post { up +z; boss b { diameter 6 mm; hole 2.5 mm; thickness 1.75 mm; height 14 mm; depth 12 mm; axis +z\n\
          screw M3 { kind thread-forming; engagement 8 mm } } }\n";
    let mended = mended(text, &best(text, "thin-boss"));
    assert!(mended.contains("diameter 7.5 mm; hole 2.5 mm; thickness 2.5 mm"), "{mended}");
    let apart = text.replace("thickness 1.75 mm", "thickness 1.5 mm");
    let library = Library::built_in();
    let found = advice(&library, &apart);
    assert!(found.iter().any(|(finding, _)| finding.rule == "unlike-thickness"));
}

#[test]
fn a_field_that_is_left_out_is_put_in() {
    let text = format!(
        "{HEAD}part clip {{\n  up +z\n  arm jaw {{\n    points      +x\n    bends       +y\n    length      30 mm\n    \
         thickness   1.6 mm\n    width       12 mm  # wide\n    hook {{ depth 1 mm; lead-in 30 deg }}\n  }}\n}}\n"
    );
    let mend = best(&text, "sharp-root");
    assert!(mended(&text, &mend).contains("width       12 mm  # wide\n    root-fillet 0.8 mm\n    hook"), "{mend:?}");
}

#[test]
fn what_is_bought_is_mended_to_a_size_that_is_sold() {
    let text = format!(
        "{HEAD}part box {{ up +z; boss corner {{ diameter 8 mm; hole 2.5 mm; height 14 mm; axis +z; \
         screw M3 {{ kind thread-forming; length 6 mm; grip 3 mm }} }} }}\n"
    );
    let mend = best(&text, "shallow-engagement");
    assert_eq!((mend.changes[0].name.as_str(), mend.changes[0].to.as_str()), ("box.corner.screw.length", "10 mm"));
}

/// It decides more than one arm: `orient` compares ways up, a mend never turns a part.
#[test]
fn the_way_up_changes_only_where_it_is_asked_for() {
    let text = format!(
        "{HEAD}part clip {{\n  up +z\n  arm jaw {{ points +z; bends +x; length 30 mm; thickness 1.6 mm; width 8 mm; \
         root-fillet 0.8 mm; hook {{ depth 1 mm; lead-in 30 deg }} }}\n}}\n"
    );
    let library = Library::built_in();
    let found = advice(&library, &text);
    let across = found.into_iter().find(|(finding, _)| finding.rule == "arm-across-layers").unwrap().1.unwrap();
    assert!(across.mends.is_empty(), "{:?}", across.mends);
    let Some(NothingNote::Searched(search)) = &across.nothing else { panic!("{across:?}") };
    assert!(search.directions && search.tried.is_empty(), "{search:?}");
    assert!(advice_lines(&across.note()).concat().contains("dryfit orient"));
    assert!(repeat(&Alone { library: &library }, &text, &Choice::default()).text.contains("up +z\n"));
}

#[test]
fn a_hole_as_wide_as_what_goes_in_gets_an_allowance() {
    // Two standard uncertainties more than the least that holds.
    let share = (0.3, 0.8);
    let drawn = [
        ("rail.lip", (0.5, 1.0)),
        ("1.02 * rail.lip", share),
        // After the whole of it, parentheses and all.
        ("0.51 * (rail.lip + rail.lip)", share),
        ("(rail.lip + rail.lip) * 0.51", share),
    ];
    for (drawn, (least, most)) in drawn {
        let text = format!(
            "{HEAD}bought rail {{ lip measured 8.02, 7.98 mm }}\npart clip {{ up +z; slot mouth {{ width {drawn}; axis +z }} }}\n\
             fit \"mouth on lip\" {{ inside clip.mouth.width; outside rail.lip; class free }}\n"
        );
        let mend = best(&text, "jammed-fit");
        let (name, to) = (mend.changes[0].name.as_str(), mend.changes[0].to.as_str());
        let allowance = to.strip_prefix(&format!("{drawn} + ")).and_then(|rest| rest.strip_suffix(" mm")).expect(to);
        assert!(mend.clean && name == "clip.mouth.width", "{mend:?}");
        assert!((least..=most).contains(&allowance.parse::<f64>().unwrap()), "{mend:?}");
        assert!(mended(&text, &mend).contains(&format!("width {to}; axis")), "{mend:?}");
    }
}

#[test]
fn what_two_limits_leave_between_them_is_found() {
    for hole in ["2 mm", "3 mm", "6 mm"] {
        let text = format!(
            "{HEAD}part p {{ up +z; boss two {{ diameter 9 mm; hole {hole}; height 8 mm; axis +z; \
             insert M3 {{ length 5.8 mm; pocket 4 mm }} }} }}\n"
        );
        let mend = best(&text, "insert-pocket");
        // 4 mm as printed, from holes that come out 0.2 mm small.
        assert!(mend.clean && ["4.1 mm", "4.2 mm", "4.3 mm"].contains(&mend.changes[0].to.as_str()), "{mend:?}");
    }
    let text = format!(
        "{HEAD}part p {{ up +z; slot g {{ width 6 mm; depth 3 mm; axis +z }} }}\n\
         stack \"play\" {{ gap p.g.width - 3 mm; least 0.2 mm; most 1.2 mm }}\n"
    );
    let library = only(&["stack-limit"]);
    let found = advice(&library, &text);
    let mends: Vec<_> = found.iter().flat_map(|(_, advice)| advice.iter().flat_map(|advice| &advice.mends)).collect();
    assert!(mends.iter().all(|mend| mend.changes.iter().all(|change| change.name == "p.g.width")), "{mends:?}");
}

/// Where no value is free of doubt, the one that leaves least of it comes first.
#[test]
fn a_stop_is_eased_as_far_as_it_goes() {
    let text = format!(
        "{HEAD}part tray {{ up +z; wall rim {{ thickness 1.26 mm; height 22 mm; faces +y }} }}\n\
         part lid {{ up -z; slot groove {{ width 1.4 mm; depth 3 mm; axis -z; across +y }} }}\n\
         fit \"lid on rim\" {{ inside lid.groove.width; outside tray.rim.thickness; class sliding }}\n"
    );
    let library = Library::built_in();
    let after = repeat(&Alone { library: &library }, &text, &Choice::default());
    let levels: Vec<_> =
        after.left.iter().filter(|(finding, _)| finding.rule.ends_with("-fit")).map(|(f, _)| f.level).collect();
    assert!(levels.iter().all(|level| *level == Level::Note), "{levels:?}\n{}", after.text);
}

/// What a sheet asks for is not changed so that it gets it.
#[test]
fn a_requirement_is_no_place_for_a_mend() {
    let text = format!(
        "{HEAD}part p {{ up +z; size 60 x 40 x 20 mm; slot g {{ width 6 mm; depth 3 mm; axis +z }} }}\n\
         stack \"stickout\" {{ gap p.size.z - p.g.depth - 16 mm; least 2 mm; most 3 mm }}\n\
         demand p.g.width > 5 mm + 2 mm \"room\"\n"
    );
    let library = Library::built_in();
    for (finding, advice) in advice(&library, &text) {
        for change in advice.iter().flat_map(|advice| &advice.mends).flat_map(|mend| &mend.changes) {
            assert!(change.name.starts_with("p."), "{}: {change:?}", finding.rule);
        }
    }
}

#[test]
fn a_permit_that_is_needed_no_more_is_news_and_no_harm() {
    let text = format!(
        "{HEAD}part p {{\n  up +z\n  arm a {{ points +x; bends +y; length 14 mm; thickness 2 mm; width 8 mm; root-fillet 1 mm; \
         cycles 100; hook {{ depth 1.2 mm; lead-in 30 deg; return 45 deg }} }}\n  arm b like a {{ bends -y }}\n}}\n\
         permit overstrained-arm on p.a \"opened twice\"\n"
    );
    let library = Library::built_in();
    let found = advice(&library, &text);
    let own = found.iter().find(|(finding, _)| finding.about == "p.b" && finding.rule == "overstrained-arm");
    let (_, advice) = own.unwrap();
    let mend = &advice.as_ref().unwrap().mends[0];
    assert!(mend.clean && mend.spends, "{mend:?}");
    assert!(mend_text(&mend.note()).contains("a permit is needed no more"), "{}", mend_text(&mend.note()));
}

#[test]
fn a_reading_is_no_place_for_a_mend() {
    let text = format!(
        "{HEAD}bought rail {{ lip measured 8.02, 7.98 mm; mouth measured 8.01, 8.03 mm }}\n\
         fit \"lip in mouth\" {{ inside rail.mouth; outside rail.lip; class free }}\n"
    );
    let library = Library::built_in();
    let found = advice(&library, &text);
    let (_, advice) = found.iter().find(|(finding, _)| finding.rule == "jammed-fit").unwrap();
    let advice = advice.as_ref().unwrap();
    assert!(advice.mends.is_empty(), "{advice:?}");
    let why = advice_lines(&advice.note()).concat();
    assert!(why.contains("`rail.mouth` is bought") && why.contains("`rail.lip` is bought"), "{why}");
    assert!(why.contains("as drawn it would need a limit of"), "{why}");
}

/// Thin it to bend, thicken it to hold: one conflict, its windows, and what opens one.
#[test]
fn opposite_wishes_are_one_conflict() {
    let sheet = "machine bench\nmaterial petg\npart clip { up +z; arm jaw { points +x; bends +y; length 10 mm; \
                 thickness 2.6 mm; width 8 mm; root-fillet 1.5 mm; cycles 100; hook { depth 1.6 mm; lead-in 30 deg } } }\n\
                 demand clip.jaw.thickness >= 2.4 mm \"holds the wind\"\ndemand clip.jaw.length <= 10 mm \"fits the frame\"\n\
                 demand clip.jaw.hook.depth >= 1.6 mm \"must not slip off\"\n";
    let library = only(&["overstrained-arm", "broken-demand"]);
    let found = advice(&library, sheet);
    let (_, advice) = found.iter().find(|(finding, _)| finding.rule == "overstrained-arm").unwrap();
    let advice = advice.as_ref().unwrap();
    let conflict = advice.conflict.as_ref().expect("a conflict");
    assert!(conflict.window.is_empty(), "{conflict:?}");
    assert_eq!(conflict.wants[0].rule, "overstrained-arm");
    assert_eq!(conflict.wants[1].rule, "broken-demand");
    // No dimension is left to move: another polymer is what opens it.
    let other = advice.mends.iter().find(|mend| mend.clean);
    assert!(other.is_none_or(|mend| matches!(mend.kind, Kind::Material | Kind::MaterialPair)), "{advice:?}");
}

#[test]
fn a_sheet_with_real_mistakes_comes_to_go_with_care_at_least() {
    let library = Library::built_in();
    let text = std::fs::read_to_string("demo-data/vent-latch.dryfit").unwrap();
    let result = repeat(&Alone { library: &library }, &text, &Choice::default());
    // What is left states a fact, which only who draws the part can know.
    let asked = |advice: &Option<dryfit::mend::Advice>| {
        advice.as_ref().and_then(|advice| advice.mends.first()).is_some_and(|mend| mend.kind == Kind::Claim)
    };
    let stops = result.left.iter().filter(|(finding, advice)| finding.level == Level::Stop && !asked(advice)).count();
    assert_eq!(stops, 0, "{:?}", result.left.iter().map(|(finding, _)| &finding.message).collect::<Vec<_>>());
}

const RAIL: &str = "bought rail { throat measured 7.00, 7.02, 6.98 mm }\nfit \"f\" { inside rail.throat; outside p.t.thickness; class sliding }\n";

/// Whole lines are for walls: what must fit goes to a tenth where no whole line does.
#[test]
fn a_wall_that_must_fit_is_not_bound_to_whole_lines() {
    for (drawn, wanted) in [("7 mm", "6.72 mm"), ("rail.throat - 0.1 mm", "0.4 mm")] {
        let text =
            format!("{HEAD}part p {{ up +z; size 60 x 40 x 20 mm; wall t {{ thickness {drawn}; faces +y }} }}\n{RAIL}");
        let mend = best(&text, "jammed-fit");
        assert!(mend.clean && mend.changes[0].to == wanted, "{mend:?}");
    }
}

/// What is said of a number behind a minus says the minus too.
#[test]
fn a_minus_is_told() {
    for (stated, used) in [("-0.1 mm", "7 mm + shrink"), ("-0.1 mm", "7 mm - -shrink")] {
        let text = format!(
            "{HEAD}let shrink = {stated}\npart p {{ up +z; size 60 x 40 x 20 mm; wall t {{ thickness {used}; faces +y }} }}\n{RAIL}"
        );
        let library = Library::built_in();
        let found = advice(&library, &text);
        let mends: Vec<_> =
            found.iter().flat_map(|(_, advice)| advice.iter().flat_map(|advice| &advice.mends)).collect();
        let shrink = mends.iter().flat_map(|mend| &mend.changes).find(|change| change.name == "shrink").unwrap();
        assert_eq!((shrink.from.as_str(), shrink.to.as_str()), ("-0.1 mm", "-0.4 mm"), "{used}");
        assert!(apply(&text, std::slice::from_ref(&shrink.edit)).contains("let shrink = -0.4 mm"));
    }
}

/// A groove drawn as wide as the rim that goes in: the groove gets the room, the rim stays.
#[test]
fn what_takes_another_feature_gets_the_allowance() {
    for drawn in ["tray.rim.thickness", "tray.rim.thickness * 1.2"] {
        let text = format!(
            "{HEAD}part tray {{ up +z; size 60 x 40 x 22 mm; wall rim {{ thickness 1.26 mm; height 10 mm; faces +y }} }}\n\
             part lid {{ up +z; size 60 x 40 x 22 mm; slot groove {{ width {drawn}; depth 3 mm; axis +z; across +y }} }}\n\
             fit \"lid on rim\" {{ inside lid.groove.width; outside tray.rim.thickness; class free }}\n"
        );
        let mend = best(&text, "jammed-fit");
        assert_eq!(mend.changes[0].name, "lid.groove.width");
        assert!(mend.changes[0].to.starts_with(&format!("{drawn} + ")), "{mend:?}");
    }
}

#[test]
fn a_stacks_window_is_found_from_wherever_it_stands() {
    let library = only(&["stack-limit"]);
    for width in ["2", "5", "5.5", "6", "6.5", "7", "8", "9", "10", "12"] {
        let text = format!(
            "{HEAD}part p {{ up +z; slot g {{ width {width} mm; depth 3 mm; axis +z }} }}\n\
             stack \"play\" {{ gap p.g.width - 3 mm; least 0.2 mm; most 1.2 mm }}\n"
        );
        let found = advice(&library, &text);
        let (_, advice) = found.iter().find(|(finding, _)| finding.rule == "stack-limit").unwrap();
        let mend = advice.as_ref().unwrap().mends.first();
        assert!(mend.is_some_and(|mend| mend.clean && mend.changes.len() == 1), "from {width}: {advice:?}");
    }
}

#[test]
fn a_search_is_given_up_between_two_findings() {
    let library = Library::built_in();
    let wall = |number: usize| format!("  wall w{number} {{ thickness 0.5 mm; faces +x }}\n");
    let walls: String = (0..9).map(wall).collect();
    let text = format!("machine bench\nmaterial petg\npart tray {{\n  up +z\n  size 40 x 20 x 25 mm\n{walls}}}\n");
    let sheet = Alone { library: &library };
    let whole = repeat(&sheet, &text, &Choice::default());
    assert_eq!((whole.ended, whole.applied.len()), (Ended::Settled, 9));
    let asked = std::cell::Cell::new(0);
    let given_up = repeat_until(&sheet, &text, &Choice::default(), &|| {
        asked.set(asked.get() + 1);
        asked.get() > 4
    });
    assert_eq!((given_up.ended, given_up.applied.len()), (Ended::Stopped, 0));
    assert_eq!(given_up.text, text);
    assert_eq!(asked.get(), 5);
}

/// Two changes together go to four fifths of the limit as one does, not to its edge: half of 38 `MPa` here.
#[test]
fn a_pair_has_the_room_that_a_mend_aims_at() {
    let text = std::fs::read_to_string("tests/judged/mends/mend-torn-plug.dryfit").unwrap();
    let mend = best(&text, "torn-hook");
    assert_eq!(mend.kind, Kind::Pair, "{mend:?}");
    let result = mend.result.as_ref().unwrap();
    assert_eq!(result.name.as_deref(), Some("stress"));
    let stress: f64 = result.value.strip_suffix(" MPa").unwrap().parse().unwrap();
    assert!(stress <= 0.8 * 19.0, "{mend:?}");
}

/// An arm that is made thicker keeps the share of its fillet, and stays one change with what goes along.
#[test]
fn a_fillet_grows_with_its_arm() {
    let text = std::fs::read_to_string("tests/judged/mends/mend-weak-hold.dryfit").unwrap();
    let mend = best(&text, "weak-hold");
    let changed: Vec<(&str, &str)> =
        mend.changes.iter().map(|change| (change.name.as_str(), change.to.as_str())).collect();
    assert_eq!(mend.kind, Kind::Dimension);
    assert_eq!(changed, [("clip.jaw.thickness", "3.4 mm"), ("clip.jaw.root-fillet", "1.7 mm")]);
}

/// Where no single change is clean, two move by like shares, each to the side that helps.
#[test]
fn two_changes_move_alike_where_none_is_enough() {
    let text = std::fs::read_to_string("tests/judged/bad-strut-of-tpu.dryfit").unwrap();
    let mend = best(&text, "buckled-strut");
    let number = |text: &str| text.strip_suffix(" mm").unwrap().parse::<f64>().unwrap();
    let grown: Vec<f64> = mend.changes.iter().map(|change| number(&change.to) / number(&change.from)).collect();
    let names: Vec<&str> = mend.changes.iter().map(|change| change.name.as_str()).collect();
    assert_eq!(names, ["stand.post.thickness", "stand.post.width"]);
    assert!(grown.iter().all(|factor| *factor > 1.2 && (factor / grown[0] - 1.0).abs() < 0.05), "{grown:?}");
}

/// Each of the two to the side that helps: an arm becomes longer by the share by which it becomes thinner.
#[test]
fn two_changes_move_alike_to_opposite_sides() {
    let text = "machine bench\nmaterial pla\npart plug { up +z; arm jaw { points +x; bends +y; length 14 mm; thickness 1.8 mm; \
                width 8 mm; root-fillet 1 mm; hook { depth 2 mm; lead-in 20 deg; return 45 deg } } }\n\
                demand plug.jaw.length <= 21 mm \"fits\"\ndemand plug.jaw.thickness >= 1.1 mm \"holds\"\n\
                demand plug.jaw.hook.depth >= 2 mm \"holds\"\n";
    let found = advice(&Library::built_in(), text);
    let mends = found.into_iter().find(|(finding, _)| finding.rule == "overstrained-arm").unwrap().1.unwrap().mends;
    let number = |text: &str| text.strip_suffix(" mm").unwrap_or("0").parse::<f64>().unwrap();
    let pairs = mends.iter().filter(|mend| mend.clean && mend.kind == Kind::Pair);
    let factors =
        pairs.map(|mend| [0, 1].map(|index| number(&mend.changes[index].to) / number(&mend.changes[index].from)));
    let factors: Vec<[f64; 2]> = factors.collect();
    assert!(
        factors.iter().any(|[longer, thinner]| *longer > 1.2 && (longer * thinner - 1.0).abs() < 0.05),
        "{factors:?}"
    );
}

/// A thickness that is written out beside the diameters that it follows from changes with them, in its own unit.
#[test]
fn what_is_written_out_changes_with_what_it_follows_from() {
    for (thickness, becomes) in [("0.7 mm", "1.8 mm"), ("0.07 cm", "0.18 cm")] {
        let text = format!(
            "{HEAD}part p {{ up +z; size 40 x 30 x 20 mm; boss b {{ diameter 5.4 mm; hole 4 mm; thickness {thickness}; \
             height 10 mm; axis +z; insert {{ size M3; length 5.7 mm }} }} }}\n"
        );
        let mend = best(&text, "thin-insert-wall");
        let to: Vec<&str> = mend.changes.iter().map(|change| change.to.as_str()).collect();
        assert_eq!(to, ["7.6 mm", becomes], "{mend:?}");
        // A mend that leaves the diameters alone leaves it alone, too.
        let wall = text.replace("boss b", "wall w { thickness 0.5 mm; height 9 mm }\n  boss b");
        let changed: Vec<String> = best(&wall, "thin-wall").changes.into_iter().map(|change| change.name).collect();
        assert_eq!(changed, ["p.w.thickness"]);
    }
}

/// A finding that falls to a lower level is not made worse by it, though the lower limit leaves less room.
#[test]
fn what_falls_to_a_lower_level_is_no_harm() {
    let text = format!(
        "{HEAD}service {{ temperature 60 degC }}\nlet c = 8.6 mm\npart p {{ up +z; size 200 x 200 x 100 mm\n\
         strut s {{ points +z; length 100 mm; width c; thickness c; ends pinned; load {{ force 120 N; held yes }} }}\n\
         tie q {{ points +z; width c; thickness c / 3; load {{ force 120 N; held yes }} }} }}\n"
    );
    let library = Library::built_in();
    let found = advice(&library, &text);
    let level = |text: &str| {
        advice(&library, text)
            .into_iter()
            .find(|(finding, _)| finding.rule == "pull-across-layers")
            .map(|one| one.0.level)
    };
    assert_eq!(level(&text), Some(Level::Care));
    assert_eq!(level(&text.replace("8.6 mm", "10 mm")), Some(Level::Note));
    let (_, strut) = found.into_iter().find(|(finding, _)| finding.rule == "creeping-strut").unwrap();
    let mends = strut.unwrap().mends;
    assert!(mends.iter().any(|mend| mend.harms.is_empty()), "{mends:?}");
}

/// What raises something of a lower level is done only where it is asked for, and never what raises as much as it cures:
/// the hole that bursts is widened until its pin may be loose, and not narrowed again.
#[test]
fn less_harm_than_is_cured_is_done_where_it_is_asked_for() {
    let text = std::fs::read_to_string("tests/judged/bad-bearing-in-lying-seat.dryfit").unwrap();
    let library = Library::built_in();
    let done = |harmful: bool| {
        let choice = if harmful { Choice::default().with_harmful() } else { Choice::default() };
        let applied = repeat(&Alone { library: &library }, &text, &choice).applied;
        let told = applied.into_iter().map(|one| {
            let harms: Vec<Level> = one.mend.harms.iter().map(|harm| harm.level).collect();
            (one.mend.rule, one.mend.changes[0].name.clone(), one.level, harms)
        });
        told.collect::<Vec<_>>()
    };
    assert_eq!(done(false), []);
    assert_eq!(done(true), [("burst-fit".to_owned(), "lug.eye.hole".to_owned(), Level::Stop, vec![Level::Care])]);
}

/// Another material is proven on the whole sheet, where a permit may be needed no more as well.
#[test]
fn a_material_that_needs_a_permit_no_more_says_so() {
    let arm = "points +x; bends +y; length 14 mm; thickness 1.8 mm; width 8 mm; root-fillet 1 mm";
    let text = format!(
        "machine bench\nmaterial pla\npart plug {{ up +z\n\
         arm a {{ {arm}; hook {{ depth 2 mm; lead-in 30 deg; return 45 deg }} }}\n\
         arm b {{ {arm}; hook {{ depth 1.2 mm; lead-in 30 deg; return 45 deg }} }} }}\n\
         permit overstrained-arm on plug.b \"opened once\"\n\
         demand plug.a.length <= 14 mm \"fits\"\ndemand plug.a.thickness >= 1.8 mm \"holds\"\n\
         demand plug.a.hook.depth >= 2 mm \"holds\"\n"
    );
    let library = only(&["overstrained-arm", "broken-demand", "spent-permit"]);
    let asked = Choice::default().with_material();
    let applied = repeat(&Alone { library: &library }, &text, &asked).applied;
    let told: Vec<(Kind, bool)> = applied.iter().map(|one| (one.mend.kind, one.mend.spends)).collect();
    assert_eq!(told, [(Kind::Material, true)]);
}

/// A material with values of its own is this one spool: another polymer's would not go with them.
#[test]
fn a_material_with_values_of_its_own_is_not_exchanged() {
    let hook = "part plug { up +z; arm jaw { points +x; bends +y; length 14 mm; thickness 1.8 mm; width 8 mm; \
                root-fillet 1 mm; hook { depth 2 mm; lead-in 30 deg; return 45 deg } } }\n\
                demand plug.jaw.length <= 14 mm \"fits\"\ndemand plug.jaw.thickness >= 1.8 mm \"holds\"\n\
                demand plug.jaw.hook.depth >= 2 mm \"holds\"\n";
    let library = only(&["overstrained-arm", "broken-demand"]);
    let asked = Choice::default().with_material();
    let exchanged = |material: &str| {
        let text = format!("machine bench\n{material}\n{hook}");
        let applied = repeat(&Alone { library: &library }, &text, &asked).applied;
        applied.iter().filter(|applied| applied.mend.kind == Kind::Material).count()
    };
    assert_eq!(exchanged("material pla"), 1);
    assert_eq!(exchanged("material pla { expansion 70 ppm/K }"), 0);
}

/// Half of a hook is the most that its drawer would give away: below that the snap has to be thought of anew.
#[test]
fn a_hook_is_cut_to_half_of_its_depth_at_most() {
    let text = |depth: &str| {
        format!(
            "machine bench\nmaterial pp\npart a {{ up +z; brimmed yes; size 8 x 12 x 8 mm\n\
             arm j {{ points +x; bends +y; length 7 mm; thickness 0.8 mm; width 6 mm; root-fillet 0.4 mm\n\
             hook {{ depth {depth}; lead-in 30 deg; return 45 deg; release pulled }} }} }}\n"
        )
    };
    let mend = best(&text("2.6 mm"), "overstrained-arm");
    assert_eq!((mend.changes[0].name.as_str(), mend.changes[0].to.as_str()), ("a.j.hook.depth", "1.4 mm"));
    let library = Library::built_in();
    let found = advice(&library, &text("3.2 mm"));
    let (_, advice) = found.into_iter().find(|(finding, _)| finding.rule == "overstrained-arm").expect("too far");
    let changes = advice.iter().flat_map(|advice| &advice.mends).flat_map(|mend| &mend.changes);
    assert!(changes.into_iter().all(|change| change.name != "a.j.hook.depth"), "a hook cut to less than half");
}

/// A fillet at a sharp root cures its stress before length does: shape before size.
#[test]
fn a_root_without_a_fillet_gets_one_before_its_arm_grows() {
    let text = format!(
        "{HEAD}part h {{ up +z; size 60 x 30 x 20 mm; arm a {{ points +x; bends +y; length 23 mm; thickness 2.5 mm; width 8 mm\n\
         cycles 200; closed-by palm; hook {{ depth 1.4 mm; lead-in 30 deg; return 45 deg }} }} }}\n"
    );
    assert_eq!(best(&text, "tired-arm").changes[0].name, "h.a.root-fillet");
}

/// A clip that hardly goes past half a turn holds nothing: thinner comes before less wrap.
#[test]
fn a_stiff_clamp_keeps_its_wrap() {
    let text = format!(
        "{HEAD}part h {{ up +z; size 40 x 30 x 20 mm; clamp c {{ takes 20 mm; thickness 3.5 mm; width 20 mm; wrap 250 deg; axis +z; cycles 100 }} }}\n"
    );
    assert_eq!(best(&text, "stiff-clamp").changes[0].name, "h.c.thickness");
}

/// A bolt is lengthened to the next length of ISO 888 that fills its nut: 14 mm and the nut's 4.7 mm make 20 mm.
#[test]
fn a_screw_that_misses_its_nut_becomes_one_that_is_sold() {
    let text = format!(
        "{HEAD}part j {{ up +z; size 50 x 30 x 20 mm\n\
         hole bolt {{ diameter 5.6 mm; depth 20 mm; axis +z; through yes; at 25, 15, 20 mm; screw M5 {{ length 16 mm; grip 14 mm }} }}\n\
         nut trap M5 {{ across-flats 8.4 mm; depth 5 mm; axis -z; at 25, 15, 0 mm }} }}\n"
    );
    let mend = best(&text, "unreached-nut");
    assert_eq!((mend.changes[0].name.as_str(), mend.changes[0].to.as_str()), ("j.bolt.screw.length", "20 mm"));
}

/// Between the return of 90 deg and the one that friction no longer locks lies a stretch in which the hook pulls open too
/// hard: the mend lies past it, where both rules hold.
#[test]
fn a_mend_lies_past_a_stretch_where_another_rule_fails() {
    let text = format!(
        "{HEAD}part p {{ up +z; size 60 x 40 x 20 mm\narm a {{ points +x; bends +y; length 22 mm; thickness 3.5 mm; \
         width 10 mm; root-fillet 1.8 mm; cycles 10; room 6 mm\n\
         hook {{ depth 1.2 mm; lead-in 30 deg; return 90 deg }} }} }}\n"
    );
    let library = Library::built_in();
    let found = advice(&library, &text);
    let (_, advice) = found.iter().find(|(finding, _)| finding.rule == "locked-hook").unwrap();
    let advice = advice.as_ref().unwrap();
    let mend = &advice.mends[0];
    assert!(mend.clean && mend.kind == Kind::Dimension, "{mend:?}");
    assert_eq!((mend.changes[0].name.as_str(), mend.changes[0].to.as_str()), ("p.a.hook.return", "35 deg"));
    assert!(advice.conflict.is_none() && advice.nothing.is_none(), "{advice:?}");
    assert!(advice.mends.iter().all(|mend| mend.changes.len() == 1), "no pair is needed: {:?}", advice.mends);
    let raised = |text: &str| -> Vec<String> {
        self::advice(&library, text).into_iter().map(|(finding, _)| finding.rule).collect()
    };
    let between = raised(&text.replace("return 90 deg", "return 50 deg"));
    assert!(between.contains(&"stiff-to-open".into()) && !between.contains(&"locked-hook".into()), "{between:?}");
    let mended = raised(&mended(&text, mend));
    assert!(!mended.iter().any(|rule| rule == "stiff-to-open" || rule == "locked-hook"), "{mended:?}");
}

/// Any two rules and any field, the other way: a wall that is too thin, and a demand that allows thin ones and thick ones.
#[test]
fn a_mend_lies_past_what_a_demand_leaves_out() {
    let text = format!(
        "{HEAD}part p {{ up +z; size 60 x 40 x 20 mm; wall t {{ thickness 0.6 mm; height 9 mm; faces +y }} }}\n\
         demand (p.t.thickness - 0.9 mm) * (p.t.thickness - 0.9 mm) >= 0.2 mm * 0.2 mm \"clears the pane\"\n"
    );
    let mend = best(&text, "thin-wall");
    assert!(mend.clean && mend.kind == Kind::Dimension, "{mend:?}");
    assert_eq!(mend.changes[0].to, "1.26 mm", "the first whole line from 1.1 mm on");
}
