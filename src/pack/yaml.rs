//! The one place that reads YAML.

use serde::de::DeserializeOwned;

use crate::fault::Fault;
use crate::source::{Source, SourceId};

/// Bytes in one pack file.
pub(super) const FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Reads a YAML text; what is wrong with it becomes a fault at its place.
///
/// # Errors
/// Text that is no YAML, or not of the expected shape; alias bombs.
pub(super) fn read<T: DeserializeOwned>(source: &Source, id: SourceId) -> Result<T, Fault> {
    serde_yaml::from_str(&source.text).map_err(|error| {
        let start = error.location().and_then(|place| {
            let byte = place.span().byte_offset();
            byte.and_then(|byte| usize::try_from(byte).ok())
        });
        let start = start.unwrap_or(0).min(source.text.len());
        let rest = source.text.get(start..).unwrap_or_default();
        let end = rest.find(['\n', '\r']).unwrap_or(rest.len()).min(60);
        let end = (0..=end).rev().find(|end| rest.is_char_boundary(*end)).unwrap_or(0);
        Fault::new("broken-pack", id.span(start..start + end), message(&error))
            .label("the file stops making sense here")
    })
}

/// The reader's own message without its drawing of the source, which the report draws itself.
fn message(error: &serde_yaml::Error) -> String {
    let text = error.without_snippet().to_string();
    let first = text.lines().next().unwrap_or_default();
    let words = first.split(" at line ").next().unwrap_or(first);
    words.trim_start_matches("error: ").to_owned()
}
