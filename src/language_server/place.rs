//! Places as an editor counts them: lines from 0, and within a line the units that both sides agreed on.

use std::ops::Range;

use serde::{Deserialize, Serialize};

/// What a line is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Encoding {
    Utf8,
    Utf16,
    Utf32,
}

impl Encoding {
    /// The one that is taken of those that a client offers; every client knows UTF-16.
    pub(super) fn of_offer(offered: &[String]) -> Self {
        let known = [("utf-8", Self::Utf8), ("utf-16", Self::Utf16), ("utf-32", Self::Utf32)];
        let taken = known.iter().find(|(name, _)| offered.iter().any(|one| one == name));
        taken.map_or(Self::Utf16, |(_, encoding)| *encoding)
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Utf8 => "utf-8",
            Self::Utf16 => "utf-16",
            Self::Utf32 => "utf-32",
        }
    }

    fn units(self, character: char) -> usize {
        match self {
            Self::Utf8 => character.len_utf8(),
            Self::Utf16 => character.len_utf16(),
            Self::Utf32 => 1,
        }
    }
}

/// A place as the protocol has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub(super) struct Position {
    pub(super) line: usize,
    pub(super) character: usize,
}

/// From one place to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Stretch {
    pub(super) start: Position,
    pub(super) end: Position,
}

/// A text with where its lines begin.
#[derive(Debug)]
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
    encoding: Encoding,
}

impl<'t> Lines<'t> {
    pub(super) fn of(text: &'t str, encoding: Encoding) -> Self {
        let bytes = text.as_bytes();
        let ends = |at: usize| bytes[at] == b'\n' || (bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
        let starts = std::iter::once(0).chain((0..bytes.len()).filter(|at| ends(*at)).map(|at| at + 1)).collect();
        Self { text, starts, encoding }
    }

    /// Where a byte is; one inside a character counts as the character's first.
    pub(super) fn position(&self, byte: usize) -> Position {
        let byte = (0..=byte.min(self.text.len())).rev().find(|byte| self.text.is_char_boundary(*byte)).unwrap_or(0);
        let line = self.starts.partition_point(|start| *start <= byte).saturating_sub(1);
        let before = &self.text[self.starts[line]..byte];
        Position { line, character: before.chars().map(|character| self.encoding.units(character)).sum() }
    }

    /// The byte of a place; past a line's end it is that end, past the text's end the end of that.
    pub(super) fn byte(&self, at: Position) -> usize {
        let Some(start) = self.starts.get(at.line) else { return self.text.len() };
        let mut left = at.character;
        for (byte, character) in self.text[*start..].char_indices() {
            let units = self.encoding.units(character);
            if left < units || matches!(character, '\n' | '\r') {
                return start + byte;
            }
            left -= units;
        }
        self.text.len()
    }

    pub(super) fn stretch(&self, bytes: Range<usize>) -> Stretch {
        Stretch { start: self.position(bytes.start), end: self.position(bytes.end) }
    }

    pub(super) fn bytes(&self, stretch: Stretch) -> Range<usize> {
        let start = self.byte(stretch.start);
        start..self.byte(stretch.end).max(start)
    }

    pub(super) fn line_of(&self, byte: usize) -> usize {
        self.position(byte).line
    }
}

#[cfg(test)]
mod tests {
    use super::{Encoding, Lines, Position};

    const TEXT: &str = "wall a { thickness 2 mm }\r\n# Ø𝔸é: width 3 mm\rlet x = 1\n";

    #[test]
    fn every_byte_comes_back_in_every_encoding() {
        for encoding in [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32] {
            let lines = Lines::of(TEXT, encoding);
            // What is before `\n` of a pair is the line's end for an editor.
            for (byte, character) in TEXT.char_indices().filter(|(_, character)| *character != '\n') {
                assert_eq!(lines.byte(lines.position(byte)), byte, "{character:?} in {encoding:?}");
            }
        }
    }

    #[test]
    fn characters_are_counted_in_the_units_agreed_on() {
        let width = TEXT.find("width").unwrap_or_default();
        for (encoding, units) in [(Encoding::Utf8, 12), (Encoding::Utf16, 8), (Encoding::Utf32, 7)] {
            assert_eq!(Lines::of(TEXT, encoding).position(width), Position { line: 1, character: units });
        }
    }

    #[test]
    fn what_lies_past_an_end_is_the_end() {
        let lines = Lines::of(TEXT, Encoding::Utf16);
        assert_eq!(lines.byte(Position { line: 0, character: 999 }), TEXT.find('\r').unwrap_or_default());
        assert_eq!(lines.byte(Position { line: 99, character: 0 }), TEXT.len());
    }
}
