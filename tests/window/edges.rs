//! A window's edge is where the deciding rule's margin is zero, or its chance of failing crosses a
//! threshold, to a thousandth of the step.

use std::collections::BTreeMap;

use dryfit::model::{Margin, Model};
use dryfit::rules::{Level, Library, Pair, PairStanding, WhatIf};
use dryfit::window::{Moved, Range, Sweep, field_at, movable, sweep};
use proptest::prelude::*;

use super::{moved, with_model};

/// Half of what an edge is looked at by, as a share of the step: an edge is found to a thousandth of it.
const BESIDE: f64 = 1e-3;
/// What a chance may differ from its threshold by, where the step is so small.
const CHANCE: f64 = 0.02;

/// What explains an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Cause {
    /// A margin is zero there, and goes through it smoothly.
    Zero,
    /// A margin jumps over zero: whole lines, whole layers, sizes of a table.
    Jump,
    /// A margin stays above zero, and its chance of failing reaches a threshold.
    Chance,
    /// The rule begins to apply, or ends.
    Applies,
    /// A condition without numbers.
    Flag,
}

/// The margins of a comparison beside an edge.
struct Beside<'s> {
    level: Level,
    margins: [Option<&'s Margin>; 2],
    holds: [bool; 2],
}

fn stands_at(what_if: &mut WhatIf, moved: &Moved, pair: Pair, value: f64) -> PairStanding {
    let model = what_if.model();
    let change = model.says(moved.feature, moved.field, moved.stated(model, value, None));
    what_if.stand_if_sound(&change, &[pair]).unwrap().pop().unwrap()
}

/// Why a rule changes its mind at an edge; `None` where nothing explains it.
fn cause(library: &Library, stands: &[PairStanding; 2]) -> Option<Cause> {
    let [below, above] = stands;
    if below.compared.is_empty() != above.compared.is_empty() {
        return Some(Cause::Applies);
    }
    let lines: Vec<Beside> = below
        .compared
        .iter()
        .zip(&above.compared)
        .map(|(a, b)| Beside {
            level: a.level,
            margins: [a.margin.as_ref(), b.margin.as_ref()],
            holds: [a.holds, b.holds],
        })
        .collect();
    let crossed = lines.iter().find_map(|line| match line.margins {
        [Some(a), Some(b)] if line.holds[0] != line.holds[1] => Some((a, b)),
        _ => None,
    });
    if let Some((a, b)) = crossed {
        // A thousandth of a step is no way to go: it cannot but be near zero on both sides.
        let near = |margin: &Margin| margin.share().abs() < 0.01;
        return Some(if near(a) && near(b) { Cause::Zero } else { Cause::Jump });
    }
    let reaches = |stands: &PairStanding, line: &Beside| {
        let Some(note) = stands.finding.as_ref().and_then(|finding| finding.margin.as_ref()) else { return false };
        let chance = note.chance.filter(|_| note.room >= 0.0).unwrap_or(0.0);
        let level = library.level_of_chance(line.level, chance);
        level == stands.finding.as_ref().map(|finding| finding.level)
            && level != library.level_of_chance(line.level, chance - CHANCE)
    };
    if stands.iter().any(|stands| lines.iter().any(|line| reaches(stands, line))) {
        return Some(Cause::Chance);
    }
    let flips = below.compared.iter().zip(&above.compared).any(|(a, b)| a.holds != b.holds);
    let without = lines.iter().any(|line| line.margins.iter().any(Option::is_none));
    (flips && without).then_some(Cause::Flag)
}

/// Every edge of every rule over a field's own range, with what explains it. Panics where nothing does.
fn explained(library: &Library, model: &Model, moved: Moved) -> Vec<(String, Cause)> {
    let sweep = sweep(library, model, moved);
    let pairs = pairs_of(library, model, &sweep);
    let mut what_if = WhatIf::of(library, model);
    let beside = BESIDE * sweep.moved.range.step;
    let mut causes = Vec::new();
    for (rule, pair) in sweep.rules.iter().zip(pairs) {
        assert_eq!(
            (rule.rule.as_str(), &rule.about),
            (library.rules[pair.rule].name.as_str(), &model.path(pair.feature))
        );
        for two in rule.stretches.windows(2) {
            let (Some(_), Some(_)) = (two[0].state, two[1].state) else { continue };
            let edge = two[0].to;
            let mut at = |side: f64| stands_at(&mut what_if, &sweep.moved, pair, edge + side * beside);
            let stands = [at(-1.0), at(1.0)];
            let path = &sweep.moved.path;
            assert_ne!(stands[0].level(), stands[1].level(), "{} is no edge of {} at {edge}", path, rule.rule);
            let cause = cause(library, &stands);
            assert!(cause.is_some(), "nothing explains {} over {path} at {edge}: {stands:?}", rule.rule);
            causes.extend(cause.map(|cause| (rule.rule.clone(), cause)));
        }
    }
    causes
}

/// The pairs behind the rules of a sweep, in its order.
fn pairs_of(library: &Library, model: &Model, sweep: &Sweep) -> Vec<Pair> {
    let moved = &sweep.moved;
    let value = moved.stated(model, moved.range.now.unwrap_or(moved.range.middle()), None);
    WhatIf::of(library, model).affected(&model.says(moved.feature, moved.field, value))
}

fn edges(text: &str, path: &str) -> (usize, Vec<(String, f64)>) {
    let library = Library::built_in();
    with_model(&library, text, |model| {
        let count = explained(&library, model, moved(model, path)).len();
        let sweep = sweep(&library, model, moved(model, path));
        let ends = sweep.rules.iter().flat_map(|rule| rule.stretches.iter().map(|s| (rule.rule.clone(), s.to)));
        (count, ends.collect())
    })
}

/// How often each cause explains an edge, over every field of a sheet that has a number to move.
fn tally(library: &Library, text: &str, causes: &mut BTreeMap<Cause, BTreeMap<String, usize>>) {
    with_model(library, text, |model| {
        for path in movable(model) {
            let found = field_at(model, &path).unwrap();
            let Ok(range) = Range::new(found.now.as_ref(), None, None, None) else { continue };
            let moved = found.over(&path, range.coarser(40.0));
            for (rule, cause) in explained(library, model, moved) {
                *causes.entry(cause).or_default().entry(rule).or_default() += 1;
            }
        }
    });
}

#[test]
#[ignore = "takes most of a minute in an unoptimised build: cargo test --test window -- --ignored"]
fn every_edge_in_the_demo_sheets_is_explained() {
    let library = Library::built_in();
    let mut causes = BTreeMap::new();
    for entry in std::fs::read_dir("demo-data").unwrap() {
        tally(&library, &std::fs::read_to_string(entry.unwrap().path()).unwrap(), &mut causes);
    }
    let count = |cause: Cause| causes.get(&cause).map_or(0, |rules| rules.values().sum());
    assert!(count(Cause::Zero) >= 50 && count(Cause::Chance) >= 5, "{causes:?}");
}

#[test]
fn the_edge_of_a_demand_is_its_number() {
    let (count, ends) = edges("let gap = 2 mm\ndemand gap < 3.217 mm \"it must pass\"\n", "gap");
    assert_eq!(count, 1);
    let (_, edge) = ends.into_iter().find(|(rule, _)| rule == "broken-demand").unwrap();
    assert!((edge - 3.217).abs() < 1e-4, "{edge}");
}

#[test]
fn the_edges_of_a_gap_are_the_machines() {
    let (count, ends) = edges("machine bench\npart p { slot s { width 0.35 mm } }", "p.s.width");
    assert_eq!(count, 2);
    let ends: Vec<f64> = ends.into_iter().filter(|(rule, _)| rule == "fused-gap").map(|(_, end)| end).collect();
    assert!((ends[0] - 0.2).abs() < 1e-4 && (ends[1] - 0.3).abs() < 1e-4, "{ends:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn every_edge_is_where_the_margin_is_zero(
        length in 8_u32..30,
        thickness in 8_u32..40,
        depth in 4_u32..20,
        which in 0_usize..3,
    ) {
        let text = format!(
            "machine bench\nmaterial petg\npart p {{ up +z; arm a {{ points +x; bends +y; length {length} mm; thickness {}.{} mm; width 8 mm; root-fillet 0.8 mm; hook {{ depth {}.{} mm; lead-in 30 deg }} }} }}",
            thickness / 10, thickness % 10, depth / 10, depth % 10
        );
        let path = ["p.a.length", "p.a.thickness", "p.a.hook.depth"][which];
        // Panics where an edge is none.
        let _ = edges(&text, path);
    }
}

/// Otherwise the window, the proof of a mend and the report would disagree.
#[test]
fn a_chance_is_the_same_whatever_was_looked_at_before() {
    let library = Library::built_in();
    let text = std::fs::read_to_string("demo-data/seed-box.dryfit").unwrap();
    with_model(&library, &text, |model| {
        let moved = moved(model, "box.catch.tip-thickness");
        let pairs = pairs_of(&library, model, &sweep(&library, model, moved.clone()));
        let failing = |stands: &PairStanding| stands.finding.as_ref()?.margin.as_ref()?.chance;
        let mut some = 0;
        for value in [1.0, 1.2, 1.4, 1.5, 1.55] {
            let field = &model.feature(moved.feature).fields[moved.field];
            let at = model.place_of(moved.feature, field);
            let change = model.says(moved.feature, moved.field, moved.range.value(value, None, at));
            for among in WhatIf::of(&library, model).stand(&change, &pairs) {
                let alone = WhatIf::of(&library, model).stand(&change, &[among.pair]);
                assert_eq!(failing(&alone[0]), failing(&among), "{:?} at {value}", among.pair);
                some += usize::from(failing(&among).is_some());
            }
        }
        assert!(some >= 5, "only {some} chances");
    });
}
