use proptest::prelude::*;

use crate::shape::{read, shape};
use crate::sheets::sheet;

fn tidy_says_the_same(text: &str) -> Result<(), TestCaseError> {
    let (body, faults) = read(text);
    if !faults.is_empty() {
        return Ok(());
    }
    let tidy = dryfit::syntax::format::tidy(text);
    let (again, faults) = read(&tidy);
    prop_assert!(faults.is_empty(), "{text:?}\n{tidy:?}\n{faults:?}");
    prop_assert_eq!(shape(&body), shape(&again), "{:?}\n{:?}", text, tidy);
    prop_assert_eq!(dryfit::syntax::format::tidy(&tidy), tidy.clone(), "{:?}", text);
    let comments = |text: &str| text.matches('#').count();
    prop_assert_eq!(comments(text), comments(&tidy));
    Ok(())
}

fn demo_sheets() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "dryfit"));
    paths.sort();
    paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect()
}

#[test]
fn the_demo_sheets_say_the_same_when_tidy() {
    for text in demo_sheets() {
        tidy_says_the_same(&text).unwrap();
        let (_, faults) = read(&text);
        assert!(faults.is_empty(), "{faults:?}");
    }
}

#[test]
fn tidy_keeps_how_lines_end() {
    for text in demo_sheets() {
        let tidy = dryfit::syntax::format::tidy(&text);
        for ending in ["\r\n", "\r"] {
            assert_eq!(dryfit::syntax::format::tidy(&text.replace('\n', ending)), tidy.replace('\n', ending));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn written_sheets_have_no_faults_and_say_the_same_when_tidy(text in sheet()) {
        let (_, faults) = read(&text);
        prop_assert!(faults.is_empty(), "{:?}\n{:?}", text, faults);
        tidy_says_the_same(&text)?;
    }

    #[test]
    fn changed_demo_sheets_say_the_same_when_tidy(
        which in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), 0..4_usize, "[ \t\n#;{}\"a0.,±-]|\r\n"), 1..4),
    ) {
        let sheets = demo_sheets();
        let mut text = which.get(&sheets).clone();
        for (at, length, with) in changes {
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).chain([text.len()]).collect();
            let start = at.index(places.len());
            let end = places[(start + length).min(places.len() - 1)];
            text.replace_range(places[start]..end, &with);
        }
        tidy_says_the_same(&text)?;
    }
}
