//! Test results in XML, as most servers of continuous integration read them: a suite a sheet, a case a finding.

use std::fmt::Write;

use super::{Checked, Record, State, Told};
use crate::report::xml::escaped;

/// A suite for each sheet. What fails the run is a failure, what is permitted is skipped, and milder findings are passed
/// cases with their message as output; a sheet without any is one passed case.
#[must_use]
pub fn junit(told: &Told) -> String {
    let mut suites = String::new();
    let (mut tests, mut failures, mut errors) = (0, 0, 0);
    for sheet in told.all() {
        let counted = suite(told, sheet, &mut suites);
        tests += counted.0;
        failures += counted.1;
    }
    for unreadable in told.unreadable {
        let (path, message) = (escaped(&unreadable.path), escaped(&unreadable.message));
        // Writing to a text cannot fail.
        let _ = write!(
            suites,
            "<testsuite name=\"{path}\" tests=\"1\" failures=\"0\" errors=\"1\" skipped=\"0\">\n\
             <testcase name=\"read\" classname=\"{path}\"><error message=\"{message}\"/></testcase>\n</testsuite>\n"
        );
        tests += 1;
        errors += 1;
    }
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <testsuites name=\"dryfit\" tests=\"{tests}\" failures=\"{failures}\" errors=\"{errors}\">\n{suites}</testsuites>\n"
    )
}

/// Writes a sheet's suite: how many cases it has, and how many of them fail.
fn suite(told: &Told, sheet: &Checked, out: &mut String) -> (usize, usize) {
    let path = escaped(&sheet.path);
    let reported = |record: &&Record| record.shown && !(record.is_open() && record.state == State::Known);
    let records: Vec<&Record> = sheet.records.iter().filter(reported).collect();
    let failures = records.iter().filter(|record| told.fails(record)).count();
    let skipped = records.iter().filter(|record| !record.is_open()).count();
    let tests = records.len().max(1);
    // Writing to a text cannot fail.
    let _ = writeln!(
        out,
        "<testsuite name=\"{path}\" tests=\"{tests}\" failures=\"{failures}\" errors=\"0\" skipped=\"{skipped}\">"
    );
    if records.is_empty() {
        let _ = writeln!(out, "<testcase name=\"inspect\" classname=\"{path}\"/>");
    }
    for record in records {
        let name = escaped(&record.name());
        let _ = writeln!(
            out,
            "<testcase name=\"{name}\" classname=\"{path}\" file=\"{}\" line=\"{}\">{}</testcase>",
            escaped(&record.at.path),
            record.at.range.line,
            result(told, record)
        );
    }
    out.push_str("</testsuite>\n");
    (tests, failures)
}

fn result(told: &Told, record: &Record) -> String {
    let message = escaped(&record.message);
    let place = format!("{}:{}:{}", record.at.path, record.at.range.line, record.at.range.column);
    let mut details = format!("{place}: {}: {}", record.level, record.message);
    if let Some(help) = &record.help {
        // Writing to a text cannot fail.
        let _ = write!(details, "\n{help}");
    }
    let details = escaped(&details);
    match &record.permitted {
        Some(reason) => format!("<skipped message=\"permitted: {}\"/>", escaped(reason)),
        None if told.fails(record) => {
            format!("<failure type=\"{}\" message=\"{message}\">{details}</failure>", record.level)
        }
        None => format!("<system-out>{details}</system-out>"),
    }
}
