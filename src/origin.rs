//! Where the bytes of a data file's scalar are in the file: quotes, escapes and folded lines come
//! between.

use std::ops::Range;

use crate::source::{LINE_ENDS, Source, whole_lines};

/// The place of each byte of a text in the file that it was read from.
#[derive(Debug, Clone, Default)]
pub struct Origin {
    base: usize,
    /// One for each byte and one for the end; empty where the text is in the file as it is.
    places: Vec<usize>,
}

impl Origin {
    /// The origin of a scalar's value; `at` is the scalar's first byte and length, `file` the file's
    /// text, where it is at hand.
    #[must_use]
    pub fn of(value: &str, at: Option<(u32, u32)>, file: Option<&Source>) -> Self {
        let (start, length) = at.map_or((0, 0), |(start, length)| (start as usize, length as usize));
        let Some(raw) = file.and_then(|file| file.text.get(start..start + length)) else {
            return Self { base: start, places: Vec::new() };
        };
        let quote = usize::from(raw.starts_with(['"', '\'']));
        if raw[quote..].starts_with(value) {
            return Self { base: start + quote, places: Vec::new() };
        }
        Self { base: start, places: matched(raw, value, start) }
    }

    /// The origin of a text of so many bytes into which single ones were put: before these bytes, in
    /// rising order.
    #[must_use]
    pub fn with_inserted(bytes: usize, inserted: &[usize]) -> Self {
        let mut places = Vec::with_capacity(bytes + inserted.len() + 1);
        let mut next = inserted.iter().peekable();
        for byte in 0..=bytes {
            while next.next_if(|at| **at == byte).is_some() {
                places.push(byte);
            }
            places.push(byte);
        }
        Self { base: 0, places }
    }

    /// The origin of the part that begins at a byte of the text.
    #[must_use]
    pub fn from(&self, byte: usize) -> Self {
        match self.places.get(byte..) {
            Some(places) if !places.is_empty() => Self { base: places[0], places: places.to_vec() },
            _ => Self { base: self.base + byte, places: Vec::new() },
        }
    }

    /// The byte of the file for a byte of the text.
    #[must_use]
    pub fn place(&self, byte: usize) -> usize {
        match (self.places.get(byte), self.places.last()) {
            (Some(place), _) => *place,
            (None, Some(end)) => *end,
            (None, None) => self.base + byte,
        }
    }

    /// The bytes of the file for bytes of the text.
    #[must_use]
    pub fn range(&self, bytes: Range<usize>) -> Range<usize> {
        let start = self.place(bytes.start);
        start..self.place(bytes.end).max(start)
    }
}

/// The place of each byte of the value: its character's next occurrence in the raw scalar. A
/// character that is written otherwise there, such as an escape by its code, stays with the one before.
fn matched(raw: &str, value: &str, start: usize) -> Vec<usize> {
    let mut places = Vec::with_capacity(value.len() + 1);
    // Quotes and the marks that announce a block of lines are no part of the value.
    let mut at = match raw.chars().next() {
        Some('"' | '\'') => 1,
        Some('|' | '>') => whole_lines(raw).next().map_or(0, str::len),
        _ => 0,
    };
    for c in value.chars() {
        // Whatever ends a line is a line feed in a value, or a blank where lines are folded.
        let wanted = |other: char| other == c || (matches!(c, ' ' | '\n') && LINE_ENDS.contains(&other));
        let near = raw[at..].char_indices().take(LOOKED_AT).find(|(_, other)| wanted(*other));
        let found = near.map_or(at, |(skipped, _)| at + skipped);
        places.extend((0..c.len_utf8()).map(|byte| start + found + byte));
        if let Some((_, other)) = near {
            at = found + other.len_utf8();
        }
    }
    places.push(start + at);
    places
}

/// Characters that can be between two of a value: an escape's mark, a line's indentation.
const LOOKED_AT: usize = 64;
