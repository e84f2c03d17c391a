use std::collections::BTreeMap;
use std::sync::OnceLock;

use dryfit::mend::{Alone, Choice, Ended, Mend, Sheet, repeat};
use dryfit::report::mend_text;
use dryfit::rules::{Finding, Level, Library};
use dryfit::syntax::edit::{Edit, apply};
use proptest::prelude::*;

use super::advice;

/// The built-in library, read once.
pub fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(Library::built_in)
}

type Keys = BTreeMap<(String, String), (usize, Option<Level>)>;

/// How many findings of a rule on a feature, and the worst level that no permit accepts.
fn keys(findings: &[Finding]) -> Keys {
    let mut keys = Keys::new();
    for finding in findings {
        let entry = keys.entry((finding.rule.clone(), finding.about.clone())).or_default();
        entry.0 += 1;
        if finding.permitted.is_none() {
            entry.1 = entry.1.max(Some(finding.level));
        }
    }
    keys
}

fn edits(mend: &Mend) -> Vec<Edit> {
    let mut edits: Vec<Edit> = mend.changes.iter().map(|change| change.edit.clone()).collect();
    edits.sort();
    edits
}

/// Lines that hold what was measured.
fn readings(text: &str) -> Vec<&str> {
    text.split(['\n', '\r']).filter(|line| line.contains("measured") || line.contains("between")).collect()
}

/// What a text is made of besides its edits.
fn outside<'t>(text: &'t str, edits: &[Edit]) -> Vec<&'t str> {
    let mut parts = Vec::new();
    let mut from = 0;
    for edit in edits {
        parts.push(&text[from..edit.start]);
        from = edit.end;
    }
    parts.push(&text[from..]);
    parts
}

/// Every promise that a mend makes, on one sheet. How many clean mends were checked.
pub fn keeps_its_promises(library: &Library, text: &str) -> usize {
    let sheet = Alone { library };
    let before = keys(&sheet.findings(text));
    let mut checked = 0;
    for (finding, advice) in advice(library, text) {
        let Some(advice) = advice else { continue };
        assert!(advice.mends.len() <= dryfit::mend::SHOWN);
        // What leaves the finding at a lower level comes before another material that cures it; what harms comes last.
        let first_harmful = advice.mends.iter().position(|mend| !mend.harms.is_empty()).unwrap_or(advice.mends.len());
        assert!(advice.mends[first_harmful..].iter().all(|mend| !mend.clean), "clean ones come first");
        assert_eq!(advice.nothing.is_some(), !advice.mends.iter().any(|mend| mend.clean), "{}", finding.message);
        for mend in advice.mends.iter().filter(|mend| mend.clean) {
            let edits = edits(mend);
            let after_text = apply(text, &edits);
            let after = keys(&sheet.findings(&after_text));
            let key = (finding.rule.clone(), finding.about.clone());
            assert!(
                !after.contains_key(&key),
                "{} is still there after {}\n{after_text}",
                finding.rule,
                mend_text(&mend.note())
            );
            for (key, now) in &after {
                // That a permit is needed no more is told with the mend.
                if mend.spends && key.0 == "spent-permit" {
                    continue;
                }
                let was = before.get(key);
                assert!(
                    was.is_some_and(|was| now.0 <= was.0 && now.1 <= was.1),
                    "{key:?} after {}",
                    mend_text(&mend.note())
                );
            }
            assert_eq!(readings(text), readings(&after_text));
            let mut rest = after_text.as_str();
            for part in outside(text, &edits) {
                let at = rest.find(part).expect("what is outside the edits stays");
                rest = &rest[at + part.len()..];
            }
            let change: i64 = edits
                .iter()
                .map(|edit| i64::try_from(edit.text.len()).unwrap() - i64::try_from(edit.end - edit.start).unwrap())
                .sum();
            assert_eq!(i64::try_from(after_text.len()).unwrap(), i64::try_from(text.len()).unwrap() + change);
            checked += 1;
        }
    }
    checked
}

fn settles(library: &Library, text: &str) {
    let sheet = Alone { library };
    let once = repeat(&sheet, text, &Choice::default());
    assert_eq!(once.ended, Ended::Settled);
    let twice = repeat(&sheet, &once.text, &Choice::default());
    assert_eq!(twice.text, once.text);
    assert!(twice.applied.is_empty());
    assert_eq!(readings(text), readings(&once.text));
    // Nothing that was not there before, at no higher level.
    let before = keys(&sheet.findings(text));
    for (key, now) in keys(&sheet.findings(&once.text)) {
        assert!(before.get(&key).is_some_and(|was| now.1 <= was.1), "{key:?}\n{}", once.text);
    }
    // Only the text itself can be told; a mend never hides a finding.
    let told = keys(&once.left.iter().map(|(finding, _)| finding.clone()).collect::<Vec<_>>());
    assert_eq!(told, keys(&sheet.findings(&once.text)));
}

#[test]
fn the_demo_sheets_mends_keep_their_promises() {
    let library = library();
    let mut checked = 0;
    for entry in std::fs::read_dir("demo-data").unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        checked += keeps_its_promises(library, &text);
        settles(library, &text);
    }
    assert!(checked >= 5, "only {checked} mends");
}

#[test]
fn every_rules_failing_example_keeps_the_promises() {
    let library = library();
    let mut mended = Vec::new();
    for rule in library.rules.iter().filter(|rule| !rule.change.is_empty()) {
        if keeps_its_promises(library, &rule.fails) > 0 {
            mended.push(&rule.name);
        }
    }
    assert!(mended.len() >= 10, "{mended:?}");
}

prop_compose! {
    fn a_sheet()(
        wall in 0.3..4.0_f64,
        unit in prop::sample::select(vec![("mm", 1.0), ("in", 25.4), ("cm", 10.0)]),
        arm in (8.0..30.0_f64, 0.8..3.5_f64, 0.0..2.0_f64),
        catch in (0.4..2.5_f64, 15.0..70.0_f64, prop::sample::select(vec![1, 50, 2000])),
        slack in 0.0..0.9_f64,
        class in prop::sample::select(vec!["press", "snug", "sliding", "free"]),
        span in 3.0..16.0_f64,
        up in prop::sample::select(vec!["+z", "+x", "-y"]),
        ending in prop::sample::select(vec!["\n", "\r\n", "\r"]),
        copied in any::<bool>(),
    ) -> String {
        let (length, thickness, fillet) = arm;
        let (depth, lead, cycles) = catch;
        let (name, factor) = unit;
        let wall = wall / factor;
        let copy = if copied { "  arm twin like jaw { bends -y }\n" } else { "" };
        format!(
            "# a generated sheet\nmachine bench\nmaterial petg\nbought rail {{ lip measured 6.02, 5.98, 6.05 mm }}\n\
             let slack = {slack:.2} mm\npart clip {{\n  up   {up}\n  size 42 x 24 x 30 mm\n  \
             wall back {{ thickness {wall:.3} {name}; height 24 mm; faces +x }}\n  arm jaw {{\n    points    +x\n    \
             bends     +y\n    length    {length:.1} mm\n    thickness {thickness:.1} mm ± 0.1 mm  # drawn\n    width     8 mm\n    \
             root-fillet {fillet:.1} mm\n    cycles    {cycles}\n    hook {{ depth {depth:.1} mm; lead-in {lead:.0} deg }}\n  }}\n{copy}  \
             slot mouth {{ width rail.lip + slack; depth 9 mm; axis +z }}\n  bridge roof {{ span {span:.1} mm }}\n}}\n\
             fit \"mouth on lip\" {{ inside clip.mouth.width; outside rail.lip; class {class} }}\n\
             demand clip.jaw.length < 26 mm \"stays inside\"\n"
        ).replace('\n', ending)
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn generated_sheets_mends_keep_their_promises(text in a_sheet()) {
        keeps_its_promises(library(), &text);
    }

    #[test]
    fn mending_settles(text in a_sheet()) {
        settles(library(), &text);
    }
}
