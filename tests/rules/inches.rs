//! Sheets in inches: no sentence makes the reader convert.

use std::fmt::Write;
use std::path::Path;

use dryfit::inspect::{Inspection, inspect_text};
use dryfit::report::plain;
use dryfit::rules::Library;

/// What the machine is said in, whoever uses it.
const OF_THE_MACHINE: [&str; 3] = ["lines of 0.42 mm", "under 2 mm a hole", "whole layers of 0.2 mm"];

/// A sheet with every length in millimetres written in inches, to a ten-thousandth.
fn in_inches(sheet: &str) -> String {
    const BETWEEN: [char; 6] = [' ', ',', '/', '+', '-', '±'];
    let mut text = String::new();
    let mut rest = sheet;
    while let Some(at) = rest.find(" mm") {
        let numbers = |c: char| c.is_ascii_digit() || matches!(c, '.' | 'x') || BETWEEN.contains(&c);
        let from = rest[..at].rfind(|c| !numbers(c)).map_or(0, |last| last + 1);
        let whole_word = !rest[at + 3..].starts_with(|c: char| c.is_alphanumeric());
        let numbers = &rest[from..at];
        text.push_str(&rest[..from]);
        for word in numbers.split_inclusive(BETWEEN) {
            let number = word.trim_end_matches(BETWEEN);
            match number.parse::<f64>() {
                Ok(millimetres) if whole_word => {
                    let _ = write!(text, "{:.4}{}", millimetres / 25.4, &word[number.len()..]);
                }
                _ => text.push_str(word),
            }
        }
        text.push_str(if whole_word { " in" } else { " mm" });
        rest = &rest[at + 3..];
    }
    text + rest
}

/// The sentences that say a length in inches and another in millimetres.
fn mixed(inspection: &Inspection) -> Vec<String> {
    let of = |finding: &dryfit::rules::Finding| {
        let comparison = finding.margin.as_ref().map(|margin| margin.comparison.clone());
        [Some(finding.message.to_string()), finding.help.clone(), comparison]
    };
    let mut sentences: Vec<String> = inspection.findings.iter().flat_map(of).flatten().collect();
    sentences.retain(|sentence| {
        let own = OF_THE_MACHINE.iter().fold(sentence.clone(), |own, words| own.replace(words, ""));
        own.contains(" mm")
    });
    sentences
}

fn is_about_the_machine(rule: &str) -> bool {
    Library::built_in().rule(rule).is_some_and(|rule| rule.about.iter().any(|kind| kind == "machine"))
}

#[test]
fn a_whole_sheet_in_inches_is_answered_in_inches() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/vent-latch.dryfit");
    let sheet = in_inches(&std::fs::read_to_string(path).unwrap());
    assert!(sheet.contains("length      0.5118 in") && !sheet.contains(" mm"), "{sheet}");
    let inspection = inspect_text(&Library::built_in(), "vent-latch-in-inches.dryfit", &sheet);
    assert_eq!(mixed(&inspection), Vec::<String>::new());
    insta::with_settings!({snapshot_path => "../snapshots/demo", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("vent-latch-in-inches", plain(&inspection));
    });
}

#[test]
fn every_rule_answers_inches_in_inches() {
    let library = Library::built_in();
    let mut found = Vec::new();
    for rule in library.rules.iter().filter(|rule| rule.reading.is_none() && !is_about_the_machine(&rule.name)) {
        let inspection = inspect_text(&library, "example.dryfit", &in_inches(&rule.fails));
        found.extend(mixed(&inspection).into_iter().map(|sentence| format!("{}: {sentence}", rule.name)));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
