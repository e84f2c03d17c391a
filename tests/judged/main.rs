//! Designs with a practitioner's verdict, and how far the program agrees with it.
//!
//! `good-*` sheets are of parts that an experienced maker prints with success, `bad-*` ones have one ordinary main
//! fault each, and those in `mends/` say what an engineer would draw and what a mend must not touch. The verdict stands
//! in the comment lines at a sheet's head (`verdict.rs` reads them). It is a judgement of the trade: it is changed only
//! for a reason of the trade, never because a rule disagrees.
//!
//! `cargo test --test judged -- --nocapture` prints a line for each design.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod digits;
mod fields;
mod mends;
mod program;
mod score;
mod verdict;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use score::{Outcome, Score};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/judged");

/// Designs on which the program does not agree with the practitioner yet. One that is cured leaves the list.
const OPEN: &str = include_str!("open.txt");

#[test]
fn the_program_judges_as_a_practitioner_would() {
    let mut score = Score::default();
    for path in sheets(Path::new(FOLDER)).into_iter().chain(sheets(&Path::new(FOLDER).join("mends"))) {
        let name = path.strip_prefix(FOLDER).unwrap().with_extension("").to_str().unwrap().to_owned();
        let (outcome, why) = score::judge(&path);
        println!("{:12} {name}: {why}", outcome.words());
        score.add(&name, outcome);
    }
    println!("{score}");
    let open: BTreeSet<&str> = OPEN.lines().filter(|line| !line.is_empty() && !line.starts_with('#')).collect();
    let wrong: Vec<_> = score.wrong().filter(|name| !open.contains(name.as_str())).collect();
    assert!(wrong.is_empty(), "{score}\nthe program no longer agrees with the practitioner on {wrong:?}");
    let cured: Vec<_> = open.into_iter().filter(|name| !score.wrong().any(|wrong| wrong == name)).collect();
    if !cured.is_empty() {
        println!("cured, take them out of open.txt: {cured:?}");
    }
    assert!(score.count(Outcome::Clean) > 0 && score.count(Outcome::Caught) > 0, "{score}");
}

#[test]
fn every_design_says_why() {
    for path in sheets(Path::new(FOLDER)).into_iter().chain(sheets(&Path::new(FOLDER).join("mends"))) {
        let verdict = verdict::Verdict::read(&std::fs::read_to_string(&path).unwrap());
        assert!(verdict.why.len() > 40, "{}: no reason of the trade", path.display());
        let good = path.file_name().unwrap().to_str().unwrap().starts_with("good-");
        assert_eq!(verdict.good, good, "{}: its verdict does not go with its name", path.display());
        assert!(good || !verdict.expected.is_empty(), "{}: nothing is expected", path.display());
    }
}

fn sheets(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut sheets: Vec<_> = entries.filter(|path| path.extension().is_some_and(|end| end == "dryfit")).collect();
    sheets.sort();
    sheets
}
