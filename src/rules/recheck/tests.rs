//! Which rules are run again after a change.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

use super::*;
use crate::inspect::Analysis;
use crate::syntax::tree;

/// An arm that does not state how thick its tip is: `thick-tip` asks for that, and reads no value of it.
const SHEET: &str = "machine bench\nmaterial petg\npart clip { up +z; arm jaw { points +x; bends +y; length 18 mm; \
                     thickness 1.4 mm; width 12 mm; root-fillet 0.8 mm; opens 0.5 mm } }\n";

#[test]
fn a_change_that_states_a_field_runs_the_rules_again_that_ask_whether_it_is_stated() {
    let library = Library::built_in();
    let analysis = Analysis::of_text(&library, "clip.dryfit", SHEET);
    let mut model = analysis.model.untouched();
    let recheck = Recheck::new(&library, &mut model);
    let (arm, feature) = model.ids().find(|(_, feature)| feature.name == "jaw").unwrap();
    let index_of = |name: &str| feature.fields.iter().position(|field| field.name == name).unwrap();
    let (tip, width) = (index_of("tip-thickness"), index_of("width"));
    assert!(feature.fields[tip].written.is_none());

    let width = tree::Value::clone(&feature.fields[width].written.as_ref().unwrap().value);
    let says = model.says(arm, tip, width);
    let reached = recheck.again(&mut model, &says).unwrap();
    let of_tip = reached.findings.iter().find(|finding| finding.rule == "thick-tip");
    assert_eq!(of_tip.map(|finding| finding.about.as_str()), Some("clip.jaw"), "{:?}", reached.findings);
}
