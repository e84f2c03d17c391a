//! What programs read of a design has no digits that are residue of arithmetic: `0.30000000000000004`, or a share of
//! `0.79999999968` where the slopes behind it are worked out numerically.

use std::path::Path;

use dryfit::inspect::Analysis;
use dryfit::report::ledger_json;
use dryfit::rules::Library;
use serde_json::Value;

use super::{FOLDER, sheets};

/// So many zeros or nines in a row, with other digits after them, are no accident.
const RUN: usize = 8;
/// Digits of a number; of an uncertainty, a share of one or a chance.
const DIGITS: usize = 12;
const UNCERTAIN_DIGITS: usize = 6;

#[test]
fn numbers_of_the_ledger_have_no_residue() {
    let library = Library::built_in();
    let mut numbers = 0;
    for path in sheets(Path::new(FOLDER)).into_iter().chain(sheets(Path::new("demo-data"))) {
        let text = std::fs::read_to_string(&path).unwrap();
        let analysis = Analysis::of_text(&library, &path.display().to_string(), &text);
        let json = ledger_json("sheet", &analysis.ledger(None), &analysis.sources);
        for number in written(&json.replace("\\\\", "").replace("\\\"", "")) {
            assert!(digits(number).len() <= DIGITS, "{}: {number}", path.display());
        }
        each(&serde_json::from_str(&json).unwrap(), "", &mut |key, number| {
            numbers += 1;
            let digits = digits(&format!("{number:.14e}"));
            let is_uncertain = matches!(key, "uncertainty" | "causes" | "doubts");
            let most = if is_uncertain { UNCERTAIN_DIGITS } else { DIGITS };
            assert!(digits.len() <= most, "{}: {key} {number}", path.display());
            // What is all but certain, and all but the whole, is no residue.
            let is_residue = !is_uncertain && key != "chance" && is_residue(&digits);
            assert!(!is_residue, "{}: {key} {number}", path.display());
        });
    }
    assert!(numbers > 10_000, "{numbers} were looked at");
}

/// Every number with the key that it, or the list that it is in, goes by.
fn each(value: &Value, key: &str, look: &mut impl FnMut(&str, f64)) {
    match value {
        Value::Number(number) if number.is_f64() => look(key, number.as_f64().unwrap()),
        Value::Array(all) => all.iter().for_each(|value| each(value, key, look)),
        Value::Object(all) if key == "doubts" => all.values().for_each(|value| each(value, key, look)),
        Value::Object(all) => all.iter().for_each(|(key, value)| each(value, key, look)),
        _ => {}
    }
}

/// The numbers of a JSON text as they are written: its reader is off by the last digit of a double.
fn written(json: &str) -> impl Iterator<Item = &str> {
    // Texts are every second piece, with quotes in them out of the way.
    let is_outside = |(at, _): &(usize, &str)| at % 2 == 0;
    let outside = json.split('"').enumerate().filter(is_outside).map(|(_, piece)| piece);
    let ends_number = |c: char| !(c.is_ascii_digit() || matches!(c, '.' | 'e' | 'E' | '+' | '-'));
    outside.flat_map(move |piece| piece.split(ends_number)).filter(|text| text.contains(|c: char| c.is_ascii_digit()))
}

/// The digits that count.
fn digits(number: &str) -> String {
    let mantissa = number.split(['e', 'E']).next().unwrap_or(number);
    let all: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    all.trim_start_matches('0').trim_end_matches('0').to_owned()
}

fn is_residue(digits: &str) -> bool {
    ["0", "9"].iter().any(|digit| digits.contains(&digit.repeat(RUN)))
}

#[test]
fn residue_is_known_from_what_is_none() {
    let of = |text: &str| is_residue(&digits(text));
    assert!(of("0.30000000000000004") && of("0.79999999968"));
    assert!(!of("0.3") && !of("1000000000.0") && !of("999999960.0") && !of("1e-9"));
    let json = r#"{"a 1.23": [0.5, -12e-3], "b": "7.5"}"#;
    assert_eq!(written(json).collect::<Vec<_>>(), ["0.5", "-12e-3"]);
}
