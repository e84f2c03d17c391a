//! Nesting is limited before the parser sees the text, so that its stack use is too.

use super::limits::NESTING;
use crate::fault::Fault;
use crate::source::{Source, SourceId};

/// The first brace or parenthesis that lies deeper than the limit.
pub(super) fn check(source: &Source, id: SourceId) -> Option<Fault> {
    let mut depth = 0_usize;
    let mut bytes = source.text.bytes().enumerate().peekable();
    let (mut in_text, mut in_comment) = (false, false);
    while let Some((at, byte)) = bytes.next() {
        match byte {
            b'\n' => (in_text, in_comment) = (false, false),
            b'\\' if in_text => _ = bytes.next_if(|(_, next)| *next != b'\n'),
            b'"' if !in_comment => in_text = !in_text,
            b'#' if !in_text => in_comment = true,
            b'{' | b'(' if !in_text && !in_comment => {
                depth += 1;
                if depth > NESTING {
                    return Some(too_deep(id, at));
                }
            }
            b'}' | b')' if !in_text && !in_comment => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    None
}

fn too_deep(id: SourceId, at: usize) -> Fault {
    Fault::new("too-deep", id.span(at..at + 1), format!("braces and parentheses are nested more than {NESTING} deep"))
        .label("this one is too deep")
        .help("a part sheet needs three or four levels; look for a brace that was never closed")
}
