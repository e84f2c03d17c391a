//! What the ledger says of what shares a path with something else.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

use crate::inspect::Analysis;
use crate::rules::Library;

/// Two fits whose titles are still to be written, both called `fit`: what goes into the first jams, which is permitted.
const SHEET: &str = "machine bench\nmaterial petg\nbought rail { lip 3 mm }\n\
                     part p { up +z; slot a { width 3.01 mm }; slot b { width 3.6 mm } }\n\
                     fit { inside p.a.width; outside rail.lip; class sliding }\n\
                     fit { inside p.b.width; outside rail.lip; class sliding }\n\
                     permit jammed-fit on fit \"it is sanded\"\n";

#[test]
fn each_of_two_features_of_one_path_has_its_own_verdict() {
    let library = Library::built_in();
    let analysis = Analysis::of_text(&library, "clip.dryfit", SHEET);
    let entries = analysis.ledger(None);
    let jammed = entries.iter().filter(|entry| entry.rule == "jammed-fit");
    let told: Vec<(bool, bool)> = jammed.map(|entry| (entry.is_failing(), entry.permitted.is_some())).collect();
    assert_eq!(told, [(true, true), (false, false)]);
}

#[test]
fn what_is_compared_has_a_name_only_where_the_left_side_is_one() {
    let library = Library::built_in();
    let names = |rule: &str| -> Vec<Option<String>> {
        let analysis = Analysis::of_text(&library, "fails.dryfit", &library.rule(rule).unwrap().fails);
        let ledger = analysis.ledger(None).into_iter();
        let comparisons = ledger.filter(|entry| entry.rule == rule).flat_map(|entry| entry.comparisons);
        let compared = comparisons.filter(|comparison| comparison.margin.is_some());
        compared.map(|comparison| comparison.name).collect()
    };
    let are = |names: &[&str]| names.iter().map(|name| Some((*name).to_owned())).collect::<Vec<_>>();
    assert_eq!(names("stripped-thread"), are(&["screw.torque", "screw.torque"]));
    assert_eq!(names("unrolled-clamp"), [are(&["stress"]), vec![None]].concat(), "a product");
    let text = "machine bench\nmaterial petg\n\
                part p { up +z; load-bearing yes; wall w { thickness 1 mm; height 20 mm; faces +x } }\n";
    let analysis = Analysis::of_text(&library, "p.dryfit", text);
    let thin = analysis.ledger(None).into_iter().find(|entry| entry.rule == "thin-wall").unwrap();
    let told: Vec<_> = thin.comparisons.into_iter().map(|comparison| comparison.name).collect();
    assert_eq!(told, are(&["thickness", "thickness"]), "the second of two conditions");
}
