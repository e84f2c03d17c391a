//! Texts that were read, and places in them.

mod lines;
mod printable;
mod words;

pub use lines::{LINE_ENDS, line_end, usual_line_end, whole_lines, with_line_feeds};
pub use printable::{is_misleading, is_unprintable, printable, printable_line};
pub use words::{last_word, words};

use std::path::PathBuf;
use std::sync::{Arc, OnceLock};

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A range of bytes in one of the texts of a [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// Which text.
    pub source: SourceId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The smallest span that covers both; both must lie in one text, otherwise `self` is returned.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        if self.source != other.source {
            return self;
        }
        Self { source: self.source, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// Whether another one lies in it.
    #[must_use]
    pub fn covers(self, other: Self) -> bool {
        self.source == other.source && self.start <= other.start && other.end <= self.end
    }

    /// The span's byte range.
    #[must_use]
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// Only formulas of the built-in pack are stored, as trees: nobody asks for places in them, which would take half of the
/// time that it takes to read them back.
impl Serialize for Span {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_unit()
    }
}

impl<'de> Deserialize<'de> for Span {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        <()>::deserialize(deserializer)?;
        Ok(SourceId::BUILT_IN.span(0..0))
    }
}

/// Names one text of a [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SourceId(pub u32);

impl SourceId {
    /// What comes with the program.
    pub const BUILT_IN: Self = Self(u32::MAX);

    /// The span of the given bytes of this text.
    #[must_use]
    pub fn span(self, range: std::ops::Range<usize>) -> Span {
        Span { source: self, start: offset(range.start), end: offset(range.end) }
    }
}

/// Texts are limited to a few megabytes when they are read, so an offset always fits.
pub(crate) fn offset(byte: usize) -> u32 {
    u32::try_from(byte).unwrap_or(u32::MAX)
}

/// One text with the name that it is reported under.
#[derive(Debug)]
pub struct Source {
    /// Name in reports: a path as the user gave it, or the name given to standard input.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// The full path of the file that it is, where it is one.
    pub path: Option<PathBuf>,
    line_starts: OnceLock<Vec<u32>>,
    /// Characters before every so many bytes.
    counted: OnceLock<Vec<usize>>,
}

/// A place as people count: lines and columns from 1, columns in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl Source {
    /// A text under a name.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
            path: None,
            line_starts: OnceLock::new(),
            counted: OnceLock::new(),
        }
    }

    /// The same, of the file at a full path.
    #[must_use]
    pub fn of_file(self, path: PathBuf) -> Self {
        Self { path: Some(path), ..self }
    }

    /// First byte of every line; made once, on first use. A line ends with a line feed, a carriage return, or both.
    pub fn line_starts(&self) -> &[u32] {
        self.line_starts.get_or_init(|| {
            let mut start = 0;
            let lines = whole_lines(&self.text).map(|line| {
                start += line.len();
                offset(start)
            });
            let ends = lines.filter(|end| self.text[..*end as usize].ends_with(LINE_ENDS));
            std::iter::once(0).chain(ends).collect()
        })
    }

    /// The text of a line, by its index from 0; empty past the end.
    #[must_use]
    pub fn line(&self, index: usize) -> &str {
        let starts = self.line_starts();
        let Some(start) = starts.get(index) else { return "" };
        let end = starts.get(index + 1).map_or(self.text.len(), |next| *next as usize);
        self.text.get(*start as usize..end).unwrap_or_default().trim_end_matches(LINE_ENDS)
    }

    /// Index of the line that holds a byte, from 0.
    #[must_use]
    pub fn line_of(&self, byte: u32) -> usize {
        self.line_starts().partition_point(|start| *start <= byte).saturating_sub(1)
    }

    /// Line and column of a byte; a byte past the end gives the end.
    #[must_use]
    pub fn place(&self, byte: u32) -> Place {
        let line = self.line_of(byte);
        let start = self.line_starts()[line] as usize;
        let end = (byte as usize).clamp(start, self.text.len());
        // A mark at the head of the file is no character of its first line.
        let mark = usize::from(line == 0 && end > 0 && self.text.starts_with('\u{feff}'));
        Place { line: line + 1, column: self.characters_before(end) - self.characters_before(start) - mark + 1 }
    }

    /// How many characters begin before a byte. Counted once in strides, so that many findings on
    /// one long line stay cheap.
    fn characters_before(&self, byte: usize) -> usize {
        const STRIDE: usize = 512;
        let begins = |bytes: &[u8]| bytes.iter().filter(|byte| **byte & 0xc0 != 0x80).count();
        let bytes = self.text.as_bytes();
        let counted = self.counted.get_or_init(|| {
            let strides = bytes.chunks(STRIDE).scan(0, |total, stride| {
                *total += begins(stride);
                Some(*total)
            });
            std::iter::once(0).chain(strides).collect()
        });
        let stride = byte / STRIDE;
        counted[stride] + begins(&bytes[stride * STRIDE..byte])
    }

    /// The text of a span; empty where the span does not fall on characters.
    #[must_use]
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.range()).unwrap_or_default()
    }
}

/// Every text of one run over one sheet: the sheet first, then what it uses.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    list: Vec<Arc<Source>>,
}

impl Sources {
    /// No texts yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a text and says how it is called from now on.
    pub fn add(&mut self, source: Source) -> SourceId {
        self.list.push(Arc::new(source));
        SourceId(offset(self.list.len() - 1))
    }

    /// The text of an id that this list gave out.
    ///
    /// # Panics
    /// With an id of another list.
    #[must_use]
    pub fn get(&self, id: SourceId) -> &Source {
        &self.list[id.0 as usize]
    }

    /// The text of an id, to keep.
    ///
    /// # Panics
    /// With an id of another list.
    #[must_use]
    pub fn share(&self, id: SourceId) -> Arc<Source> {
        Arc::clone(&self.list[id.0 as usize])
    }

    /// All texts, in the order of their ids.
    pub fn all(&self) -> impl Iterator<Item = &Source> {
        self.list.iter().map(|source| &**source)
    }

    /// The text of a span.
    #[must_use]
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.source).slice(span)
    }
}
