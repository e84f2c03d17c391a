//! Sheets that mends once damaged, or promised too much of.

use dryfit::mend::{Advice, Alone, Choice, Pick, Sheet, repeat};
use dryfit::report::mend_text;
use dryfit::rules::{Finding, Library};
use dryfit::syntax::edit::{Edit, apply};

use super::advice;

fn advice_on(found: Vec<(Finding, Option<Advice>)>, rule: &str) -> Advice {
    let (_, advice) = found.into_iter().find(|(finding, _)| finding.rule == rule).expect(rule);
    advice.expect(rule)
}

/// Every mend that is offered, applied, leaves a sheet that is read without a fault of its text.
fn stays_readable(text: &str) {
    let library = Library::built_in();
    let faults = |text: &str| -> usize {
        let all = Alone { library: &library }.findings(text);
        all.iter().filter(|finding| library.rule(&finding.rule).is_some_and(|rule| rule.reading.is_some())).count()
    };
    let before = faults(text);
    for (finding, advice) in advice(&library, text) {
        for mend in advice.iter().flat_map(|advice| &advice.mends) {
            let edits: Vec<Edit> = mend.changes.iter().map(|change| change.edit.clone()).collect();
            let after = apply(text, &edits);
            assert_eq!(faults(&after), before, "{}: {}\n{after}", finding.rule, mend_text(&mend.note()));
        }
    }
}

const ARM: &str = "machine bench\nmaterial petg\npart clip {\n  up +z\n  size 42 x 24 x 12 mm\n  arm jaw {\n    points +x\n    \
                   bends  +y\n    length 18 mm\n    width  12 mm\n    cycles 50\n    hook { depth 1.1 mm; lead-in 30 deg; return 50 deg }\n    \
                   thickness 1.8 mm h12\n  }\n}\n";

#[test]
fn a_tolerance_class_belongs_to_its_value() {
    let one_line = ARM.replace(
        "hook { depth 1.1 mm; lead-in 30 deg; return 50 deg }\n    thickness 1.8 mm h12\n",
        "thickness 1.8 mm h12; hook { depth 1.1 mm; lead-in 30 deg; return 50 deg }\n",
    );
    for text in [ARM, &one_line] {
        stays_readable(text);
        let library = Library::built_in();
        let mended = repeat(&Alone { library: &library }, text, &Choice::default());
        assert!(
            mended.text.contains("thickness 1.8 mm h12\n    root-fillet")
                || mended.text.contains("thickness 1.8 mm h12; root-fillet"),
            "{}",
            mended.text
        );
    }
    for hole in ["axis +z; diameter 22 mm H7", "diameter 22 mm H7; axis +z extra", "diameter 22 mm H7; axis +z"] {
        stays_readable(&format!("machine bench\nmaterial petg\npart box {{ up +z; hole bearing {{ {hole} }} }}\n"));
    }
}

#[test]
fn a_picked_mend_leaves_the_class_where_it_is() {
    let text = "machine bench\nmaterial petg\npart box { up +z; hole bearing { axis +z; diameter 22 mm H7 } }\n";
    let library = Library::built_in();
    let pick = Pick::of("fine-tolerance", None, 1);
    let mended = repeat(&Alone { library: &library }, text, &Choice::of(vec![pick]));
    assert!(mended.missed.is_empty());
    assert!(mended.text.contains("diameter 22 mm H7; drilled yes }"), "{}", mended.text);
}

/// What a change does not touch keeps its permit, and is no harm of it.
#[test]
fn a_permit_on_the_feature_leaves_other_mends_clean() {
    let beam = "machine bench\nmaterial asa\nservice { temperature 80 degC }\npart bracket {\n  up +y\n  size 110 x 24 x 90 mm\n  \
                beam arm {\n    points +x; length 100 mm; width 24 mm; height 13.5 mm; ends cantilever; sag 1 mm\n    \
                load { force 60 N; at spread; held yes; over-people yes }\n  }\n}\n";
    let line = "machine bench { line 0.338 mm }\nmaterial petg\npart clip {\n  up +z\n  size 42 x 24 x 12 mm\n  \
                wall back { thickness 0.42 mm; height 10 mm; faces +x }\n}\n";
    let arm = "machine bench\nmaterial petg\npart clip {\n  up +z\n  size 42 x 24 x 12 mm\n  arm jaw {\n    points +x; bends +y; \
               length 13 mm; thickness 1.8 mm; width 4 mm; root-fillet 0.3 mm\n    cycles 100\n    \
               hook { depth 1.6 mm; lead-in 30 deg; return 45 deg }\n  }\n}\n";
    let cases = [
        (beam, "permit over-people on bracket.arm.load \"a steel strap holds the shelf\"\n", "sagging-beam"),
        (line, "permit thin-wall on clip.back \"fine\"\n", "line-out-of-range"),
        (arm, "permit sharp-root on clip.jaw \"printed three, none cracked\"\n", "overstrained-arm"),
    ];
    let library = Library::built_in();
    for (text, permit, rule) in cases {
        let clean = |text: &str| -> Vec<String> {
            let advice = advice_on(advice(&library, text), rule);
            advice.mends.iter().filter(|mend| mend.clean).map(|mend| format!("{:?}", mend.note().changes)).collect()
        };
        let (without, with) = (clean(text), clean(&format!("{text}{permit}")));
        assert!(!without.is_empty(), "{rule}");
        assert_eq!(with.first(), without.first(), "{rule}");
    }
}

#[test]
fn a_mend_that_needs_a_permit_no_more_says_so() {
    let text = "machine bench\nmaterial petg\npart clip {\n  up +z\n  size 42 x 24 x 12 mm\n  \
                wall back { thickness 0.5 mm; height 10 mm; faces +x }\n}\npermit uneven-wall on clip.back \"fine\"\n";
    let library = Library::built_in();
    let (mut looked, mut spent) = (0, 0);
    for (_, advice) in advice(&library, text) {
        for mend in advice.iter().flat_map(|advice| &advice.mends) {
            let edits: Vec<Edit> = mend.changes.iter().map(|change| change.edit.clone()).collect();
            let after = Alone { library: &library }.findings(&apply(text, &edits));
            assert_eq!(
                mend.spends,
                after.iter().any(|finding| finding.rule == "spent-permit"),
                "{}",
                mend_text(&mend.note())
            );
            assert_eq!(mend.spends, mend_text(&mend.note()).contains("a permit is needed no more"));
            looked += 1;
            spent += usize::from(mend.spends);
        }
    }
    assert!(looked >= 1 && spent >= 1, "{looked} {spent}");
}

/// A screw shorter than any that is sold counts up to the sizes that there are.
#[test]
fn a_size_below_the_smallest_that_is_sold_is_mended_like_another() {
    let library = Library::built_in();
    let best = |length: f64| {
        let text = format!(
            "machine bench\nmaterial petg\npart box {{ up +z; boss corner {{ diameter 12 mm; hole 2.5 mm; height 12 mm; axis +z; \
             screw M3 {{ kind thread-forming; length {length} mm; grip 3 mm }} }} }}\n"
        );
        let advice = advice_on(advice(&library, &text), "shallow-engagement");
        let change =
            advice.mends.iter().flat_map(|mend| &mend.changes).find(|change| change.name.ends_with("screw.length"));
        change.expect("a longer screw").to.clone()
    };
    assert_eq!(best(1.0), best(5.0));
}
