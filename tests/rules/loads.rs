//! Several loads on one feature, and arms that close together.

use dryfit::inspect::{Analysis, inspect_text};
use dryfit::report;
use dryfit::rules::{Finding, Library};

fn findings(sheet: &str) -> Vec<Finding> {
    inspect_text(&Library::built_in(), "loads.dryfit", &format!("machine bench\nmaterial petg\n{sheet}")).findings
}

fn left(sheet: &str, rule: &str) -> f64 {
    let found = findings(sheet);
    let margin = found.iter().find(|finding| finding.rule == rule).and_then(|finding| finding.margin.clone());
    margin.unwrap_or_else(|| panic!("{rule}: {found:?}")).left.value
}

fn beam(loads: &str) -> String {
    format!(
        "part bracket {{ up +z; beam shelf {{ points +x; length 60 mm; width 20 mm; height 4 mm; ends cantilever; sag 0.1 mm; {loads} }} }}"
    )
}

#[test]
fn the_stresses_and_bends_of_several_loads_add_up() {
    let end = beam("load { force 60 N; at end }");
    let spread = beam("load { force 40 N; at spread; held yes }");
    let both = beam("load { force 60 N; at end }; load pots { force 40 N; at spread; held yes }");
    for rule in ["overloaded-beam", "sagging-beam"] {
        let (sum, whole) = (left(&end, rule) + left(&spread, rule), left(&both, rule));
        assert!((sum / whole - 1.0).abs() < 1e-9, "{rule}: {sum} {whole}");
    }
    // Only what stays on creeps.
    assert!((left(&both, "creeping-load") / left(&spread, "creeping-load") - 1.0).abs() < 1e-9);
    let told = findings(&both).into_iter().find(|finding| finding.rule == "overloaded-beam").unwrap();
    assert!(told.message.contains("by 100 N"), "{}", told.message);
    let places = told.others.iter().filter(|(_, text)| text.starts_with("load.force")).count();
    assert_eq!(places, 2, "{:?}", told.others);
}

#[test]
fn two_loads_need_two_names() {
    let found = findings(&beam("load { force 1 N }; load { force 2 N }"));
    let twice = found.iter().find(|finding| finding.rule == "duplicate-name").unwrap();
    assert_eq!(twice.help.as_deref(), Some("give one of them another name"));
}

#[test]
fn a_copys_own_load_takes_the_place_of_the_copied_one() {
    let sheet = "part bracket { up +z
        beam shelf { points +x; length 60 mm; width 20 mm; height 8 mm; ends cantilever; load { force 1 N } }
        beam rail like shelf { height 4 mm; load { force 60 N } } }";
    assert!(
        (left(sheet, "overloaded-beam") / left(&beam("load { force 60 N }"), "overloaded-beam") - 1.0).abs() < 1e-9
    );
}

#[test]
fn the_pulls_on_a_tie_and_a_strut_add_up() {
    let tie = "part hanger { up +z; tie strap { points +x; width 4 mm; thickness 2 mm; load lamp { force 150 N }; load wind { force 100 N } } }";
    let told = findings(tie).into_iter().find(|finding| finding.rule == "overloaded-tie").unwrap();
    assert!(told.message.contains("pulled with 250 N"), "{}", told.message);
    let strut = "part stand { up +z; strut leg { points +x; length 120 mm; width 6 mm; thickness 3 mm; ends pinned; load a { force 10 N }; load b { force 20 N } } }";
    assert!((left(strut, "buckled-strut") - 30.0).abs() < 1e-9);
}

/// The lasting share of the yield stress has its margin in it: a stocky strut bears just that, with no factor on top.
#[test]
fn a_stocky_strut_bears_the_lasting_share_of_its_yield_stress() {
    let sheet = "part stand { up +z; strut post { points +x; length 5 mm; width 20 mm; thickness 20 mm; ends clamped; load { force 4 kN; held yes } } }";
    let found = findings(sheet);
    let margin = found.iter().find(|f| f.rule == "creeping-strut").and_then(|f| f.margin.as_ref()).unwrap();
    // 20.05 mm square at 7.6 N/mm2, less a little for Johnson's parabola.
    let limit = 1000.0 * (4.0 + margin.room);
    assert!((limit - 7.6 * 20.05 * 20.05).abs() < 40.0, "{limit}");
}

fn arms(first: &str, second: &str) -> String {
    let hook = "hook { depth 1.8 mm; lead-in 40 deg; return 45 deg }";
    format!(
        "part clip {{ up +z
           arm jaw {{ points +x; bends +y; length 20 mm; thickness 2.4 mm; width 10 mm; root-fillet 1.2 mm; closed-by fingertip; {first}; {hook} }}
           arm tongue {{ points +x; bends -y; length 22 mm; thickness 2.2 mm; width 14 mm; root-fillet 1.2 mm; closed-by fingertip; {second}; {hook} }} }}"
    )
}

#[test]
fn arms_of_different_shape_that_close_together_add_up() {
    let push = |sheet: &str| {
        let found = findings(sheet).into_iter().filter(|finding| finding.rule == "stiff-arm");
        found.map(|finding| (finding.about, finding.margin.unwrap().left.value, finding.message)).collect::<Vec<_>>()
    };
    let apart = push(&arms("cycles 2", "cycles 2"));
    let together = push(&arms("together lid", "together lid"));
    assert_eq!(apart.len(), 2);
    assert_eq!(together.len(), 1, "the sum is told once");
    assert!((together[0].1 / (apart[0].1 + apart[1].1) - 1.0).abs() < 1e-9);
    assert!(together[0].2.contains("with the arms that close together with it"), "{}", together[0].2);
    assert_eq!(push(&arms("together lid", "together flap")).len(), 2);
}

#[test]
fn a_hinge_that_says_how_its_web_lies_counts_as_it_prints() {
    let strain = |faces: &str| {
        let sheet = format!(
            "part box {{ up +z; living-hinge lid {{ thickness 0.5 mm; length 2 mm; angle 90 deg; crosses +x; {faces} }} }}"
        );
        left(&sheet, "cracked-hinge")
    };
    let drawn = strain("cycles 5");
    // The outline adds 0.05 mm to the outside of what stands on edge.
    assert!((strain("faces +y") / drawn - 1.1).abs() < 1e-6, "{}", strain("faces +y") / drawn);
    assert!((strain("faces +z") / drawn - 1.0).abs() < 0.05);
}

#[test]
fn rules_that_could_not_be_checked_for_one_reason_are_told_together() {
    let sheet = "part lid { up +z; boss post { diameter 20 mm; hole 6 mm; height 12 mm; axis +z; screw M7 { length 10 mm; torque 1 Nm }; load { force 5 N } } }";
    let found = findings(sheet);
    let unchecked: Vec<_> =
        found.iter().map(dryfit::report::message).filter(|told| told.contains("no row for M7")).collect();
    assert_eq!(unchecked.len(), 1, "{unchecked:?}");
    assert!(unchecked[0].contains("` and `"), "{}", unchecked[0]);
}

#[test]
fn a_vague_reference_is_told_once() {
    let sheet = "bought rail { throat between 14.6 mm and 15.0 mm }
        part clip { up +z; wall tongue { thickness rail.throat - 0.5 mm; faces +x } }
        fit \"tongue in throat\" { inside rail.throat; outside clip.tongue.thickness; class sliding }";
    let found = findings(sheet);
    let of_fit: Vec<&str> = found
        .iter()
        .filter(|finding| finding.about == "tongue in throat")
        .map(|finding| finding.rule.as_str())
        .collect();
    assert_eq!(of_fit, ["vague-reference"], "{}", report::plain(&inspect_text(&Library::built_in(), "f", sheet)));
}

#[test]
fn a_sheet_of_bought_things_needs_neither_machine_nor_material() {
    let sheet = "bought rail { lip measured 2.02, 2.00, 2.01 mm }";
    assert!(inspect_text(&Library::built_in(), "rail.dryfit", sheet).findings.is_empty());
}

#[test]
fn conditioned_nylon_in_ordinary_air_is_no_news() {
    let of = |material: &str, service: &str| {
        let sheet = format!(
            "machine bench\nmaterial {material}\n{service}\npart a {{ up +z; wall back {{ thickness 2.1 mm }} }}"
        );
        let found = inspect_text(&Library::built_in(), "n.dryfit", &sheet).findings;
        found.into_iter().find(|finding| finding.rule == "thirsty-material").map(|finding| finding.level.to_string())
    };
    assert_eq!(of("pa6", ""), None);
    assert_eq!(of("pa6", "service { wet yes }").as_deref(), Some("note"));
    assert_eq!(of("pa6-dry", "").as_deref(), Some("note"));
    assert_eq!(of("pa6-dry", "service { outdoors yes }").as_deref(), Some("care"));
}

#[test]
fn a_material_is_told_once_about_the_sun() {
    let sheet = "service { outdoors yes }\npart a { up +z; wall w { thickness 2.1 mm } }\npart b { up +z; wall w { thickness 2.1 mm } }";
    let found =
        inspect_text(&Library::built_in(), "s.dryfit", &format!("machine bench\nmaterial abs\n{sheet}")).findings;
    assert_eq!(found.iter().filter(|finding| finding.rule == "sunlight").count(), 1);
}

#[test]
fn a_clause_without_its_figure_is_left_out() {
    let found = findings(
        "part clip { up +z; arm jaw { points +x; bends +y; length 18 N; thickness 1.6 mm; width 12 mm; opens 0.5 mm } }",
    );
    let sharp = found.iter().find(|finding| finding.rule == "sharp-root").unwrap();
    assert_eq!(sharp.message.as_str(), "`clip.jaw` is 1.6 mm thick and has a root fillet of 0 mm");
}

#[test]
fn a_load_bends_a_beam_about_the_edge_that_it_acts_on() {
    let stress = |loads: &str| {
        let sheet = beam(&format!("rises +z; {loads}"))
            .replace("height 4 mm", "height 5 mm")
            .replace("width 20 mm", "width 4 mm");
        left(&sheet.replace("force", "at end; force"), "overloaded-beam")
    };
    let down = stress("load { force 60 N }");
    assert!((stress("load { force 60 N; acts -z }") / down - 1.0).abs() < 1e-9);
    // Aside its height of 5 mm is its width: M / (h b^2 / 6), and it stands 4.05 mm thick that way.
    let aside = stress("load { force 60 N; acts +y }");
    assert!((aside / down - 1.25).abs() < 0.02, "{aside} {down}");
    // A slanted load bends it about both edges.
    let slanted = stress("load { force 60 N; acts -z tilted 30 deg toward +y }");
    let both = down * 30_f64.to_radians().cos() + aside * 0.5;
    assert!((slanted / both - 1.0).abs() < 1e-6, "{slanted} {both}");
    // Up and down: the greater counts. Along it: it pulls.
    let two = stress("load a { force 60 N; acts -z }; load b { force 70 N; acts +z }");
    assert!((two / down - 70.0 / 60.0).abs() < 1e-9);
    let sheet = beam("rises +z; load { force 60 N; acts +x; at end }").replace("sag 0.1 mm", "sag 9 mm");
    assert!(findings(&sheet).iter().all(|finding| finding.rule != "overloaded-beam"));
}

#[test]
fn the_ledger_shows_what_each_load_does() {
    let library = Library::built_in();
    let text =
        format!("machine bench\nmaterial petg\n{}", beam("load { force 60 N }; load pots { force 40 N; at spread }"));
    let entries = Analysis::of_text(&library, "a.dryfit", &text).ledger(None);
    let entry = entries.iter().find(|entry| entry.rule == "overloaded-beam").unwrap();
    let steps = |start: &str| -> Vec<&str> {
        entry.steps.iter().map(|step| step.name.as_str()).filter(|name| name.starts_with(start)).collect()
    };
    assert_eq!(steps("one"), ["one at bracket.shelf.load", "one at bracket.shelf.pots"]);
    assert_eq!(steps("leans"), ["leans"]);
}

/// What one step of a rule comes to on the first feature that the rule is about, as the ledger shows it.
fn ledger_step(sheet: &str, rule: &str, step: &str) -> String {
    let library = Library::built_in();
    let text = format!("machine bench\nmaterial petg\n{sheet}");
    let entries = Analysis::of_text(&library, "a.dryfit", &text).ledger(None);
    let entry = entries.iter().find(|entry| entry.rule == rule).unwrap_or_else(|| panic!("{rule} on {sheet}"));
    entry.steps.iter().find(|found| found.name == step).map(|found| found.value.clone()).unwrap()
}

fn raised(sheet: &str) -> Vec<String> {
    findings(sheet).into_iter().map(|finding| finding.rule).collect()
}

/// 150 N / (4.05 mm * 2.05 mm) = 18.07 N/mm2, with 0.05 mm that the machine adds to each side; the 100 N that press do not
/// count against it.
#[test]
fn what_acts_against_a_ties_direction_presses_on_it() {
    let tie = |loads: &str| {
        format!("part hanger {{ up +z; tie strap {{ points +x; width 4 mm; thickness 2 mm; {loads} }} }}")
    };
    let both = tie("load lamp { force 150 N; acts +x; held yes }; load wind { force 100 N; acts -x; held yes }");
    for rule in ["overloaded-tie", "creeping-tie"] {
        let stress = ledger_step(&both, rule, "stress");
        assert!(stress.starts_with("18.07 MPa"), "{rule}: {stress}");
    }
    assert_eq!(ledger_step(&both, "pressed-tie", "pressed"), "100 N");
    assert!(raised(&both).contains(&"pressed-tie".to_owned()));
    assert_eq!(raised(&tie("load { force 400 N; acts -x; over-people no }")), ["pressed-tie"]);
    let pulled = raised(&tie("load { force 400 N; acts +x }"));
    assert!(pulled.contains(&"overloaded-tie".to_owned()) && !pulled.contains(&"pressed-tie".to_owned()), "{pulled:?}");
    // Across the layers, a pull parts them and a push does not.
    let upright =
        |acts: &str| raised(&tie(&format!("load {{ force 20 N; acts {acts} }}")).replace("points +x", "points +z"));
    assert!(upright("+z").contains(&"pull-across-layers".to_owned()));
    assert!(!upright("-z").contains(&"pull-across-layers".to_owned()));
}

#[test]
fn what_presses_a_boss_onto_its_foot_does_not_tear_it_off() {
    let boss = |acts: &str| {
        raised(&format!(
            "part box {{ up +z; boss corner {{ diameter 5.8 mm; hole 2.5 mm; height 10 mm; axis +z; load {{ force 500 N; acts {acts} }} }} }}"
        ))
    };
    assert!(boss("+z").contains(&"torn-boss".to_owned()));
    assert!(!boss("-z").contains(&"torn-boss".to_owned()));
}

#[test]
fn a_strut_counts_every_load_as_pressing_and_says_so_of_a_pull() {
    let strut = |acts: &str| {
        format!(
            "part stand {{ up +z; strut leg {{ points +x; length 120 mm; width 6 mm; thickness 3 mm; ends pinned; load {{ force 60 N{acts} }} }} }}"
        )
    };
    for acts in ["", "; acts -x", "; acts +x"] {
        assert!((left(&strut(acts), "buckled-strut") - 60.0).abs() < 1e-9);
        assert_eq!(raised(&strut(acts)).contains(&"pulled-strut".to_owned()), acts.ends_with("+x"), "{acts}");
    }
}

/// Euler with one end free: pi^2 E I / (2 L)^2, with `E` 1900 N/mm2, I = 20.05 * 2.05^3 / 12 = 14.395 mm^4 and L 60 mm:
/// pi^2 * 1900 * 14.395 / 14400 = 18.75 N.
#[test]
fn a_beam_that_is_pressed_along_buckles_at_eulers_load() {
    let beam = |load: &str| beam(load).replace("height 4 mm", "height 2 mm").replace("sag 0.1 mm; ", "");
    let sheet = beam("load { force 40 N; at end; acts -x }");
    let fails_at = ledger_step(&sheet, "buckled-beam", "fails-at");
    assert!(fails_at.starts_with("18.75 N"), "{fails_at}");
    assert!((left(&sheet, "buckled-beam") - 40.0).abs() < 1e-9);
    // Slanted by 60 deg, half of it presses.
    let slanted = beam("load { force 40 N; at end; acts -x tilted 60 deg toward -z }");
    assert!((left(&slanted, "buckled-beam") - 20.0).abs() < 1e-9);
    // A pull, and what only bends it, does not make it bow out.
    for acts in ["+x", "-z"] {
        assert!(
            !raised(&beam(&format!("load {{ force 40 N; at end; acts {acts} }}"))).contains(&"buckled-beam".to_owned())
        );
    }
}

#[test]
fn the_ledger_names_features_and_has_stresses_in_megapascals() {
    let arm = "part clip { up +z; arm jaw { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 12 mm; root-fillet 0.8 mm; rests 0.8 mm; opens 0.5 mm } }";
    let stress = ledger_step(arm, "resting-strain", "stress");
    assert!(stress.starts_with("11.21 MPa"), "{stress}");
    let fit = "bought rod { d 8.06 mm }\npart hub { up +z; boss body { diameter 16 mm; hole 8 mm; height 10 mm; axis +z } }\n\
               fit \"rod in hub\" { inside hub.body.hole; outside rod.d; class press }";
    assert_eq!(ledger_step(fit, "burst-fit", "hub"), "hub.body");
    assert_eq!(ledger_step(fit, "burst-fit", "peg"), "rod");
}
