//! Which fields that a sheet leaves out can be put into it.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

use super::*;
use crate::inspect::Analysis;
use crate::pack::Project;
use crate::rules::Library;

/// A rule that changes the chamfer of an edge, and a length of which there is always some.
const PACK: &str = "blocks:
  edge:
    fields:
      lip: {doc: How far it reaches out., unit: mm, at-least: 1 mm}
rules:
  probe:
    title: probe
    about: [edge]
    holds: {care: 1 < 0}
    says: probe
    change: [chamfer, lip]
    why: probe
    sources: [probe]
    passes: let probe = 1
    fails: let probe = 1
";

/// The names of what can be changed, with what is there now, where an edge says something.
fn changeable(says: &str) -> Vec<(String, f64)> {
    let project = Project::of_texts([("pack.yaml".to_owned(), PACK.to_owned())]).unwrap();
    let library = Library::with_project(project).unwrap();
    let text = format!("machine bench\npart box {{ up +z; edge rim {{ on-bed yes; {says} }} }}\n");
    let model = Analysis::of_text(&library, "", &text).model;
    let (edge, _) = model.ids().find(|(_, feature)| feature.block.name == "edge").unwrap();
    let found = places(&model, &Mating::of(&model), edge, &library.rule("probe").unwrap().change);
    found.list.into_iter().map(|place| (place.name, place.grid.value)).collect()
}

#[test]
fn a_length_that_is_left_out_is_nothing_only_where_it_may_be() {
    let chamfer = |value| vec![("box.rim.chamfer".to_owned(), value)];
    assert_eq!(changeable("slides yes"), chamfer(0.0), "there is no edge with a lip of nothing");
    assert_eq!(changeable("chamfer 0.4 mm"), chamfer(0.4));
}

#[test]
fn a_length_whose_line_is_at_fault_is_not_put_in_a_second_time() {
    for fault in ["chamfer 0.4 kg", "chamfer", "chamfer 0.4 mm mm", "chamfer -0.4 mm"] {
        let found = changeable(fault);
        assert!(found.iter().all(|(_, value)| *value != 0.0), "{fault}: {found:?}");
    }
}
