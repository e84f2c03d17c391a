//! Braces that were forgotten or are one too many, found by how the lines are indented.
//!
//! A block that lacks its brace swallows what follows it, and only the outermost block is left open
//! at the end. Where the indentation tells which block it was, the text is read as if the brace were
//! right, so that one slip gives one message.

use super::depth::marks;
use super::explain;
use crate::fault::Fault;
use crate::origin::Origin;
use crate::source::{Source, SourceId};

/// A text with its braces put right, and what was wrong with them.
pub(super) struct Mended {
    /// The text as it is read.
    pub(super) source: Source,
    /// Where its bytes stand in the text as it was written.
    pub(super) origin: Origin,
    /// One for each brace that was put right.
    pub(super) faults: Vec<Fault>,
}

/// A brace that is open while the lines go by.
struct Open {
    at: usize,
    line: usize,
    indent: usize,
    /// Whether a line in it stood deeper than its own: only then does indentation tell anything.
    deeper: bool,
}

/// What the lines say about the braces.
#[derive(Default)]
struct Guess {
    /// Blocks that lack their brace: where they open, where their brace belongs, the line that gave them away.
    lacking: Vec<(usize, usize, usize)>,
    /// Braces that close nothing that the indentation knows of.
    extra: Vec<usize>,
    /// Braces that close nothing at all.
    stray: usize,
    /// Blocks that are open at the end.
    unclosed: usize,
}

/// The text with its braces put right, if they are wrong and the indentation tells how.
pub(super) fn mend(source: &Source, id: SourceId) -> Option<Mended> {
    let (mut depth, mut stray) = (0_usize, 0_usize);
    for (_, byte) in marks(source.text.as_bytes()) {
        match byte {
            b'{' => depth += 1,
            b'}' if depth == 0 => stray += 1,
            b'}' => depth -= 1,
            _ => {}
        }
    }
    match (depth, stray) {
        (0, 0) => None,
        (0, _) => without_extra(source, id),
        (_, 0) => with_lacking(source, id),
        _ => None,
    }
}

fn with_lacking(source: &Source, id: SourceId) -> Option<Mended> {
    let guess = guess(source, true);
    if guess.lacking.is_empty() || guess.stray > 0 {
        return None;
    }
    let mut text = String::with_capacity(source.text.len() + guess.lacking.len());
    let mut from = 0;
    for (_, to, _) in &guess.lacking {
        text.push_str(source.text.get(from..*to)?);
        text.push('}');
        from = *to;
    }
    text.push_str(source.text.get(from..)?);
    let places: Vec<usize> = guess.lacking.iter().map(|(_, to, _)| *to).collect();
    let faults = guess.lacking.iter().map(|(open, _, line)| explain::lacks_brace(source, id, *open, *line));
    let faults = faults.collect();
    Some(Mended { source: Source::new("", text), origin: Origin::with_inserted(source.text.len(), &places), faults })
}

fn without_extra(source: &Source, id: SourceId) -> Option<Mended> {
    let guess = guess(source, false);
    if guess.extra.is_empty() || guess.stray > 0 || guess.unclosed > 0 {
        return None;
    }
    let mut text = source.text.clone();
    for at in &guess.extra {
        text.replace_range(*at..*at + 1, " ");
    }
    let faults = guess.extra.iter().map(|at| explain::stray_brace(id.span(*at..*at + 1))).collect();
    Some(Mended { source: Source::new("", text), origin: Origin::default(), faults })
}

/// Goes through the lines with the open blocks at hand; looks for what lacks, or else for what is too many.
fn guess(source: &Source, for_lacking: bool) -> Guess {
    let text = source.text.as_str();
    let bytes = text.as_bytes();
    let mut guess = Guess::default();
    let mut open: Vec<Open> = Vec::new();
    let mut marks = marks(bytes).peekable();
    // One past the last byte that is neither blank nor comment, on the lines before.
    let mut code_end = 0;
    for (line, start) in source.line_starts().iter().map(|start| *start as usize).enumerate() {
        let end = source.line_starts().get(line + 1).map_or(text.len(), |next| *next as usize);
        let first =
            start + bytes[start..end].iter().position(|byte| !byte.is_ascii_whitespace()).unwrap_or(end - start);
        let mut comment = end;
        if first < end && bytes[first] != b'#' {
            let indent = width(&bytes[start..first]);
            let closes = bytes[first] == b'}';
            if for_lacking {
                while let Some(top) =
                    open.last().filter(|top| top.line < line && gives_away(&open, top, indent, closes))
                {
                    guess.lacking.push((top.at, code_end, first));
                    open.pop();
                }
            }
            if let Some(top) = open.last_mut().filter(|top| top.line < line) {
                top.deeper |= indent > top.indent && !closes;
            }
            while let Some((at, byte)) = marks.next_if(|(at, _)| *at < end) {
                match byte {
                    b'{' => open.push(Open { at, line, indent, deeper: false }),
                    b'}' => {
                        let known = |open: &Open| open.line < line && open.deeper && indent > open.indent;
                        if !for_lacking && at == first && open.last().is_some_and(known) {
                            guess.extra.push(at);
                        } else if open.pop().is_none() {
                            guess.stray += 1;
                        }
                    }
                    b'#' => comment = at,
                    _ => {}
                }
            }
        } else {
            while marks.next_if(|(at, _)| *at < end).is_some() {}
            comment = start;
        }
        let code = &bytes[start..comment];
        if let Some(last) = code.iter().rposition(|byte| !byte.is_ascii_whitespace()) {
            code_end = start + last + 1;
        }
    }
    guess.unclosed = open.len();
    guess
}

/// Whether a line cannot stand inside the innermost block, by its indentation.
fn gives_away(open: &[Open], top: &Open, indent: usize, closes: bool) -> bool {
    let outer = &open[..open.len().saturating_sub(1)];
    // The blocks around stand ever deeper: the search ends soon.
    let closes_outer = || outer.iter().rev().take_while(|open| open.indent >= indent).any(|open| open.indent == indent);
    top.deeper && if closes { indent < top.indent && closes_outer() } else { indent <= top.indent }
}

/// How far in a line begins; a tab goes to the next multiple of four.
fn width(blank: &[u8]) -> usize {
    blank.iter().fold(0, |width, byte| if *byte == b'\t' { (width / 4 + 1) * 4 } else { width + 1 })
}
