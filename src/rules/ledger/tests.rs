//! What the ledger says of what shares a path with something else.

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
