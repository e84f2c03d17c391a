//! The one place that reads YAML.

use serde::de::DeserializeOwned;

use crate::fault::{Fault, Help, did_you_mean};
use crate::source::{Source, SourceId};

/// Bytes in one pack file.
pub(super) const FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Reads a YAML text; what is wrong with it becomes a fault at its place.
///
/// # Errors
/// Text that is no YAML, or not of the expected shape; alias bombs.
pub(super) fn read<T: DeserializeOwned>(source: &Source, id: SourceId) -> Result<T, Fault> {
    serde_yaml::from_str(&source.text).map_err(|error| {
        let start = place(&error, source).min(source.text.len());
        let rest = source.text.get(start..).unwrap_or_default();
        let end = rest.find(['\n', '\r']).unwrap_or(rest.len()).min(60);
        let end = (0..=end).rev().find(|end| rest.is_char_boundary(*end)).unwrap_or(0);
        let (message, help) = advice(&message(&error));
        Fault::new("broken-pack", id.span(start..start + end), message)
            .label("the file stops making sense here")
            .maybe_help(help)
    })
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

/// The reader speaks to programmers; its commonest messages in the words of somebody who writes a
/// pack, with the way out.
fn advice(message: &str) -> (String, Option<Help>) {
    let says = |message: &str, help: &str| (message.to_owned(), Some(help.into()));
    if let Some((key, _)) = message.strip_prefix("duplicate mapping key: ").and_then(|rest| rest.split_once(", set")) {
        return says(&format!("`{key}` is given twice"), "keep one of them, or put both together");
    }
    if let Some((field, known)) =
        message.strip_prefix("unknown field `").and_then(|rest| rest.split_once("`, expected "))
    {
        let known = known.trim_start_matches("one of ").replace('`', "");
        let near = did_you_mean(field, known.split(", "));
        return (format!("there is no `{field}` here"), near.or_else(|| Some(format!("there are {known}").into())));
    }
    match message {
        "expected mapping start" => says("expected entries here", "write each as `name: value`, indented alike"),
        "expected sequence start" => says("expected a list here", "write it as `[one, two]`"),
        "invalid boolean" => says("expected true or false here", "write `true` or `false`"),
        _ if message.starts_with("cannot deserialize null") => {
            says("a value is missing here", "write it behind the colon; quote it if it holds a comma or a colon")
        }
        _ if message.starts_with("budget breached") => {
            says("this file is larger than a pack may be, aliases included", "write out what it needs without aliases")
        }
        _ => (message.to_owned(), None),
    }
}
