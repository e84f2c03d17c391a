//! Where something is in a text, as people and programs count.

use serde::Serialize;

use crate::source::{Sources, Span};

/// A stretch of a text: lines and columns count from 1, columns in characters, bytes from 0.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct TextRange {
    /// First line.
    pub line: usize,
    /// First column.
    pub column: usize,
    /// Last line.
    pub end_line: usize,
    /// One past the last column.
    pub end_column: usize,
    /// First byte.
    pub byte: u32,
    /// How many bytes.
    pub bytes: u32,
}

impl TextRange {
    /// Of a span in its text.
    pub(super) fn of(at: Span, sources: &Sources) -> Self {
        let source = sources.get(at.source);
        let (start, end) = (source.place(at.start), source.place(at.end));
        Self {
            line: start.line,
            column: start.column,
            end_line: end.line,
            end_column: end.column,
            byte: at.start,
            bytes: at.end.saturating_sub(at.start),
        }
    }
}
