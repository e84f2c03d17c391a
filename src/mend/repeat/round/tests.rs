//! What is looked at in a round, and what waits.

use super::*;
use crate::inspect::Inspection;
use crate::mend::Alone;
use crate::rules::Library;

/// Arms alike that are bent much too far, by lengths and thicknesses that have one name each.
fn arms(count: usize) -> String {
    let arm = |number: usize| {
        format!(
            "  arm a{number} {{ points +x; bends +y; length long; thickness thick; width 8 mm; root-fillet 1 mm; \
             hook {{ depth 1.5 mm; lead-in 30 deg }} }}\n"
        )
    };
    let arms: String = (0..count).map(arm).collect();
    format!("machine bench\nmaterial petg\nlet long = 6 mm\nlet thick = 2 mm\npart clip {{ up +z\n{arms}}}\n")
}

/// Two dimensions may share what more than doubles one. What follows from the same numbers is not looked at for it again:
/// the first finding of the rule waits for all.
#[test]
fn what_follows_from_one_number_is_looked_at_once() {
    let library = Library::built_in();
    for count in [1, 2, 9] {
        let (sheet, text) = (Alone { library: &library }, arms(count));
        let (Inspection { findings, .. }, judged) = sheet.analysis(&text).followed().split();
        let of_rule = |rule: &str| findings.iter().filter(|finding| finding.rule == rule).count();
        assert_eq!(of_rule("overstrained-arm"), count);
        let choice = Choice::default();
        let mut round = Round::new((&sheet, &text), judged, &findings, (&choice, &|| false));
        assert!(round.single_changes(&mut Stuck::new()));
        let waiting = round.waiting.iter().filter(|(at, _)| findings[*at].rule == "overstrained-arm").count();
        assert_eq!(waiting, 1, "of {count} arms");
    }
}

/// What has nothing to do with each other is mended in one round, to the last finding; what the mends before it reach is left
/// for the next.
#[test]
fn what_is_apart_is_mended_in_one_round() {
    let mut library = Library::built_in();
    library.rules.retain(|rule| rule.name == "thin-wall");
    let wall = |number: usize| format!("  wall w{number} {{ thickness 0.5 mm; height 9 mm }}\n");
    let apart: String = (0..4).map(wall).collect();
    let copy = |number: usize| format!("  wall w{number} like w0\n");
    let copies: String = (1..4).map(copy).collect();
    for (walls, mends) in [(apart, 4), (wall(0) + &copies, 1)] {
        let (sheet, text) =
            (Alone { library: &library }, format!("machine bench\nmaterial petg\npart p {{ up +z\n{walls}}}\n"));
        let (Inspection { findings, .. }, judged) = sheet.analysis(&text).followed().split();
        let (choice, looked_at) = (Choice::default(), std::cell::Cell::new(0));
        let look = || {
            looked_at.set(looked_at.get() + 1);
            false
        };
        let mut round = Round::new((&sheet, &text), judged, &findings, (&choice, &look));
        assert!(round.single_changes(&mut Stuck::new()));
        assert_eq!((round.next.len(), looked_at.get()), (mends, mends), "{text}");
    }
}
