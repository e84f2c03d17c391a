//! The one place that reads YAML.

mod blank;

use std::borrow::Cow;

use serde::de::DeserializeOwned;

use crate::fault::{Fault, PackFault, near};
use crate::source::{Source, SourceId};

/// Bytes in one pack file.
pub(super) const FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Unknown keys of one file that are told: each costs a reading of the file.
const UNKNOWN_KEYS: usize = 50;

/// What a YAML text holds, and what is wrong with it, each fault at its place. Unknown keys are passed over, so that all of
/// them are told; anything else ends the reading, as in text that is no YAML or in alias bombs.
pub(super) fn read<T: DeserializeOwned>(source: &Source, id: SourceId) -> (Option<T>, Vec<Fault>) {
    let mut faults = Vec::new();
    let mut text = Cow::Borrowed(source.text.as_ref());
    loop {
        let error = match serde_yaml::from_str(&text) {
            Ok(read) => return (Some(read), faults),
            Err(error) => error,
        };
        let code = advice(&message(&error));
        let start = place(&error, source).min(source.text.len());
        let rest = source.text.get(start..).unwrap_or_default();
        let PackFault::UnknownKey { key, .. } = &code else {
            // After the first, only what cannot come of a key that was passed over.
            if faults.is_empty() || matches!(code, PackFault::ExpectedList {} | PackFault::ExpectedFlag {}) {
                faults.push(code.at(id.span(start..start + shown(rest))));
            }
            return (None, faults);
        };
        let length = if rest.starts_with(key.as_str()) { key.len() } else { shown(rest) };
        faults.push(code.at(id.span(start..start + length)));
        match blank::without_entry(&text, start) {
            Some(without) if faults.len() < UNKNOWN_KEYS => text = Cow::Owned(without),
            _ => return (None, faults),
        }
    }
}

/// How much of a text, up to the end of its line, a fault points at.
fn shown(rest: &str) -> usize {
    let end = rest.find(['\n', '\r']).unwrap_or(rest.len()).min(60);
    (0..=end).rev().find(|end| rest.is_char_boundary(*end)).unwrap_or(0)
}
/// The byte that an error is about: known for values, else worked out from its line and column.
fn place(error: &serde_yaml::Error, source: &Source) -> usize {
    let Some(place) = error.location() else { return 0 };
    if let Some(byte) = place.span().byte_offset() {
        return usize::try_from(byte).unwrap_or(0);
    }
    let whole = |number: u64| usize::try_from(number).unwrap_or(0).saturating_sub(1);
    let (line, column) = (whole(place.line()), whole(place.column()));
    let start = source.line_starts().get(line).map_or(source.text.len(), |start| *start as usize);
    start + source.line(line).chars().take(column).map(char::len_utf8).sum::<usize>()
}

/// The reader's own message without its drawing of the source, which the report draws itself.
fn message(error: &serde_yaml::Error) -> String {
    let text = error.without_snippet().to_string();
    let first = text.lines().next().unwrap_or_default();
    let words = first.split(" at line ").next().unwrap_or(first);
    words.trim_start_matches("error: ").to_owned()
}

/// What the reader means: it speaks to programmers.
fn advice(message: &str) -> PackFault {
    if let Some((key, _)) = message.strip_prefix("duplicate mapping key: ").and_then(|rest| rest.split_once(", set")) {
        return PackFault::KeyTwice { key: key.into() };
    }
    if let Some((key, known)) = message.strip_prefix("unknown field `").and_then(|rest| rest.split_once("`, expected "))
    {
        let known = known.trim_start_matches("one of ").replace('`', "");
        let near = near(key, known.split(", "));
        return PackFault::UnknownKey { key: key.into(), known, near };
    }
    match message {
        "expected mapping start" => PackFault::ExpectedEntries {},
        "expected sequence start" => PackFault::ExpectedList {},
        "invalid boolean" => PackFault::ExpectedFlag {},
        _ if message.starts_with("cannot deserialize null") => PackFault::MissingValue {},
        _ if message.starts_with("budget breached") => PackFault::LargeFile {},
        _ => PackFault::Unreadable { why: message.into() },
    }
}
