//! The one place that reads YAML.

mod blank;

use std::borrow::Cow;

use serde::de::DeserializeOwned;
use serde_yaml::{DefaultMessageFormatter, Error, MessageFormatter};

use crate::fault::{Fault, PackFault, near};
use crate::source::{Source, SourceId};

/// Bytes in one pack file.
pub(super) const FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Unknown keys of one file that are told: each costs a reading of the file.
const UNKNOWN_KEYS: usize = 50;

/// What the reader expected, as it names it.
const ENTRIES: &str = "mapping start";
const LIST: &str = "sequence start";
const FLAG: &str = "boolean";

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
        let code = code(&error);
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
fn place(error: &Error, source: &Source) -> usize {
    let Some(place) = error.location() else { return 0 };
    if let Some(byte) = place.span().byte_offset() {
        return usize::try_from(byte).unwrap_or(0);
    }
    let whole = |number: u64| usize::try_from(number).unwrap_or(0).saturating_sub(1);
    let (line, column) = (whole(place.line()), whole(place.column()));
    let start = source.line_starts().get(line).map_or(source.text.len(), |start| *start as usize);
    start + source.line(line).chars().take(column).map(char::len_utf8).sum::<usize>()
}

/// What the reader's error is in our own codes: it speaks to programmers. Only what no code is for keeps its words.
fn code(error: &Error) -> PackFault {
    match error {
        Error::WithSnippet { error, .. } | Error::AliasError { error, .. } => code(error),
        Error::DuplicateMappingKey { key: Some(key), .. } => PackFault::KeyTwice { key: key.clone() },
        Error::SerdeUnknownField { field, expected, .. } => PackFault::UnknownKey {
            key: field.clone(),
            known: expected.iter().map(|&known| known.into()).collect(),
            near: near(field, expected.iter().copied()),
        },
        Error::Unexpected { expected: ENTRIES, .. } => PackFault::ExpectedEntries {},
        Error::Unexpected { expected: LIST, .. } => PackFault::ExpectedList {},
        Error::InvalidScalar { ty: FLAG, .. } => PackFault::ExpectedFlag {},
        Error::NullIntoString { .. } => PackFault::MissingValue {},
        Error::Budget { .. }
        | Error::AliasReplayLimitExceeded { .. }
        | Error::AliasExpansionLimitExceeded { .. }
        | Error::AliasReplayStackDepthExceeded { .. } => PackFault::LargeFile {},
        other => PackFault::Unreadable { why: DefaultMessageFormatter.format_message(other).into() },
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop where it fails")]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code, reason = "read for its faults only")]
    struct Shape {
        title: Option<String>,
        rows: Option<Vec<String>>,
        flag: Option<bool>,
        inner: Option<std::collections::BTreeMap<String, String>>,
    }

    /// Holds the words by which the reader says what it expected.
    #[test]
    fn what_the_reader_says_is_known_by_its_data() {
        for (text, is_expected) in [
            ("title: a\ntitle: b\n", (|code| matches!(code, PackFault::KeyTwice { .. })) as fn(&PackFault) -> bool),
            ("titel: a\n", |code| matches!(code, PackFault::UnknownKey { near: Some(near), .. } if near == "title")),
            ("hello\n", |code| matches!(code, PackFault::ExpectedEntries {})),
            ("inner: 3\n", |code| matches!(code, PackFault::ExpectedEntries {})),
            ("rows: 3\n", |code| matches!(code, PackFault::ExpectedList {})),
            ("flag: perhaps\n", |code| matches!(code, PackFault::ExpectedFlag {})),
            ("inner: {a: }\n", |code| matches!(code, PackFault::MissingValue {})),
            ("rows:\n\t- a\n", |code| matches!(code, PackFault::Unreadable { why } if why.contains("tab"))),
        ] {
            let error = serde_yaml::from_str::<Shape>(text).unwrap_err();
            assert!(is_expected(&code(&error)), "{text}: {:?}", code(&error));
        }
    }
}
