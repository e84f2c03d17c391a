//! The Static Analysis Results Interchange Format, version 2.1.0 (OASIS).

mod shape;

use std::collections::BTreeSet;
use std::fmt::Write;

use super::{Checked, FilePlace, Record, State, Told};
use crate::report::json::{Unreadable, result_json};
use crate::rules::{Level, Library, Rule};
use shape::{
    Artifact, Change, Configuration, Content, Driver, Fix, Invocation, Log, Notification, Physical, Place, Replacement,
    Reported, RuleText, Run, Spot, Suppression, Tool, Words,
};

/// The published schema.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";
/// The version of the fingerprints' recipe.
const FINGERPRINT: &str = "ruleFeatureOrdinal/v1";

/// The log of a run: results with fixes, suppressions for what is permitted, related places, and the texts of the rules
/// that found something. Files are named from the repository's folder; columns count in code points.
#[must_use]
pub fn sarif(told: &Told) -> String {
    let shown =
        || told.all().flat_map(|sheet| sheet.records.iter().filter(|record| record.shown).map(move |r| (sheet, r)));
    let named: BTreeSet<&str> = shown().map(|(_, record)| record.rule.as_str()).collect();
    let rules: Vec<&str> = named.into_iter().collect();
    let results = shown().map(|(sheet, record)| result(sheet, record, &rules, told.compared)).collect();
    let driver = Driver {
        name: "dryfit",
        semantic_version: env!("CARGO_PKG_VERSION"),
        short_description: Words { text: env!("CARGO_PKG_DESCRIPTION").into() },
        rules: rules.iter().map(|name| description(name, &told.libraries)).collect(),
    };
    let invocation = Invocation {
        execution_successful: told.unreadable.is_empty() && told.packs.is_none(),
        tool_execution_notifications: told.unreadable.iter().map(notification).collect(),
    };
    let run = Run { tool: Tool { driver }, invocations: vec![invocation], column_kind: "unicodeCodePoints", results };
    result_json(&Log { schema: SCHEMA, version: "2.1.0", runs: vec![run] })
}

fn result<'a>(sheet: &'a Checked, record: &'a Record, rules: &[&str], compared: bool) -> Reported<'a> {
    let related = |(index, (place, label)): (usize, &'a (FilePlace, String))| Spot {
        id: Some(index + 1),
        message: (!label.is_empty()).then(|| Words { text: label.as_str().into() }),
        physical_location: physical(place),
    };
    let suppression = |reason: &'a String| Suppression { kind: "inSource", status: "accepted", justification: reason };
    let state = match record.state {
        State::New => "new",
        State::Known => "unchanged",
        State::Worse => "updated",
    };
    Reported {
        rule_id: &record.rule,
        rule_index: rules.binary_search(&record.rule.as_str()).ok(),
        level: level(record.level),
        message: Words { text: told(record).into() },
        locations: vec![Spot { id: None, message: None, physical_location: physical(&record.at) }],
        related_locations: record.others.iter().enumerate().map(related).collect(),
        partial_fingerprints: [(FINGERPRINT, record.fingerprint.as_str())].into(),
        suppressions: record.permitted.iter().map(suppression).collect(),
        baseline_state: compared.then_some(state),
        rank: record.chance.map(|chance| (chance * 1e4).round() / 1e2),
        fixes: record.fixes.iter().map(|fix| self::fix(&sheet.path, fix)).collect(),
    }
}

/// The sentence, and the way out as another.
fn told(record: &Record) -> String {
    match &record.help {
        Some(help) => format!("{}. {}.", ended(&record.message), begun(ended(help))),
        None => format!("{}.", ended(&record.message)),
    }
}

fn ended(sentence: &str) -> &str {
    sentence.trim_end_matches(['.', ' '])
}

/// With a capital at its head, unless that is a name in quotes.
fn begun(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn fix<'a>(path: &str, fix: &'a super::Fix) -> Fix<'a> {
    let replacement = |(byte, bytes, text): &'a (usize, usize, String)| Replacement {
        deleted_region: shape::Bytes { byte_offset: *byte, byte_length: *bytes },
        inserted_content: Content { text },
    };
    let replacements = fix.changes.iter().map(replacement).collect();
    Fix {
        description: Words { text: fix.text.as_str().into() },
        artifact_changes: vec![Change { artifact_location: Artifact { uri: uri(path) }, replacements }],
    }
}

fn physical(place: &FilePlace) -> Physical {
    let range = &place.range;
    Physical {
        artifact_location: Artifact { uri: uri(&place.path) },
        region: Place {
            start_line: range.line,
            start_column: range.column,
            end_line: range.end_line,
            end_column: range.end_column,
            byte_offset: range.byte,
            byte_length: range.bytes,
        },
    }
}

fn description<'a>(name: &'a str, libraries: &[&'a Library]) -> RuleText<'a> {
    let rule = libraries.iter().find_map(|library| library.rule(name));
    let words = |text: &'a str| Words { text: text.trim().into() };
    let rule = |of: fn(&'a Rule) -> &'a str| rule.map(of).filter(|text| !text.trim().is_empty()).map(words);
    RuleText {
        id: name,
        short_description: rule(|rule| &rule.title),
        full_description: rule(|rule| &rule.why),
        help: Words { text: format!("`dryfit why {name}` explains it, with its formulas and sources.").into() },
        default_configuration: Configuration {
            level: libraries.iter().find_map(|library| library.rule(name)).map_or("error", |rule| level(rule.worst())),
        },
    }
}

fn notification(unreadable: &Unreadable) -> Notification<'_> {
    let artifact_location = Artifact { uri: uri(&unreadable.path) };
    Notification {
        level: "error",
        message: Words { text: format!("This file was not checked: {}.", ended(&unreadable.message)).into() },
        locations: vec![shape::Whole { physical_location: shape::File { artifact_location } }],
    }
}

fn level(level: Level) -> &'static str {
    match level {
        Level::Stop => "error",
        Level::Care => "warning",
        Level::Note => "note",
    }
}

/// A path as a relative reference (RFC 3986): all but letters, digits and `-._~/` in per cent.
fn uri(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            // Writing to a text cannot fail.
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}
