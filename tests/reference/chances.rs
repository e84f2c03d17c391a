//! `chances.csv`, written by `chances.py`: exact distributions and a million draws.

use dryfit::inspect::inspect_text;
use dryfit::rules::Library;

const TABLE: &str = include_str!("chances.csv");

/// The chance that the only demand or stack of a sheet is reported with.
fn chance(sheet: &str) -> f64 {
    let inspection = inspect_text(&Library::built_in(), "test.dryfit", sheet);
    let is_asked = |rule: &str| rule == "broken-demand" || rule == "stack-limit";
    let found = inspection.findings.iter().find(|finding| is_asked(&finding.rule)).expect(sheet);
    found.margin.as_ref().and_then(|margin| margin.chance).expect(sheet)
}

#[test]
fn chances_are_those_of_exact_distributions_and_of_a_million_draws() {
    let mut reader = csv::Reader::from_reader(TABLE.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(!rows.is_empty(), "an empty table checks nothing");
    let mut misses = Vec::new();
    for row in &rows {
        let [name, given, asked] = [0, 1, 2].map(|column| &row[column]);
        let [expected, tolerance]: [f64; 2] = [3, 4].map(|column| row[column].parse().unwrap());
        let asked = if asked.starts_with("stack") { asked.to_owned() } else { format!("demand {asked} \"test\"") };
        let ours = chance(&format!("{given}\n{asked}\n"));
        println!("{name}: {ours:.6}, {expected} by {}", &row[5]);
        if (ours - expected).abs() > tolerance {
            misses.push(format!("{name}: {ours}, expected {expected} within {tolerance}"));
        }
    }
    assert!(misses.is_empty(), "{misses:#?}");
}
