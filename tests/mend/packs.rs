//! Mends of rules that a project brings along.

use dryfit::pack::Project;
use dryfit::rules::Library;

use super::mends_of;

/// A library of one rule, about bosses: what has to hold, and what may be changed.
fn of_rule(holds: &str, change: &str) -> Library {
    let rule = format!(
        "rules:\n  house-rule:\n    title: house-rule\n    about: [boss]\n    holds:\n      stop: \"{holds}\"\n    \
         says: \"no\"\n    change: [{change}]\n    why: house-rule\n    sources: [house-rule]\n    \
         passes: let house-rule = 1\n    fails: let house-rule = 1\n"
    );
    let project = Project::of_texts([("house.yaml".to_owned(), rule)]).map_err(|error| error.faults).unwrap();
    let mut library = Library::with_project(project).map_err(|error| error.faults).unwrap();
    library.rules.retain(|rule| rule.name == "house-rule");
    library
}

fn boss(diameter: &str) -> String {
    format!(
        "machine bench\nmaterial petg\npart box {{ up +z; boss corner {{ diameter {diameter}; hole 2.5 mm; height 14 mm; axis +z\n\
         screw M3 {{ kind thread-forming; length 10 mm; grip 3 mm }} }} }}\n"
    )
}

/// A screw becomes the nearest size of ISO 261 that holds, by its name: M5 is the first from 4.5 mm on, M2 the one up to
/// 2.2 mm.
#[test]
fn a_thread_is_mended_to_a_size_that_is_sold() {
    for (holds, becomes) in [("thread >= 4.5 mm", "M5"), ("thread <= 2.2 mm", "M2")] {
        let mends = mends_of(&of_rule(holds, "screw.size"), &boss("8 mm"), "house-rule");
        let changes: Vec<[&str; 3]> = mends
            .iter()
            .flat_map(|mend| &mend.changes)
            .map(|change| [change.name.as_str(), change.from.as_str(), change.to.as_str()])
            .collect();
        assert_eq!(changes, [["box.corner.screw.size", "M3", becomes]], "{holds}");
    }
}

/// Past a doubling two dimensions share a change, but none is changed that makes no difference.
#[test]
fn what_makes_no_difference_is_not_changed_along() {
    let changed = |holds: &str| -> Vec<Vec<String>> {
        let mends = mends_of(&of_rule(holds, "diameter, height"), &boss("4 mm"), "house-rule");
        mends.iter().map(|mend| mend.changes.iter().map(|change| change.name.clone()).collect()).collect()
    };
    let (diameter, height) = ("box.corner.diameter", "box.corner.height");
    assert_eq!(changed("diameter >= 9 mm"), [[diameter]]);
    assert_eq!(changed("diameter * height >= 126 mm2")[0], [diameter, height]);
}
