//! Annotations by the workflow commands of GitHub Actions: `::error file=…,line=…::message`.

use std::fmt::Write;

use super::{Record, Told};
use crate::rules::Level;
use crate::source::printable;

/// A line for each finding that is new and not permitted: errors, warnings and notices. Columns count in characters.
#[must_use]
pub fn github(told: &Told) -> String {
    let mut out = String::new();
    let open = |record: &&Record| record.shown && record.is_open() && record.state != super::State::Known;
    for record in told.all().flat_map(|sheet| &sheet.records).filter(open) {
        let command = match record.level {
            Level::Stop => "error",
            Level::Care => "warning",
            Level::Note => "notice",
        };
        let at = &record.at;
        // Where it goes over several lines, columns are of no use to the reader.
        let columns = if at.range.line == at.range.end_line {
            format!(",col={},endColumn={}", at.range.column, at.range.end_column)
        } else {
            String::new()
        };
        let message = match &record.help {
            Some(help) => format!("{}\n{help}", record.message),
            None => record.message.clone(),
        };
        // Writing to a text cannot fail.
        let _ = writeln!(
            out,
            "::{command} file={},line={},endLine={}{columns},title={}::{}",
            property(&at.path),
            at.range.line,
            at.range.end_line,
            property(&record.name()),
            data(&message)
        );
    }
    for unreadable in told.unreadable {
        let _ = writeln!(out, "::error file={}::{}", property(&unreadable.path), data(&unreadable.message));
    }
    out
}

/// What must not end a message or start a command in it, nor rewrite the log that shows it.
fn data(text: &str) -> String {
    printable(text).replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}
