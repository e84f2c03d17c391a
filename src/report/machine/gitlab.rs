//! The code quality report of GitLab.

use serde::Serialize;

use super::{Record, Told};
use crate::report::json::result_json;
use crate::rules::Level;

#[derive(Serialize)]
struct Entry<'a> {
    description: &'a str,
    check_name: &'a str,
    fingerprint: &'a str,
    severity: &'static str,
    location: Location<'a>,
}

#[derive(Serialize)]
struct Location<'a> {
    path: &'a str,
    lines: Lines,
}

#[derive(Serialize)]
struct Lines {
    begin: usize,
}

/// A list of all findings that are not permitted: the reader compares the list with that of another branch.
#[must_use]
pub fn gitlab(told: &Told) -> String {
    let open = told.all().flat_map(|sheet| &sheet.records).filter(|record| record.shown && record.is_open());
    let mut entries: Vec<Entry> = open.map(entry).collect();
    entries.extend(told.unreadable.iter().map(|unreadable| Entry {
        description: &unreadable.message,
        check_name: "unreadable",
        fingerprint: &unreadable.path,
        severity: "blocker",
        location: Location { path: &unreadable.path, lines: Lines { begin: 1 } },
    }));
    result_json(&entries)
}

fn entry(record: &Record) -> Entry<'_> {
    Entry {
        description: &record.message,
        check_name: &record.rule,
        fingerprint: &record.fingerprint,
        severity: match record.level {
            Level::Stop => "critical",
            Level::Care => "minor",
            Level::Note => "info",
        },
        location: Location { path: &record.at.path, lines: Lines { begin: record.at.range.line } },
    }
}
