//! A window's edge is where the rule's margin is zero, to the step.

use dryfit::rules::{Level, Library};
use dryfit::window::{Line, RuleSweep, Sample, Sweep, sweep};
use proptest::prelude::*;

use super::{moved, with_model};

fn at(sweep: &Sweep, line: &Line, value: f64, side: f64) -> Option<Sample> {
    // The nearest value that was tried on that side of the edge.
    let mut near: Vec<usize> = (0..sweep.values.len()).filter(|i| (sweep.values[*i] - value) * side >= 0.0).collect();
    near.sort_by(|a, b| (sweep.values[*a] - value).abs().total_cmp(&(sweep.values[*b] - value).abs()));
    near.first().and_then(|index| line.samples[*index])
}

/// Every edge of a rule that only stops, and compares one pair of numbers.
fn check(sweep: &Sweep, rule: &RuleSweep) -> usize {
    let [line] = rule.lines.as_slice() else { return 0 };
    let mut edges = 0;
    for pair in rule.stretches.windows(2) {
        let stops = |index: usize| pair[index].state == Some(Some(Level::Stop));
        let other = |index: usize| pair[index].state.is_some() && !stops(index);
        if line.level != Level::Stop || !((stops(0) && other(1)) || (other(0) && stops(1))) {
            continue;
        }
        let edge = pair[0].to;
        // Where the rule cannot be worked out on one side, there is no margin to be zero.
        let (Some(below), Some(above)) = (at(sweep, line, edge, -1.0), at(sweep, line, edge, 1.0)) else { continue };
        let (inside, outside) = if stops(0) { (above, below) } else { (below, above) };
        assert!(inside.share >= -1e-9 && outside.share <= 1e-9, "{} at {edge}: {below:?} {above:?}", rule.rule);
        edges += 1;
    }
    edges
}

fn edges(text: &str, path: &str) -> (usize, Vec<(String, f64)>) {
    let library = Library::built_in();
    with_model(&library, text, |model| {
        let sweep = sweep(&library, model, moved(model, path));
        let count = sweep.rules.iter().map(|rule| check(&sweep, rule)).sum();
        let ends = sweep.rules.iter().flat_map(|rule| rule.stretches.iter().map(|s| (rule.rule.clone(), s.to)));
        (count, ends.collect())
    })
}

#[test]
fn the_edge_of_a_demand_is_its_number() {
    let (count, ends) = edges("let gap = 2 mm\ndemand gap < 3.217 mm \"it must pass\"\n", "gap");
    assert_eq!(count, 1);
    let (_, edge) = ends.into_iter().find(|(rule, _)| rule == "broken-demand").unwrap();
    assert!((edge - 3.217).abs() < 1e-4, "{edge}");
}

#[test]
fn the_edge_of_a_gap_is_the_machines_line() {
    let (count, ends) = edges("machine bench\npart p { slot s { width 0.6 mm } }", "p.s.width");
    assert_eq!(count, 1);
    let (_, edge) = ends.into_iter().find(|(rule, _)| rule == "fused-gap").unwrap();
    assert!((edge - 0.42).abs() < 1e-4, "{edge}");
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
