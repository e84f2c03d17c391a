//! How far mends are looked for where nobody asked for them.

use dryfit::inspect::Analysis;
use dryfit::mend::{Alone, Budget, attach_within};
use dryfit::rules::{Level, Library};

/// A stop and some cares, each with mends.
const SHEET: &str = "machine bench
material petg
part p {
  up +z
  bridge window { span 12 mm }
  arm spring { points +x; bends +y; length 13 mm; thickness 1.8 mm; width 4 mm; root-fillet 0.9 mm; cycles 50
    hook { depth 1.6 mm; lead-in 50 deg; return 45 deg } }
  wall guard { thickness 0.42 mm; height 12 mm; faces +y }
}
";

/// How many findings have mends with so many looks, whether the stop has, and for how many none was looked for.
fn within(budget: Budget) -> (usize, bool, usize) {
    let library = Library::built_in();
    let analysis = Analysis::of_text(&library, "p.dryfit", SHEET);
    let inspection = attach_within(&Alone { library: &library }, analysis, budget);
    let advised = |level: Option<Level>| {
        let of_level = inspection.findings.iter().filter(|finding| level.is_none_or(|level| finding.level == level));
        of_level.filter(|finding| finding.advice.as_ref().is_some_and(|advice| !advice.mends.is_empty())).count()
    };
    (advised(None), advised(Some(Level::Stop)) == 1, inspection.unadvised)
}

#[test]
fn looks_are_spent_on_the_worst_first_and_what_is_left_is_counted() {
    let (all, _, left) = within(Budget::ALL);
    assert!(all >= 3 && left == 0, "{all} with mends, {left} left");
    assert_eq!(within(Budget::ALL.of_looks(0)), (0, false, all));
    let (some, stop, left) = within(Budget::ALL.of_looks(40));
    assert!(stop && some < all && left == all - some, "{some} of {all} with mends, {left} left, the stop: {stop}");
    assert_eq!(within(Budget::ALL.of_findings(1)), (1, true, all - 1));
}
