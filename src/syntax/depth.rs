//! Nesting is limited before the parser sees the text, so that its stack use is too.

use super::limits::NESTING;
use super::text_end;
use crate::fault::{Fault, TextFault};
use crate::source::{Source, SourceId};

/// The first brace or parenthesis that lies deeper than the limit.
pub(super) fn check(source: &Source, id: SourceId) -> Option<Fault> {
    let mut depth = 0_usize;
    for (at, byte) in marks(source.text.as_bytes()) {
        match byte {
            b'{' | b'(' => {
                depth += 1;
                if depth > NESTING {
                    return Some(too_deep(id, at));
                }
            }
            b'}' | b')' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    None
}

/// The braces and parentheses of a text, and where its comments begin. Texts and comments are passed
/// over exactly as the grammar does.
pub(super) fn marks(bytes: &[u8]) -> impl Iterator<Item = (usize, u8)> + '_ {
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let (here, byte) = (at, *bytes.get(at)?);
            match byte {
                b'"' => at = text_end(bytes, at).unwrap_or_else(|| open_text_end(bytes, at)),
                b'#' => {
                    at = line_end(bytes, at);
                    return Some((here, byte));
                }
                b'{' | b'}' | b'(' | b')' => {
                    at += 1;
                    return Some((here, byte));
                }
                _ => at += 1,
            }
        }
    })
}

fn line_end(bytes: &[u8], from: usize) -> usize {
    let rest = bytes.get(from..).unwrap_or_default();
    from + rest.iter().position(|byte| matches!(byte, b'\n' | b'\r')).unwrap_or(rest.len())
}

/// A text without an end goes on to the end of its line, less the braces there.
fn open_text_end(bytes: &[u8], from: usize) -> usize {
    let end = line_end(bytes, from);
    let kept = bytes[from..end].iter().rposition(|byte| !matches!(byte, b'}' | b' ' | b'\t'));
    from + kept.map_or(1, |last| last + 1)
}

fn too_deep(id: SourceId, at: usize) -> Fault {
    TextFault::Nested { most: NESTING }.at(id.span(at..at + 1))
}
