//! Braces that were forgotten or are one too many, found by how the lines are indented.
//!
//! A block that lacks its brace swallows what follows it, and only the outermost block is left open
//! at the end. Where the indentation tells which block it was, the text is read as if the brace were
//! right, so that one slip gives one message.

use super::depth::marks;
use super::explain;
use crate::fault::{Fault, TextFault};
use crate::origin::Origin;
use crate::source::{Source, SourceId};

/// A text with its braces put right, and what was wrong with them.
pub(super) struct Mended {
    /// The text as it is read.
    pub(super) source: Source,
    /// Where its bytes are in the text as it was written.
    pub(super) origin: Origin,
    /// One for each brace that was put right.
    pub(super) faults: Vec<Fault>,
}

/// A brace that is open while the lines go by.
#[derive(Clone, Copy)]
struct Open {
    at: usize,
    line: usize,
    indent: usize,
    /// Whether a line in it stood deeper than its own: only then does indentation tell anything.
    deeper: bool,
    /// Whether it is not written, but the lines that follow stand deeper as if it were.
    guessed: bool,
}

/// What the lines say about the braces.
#[derive(Default)]
struct Guess {
    /// Blocks that lack their brace: where they open, where their brace belongs, the line that gave them away.
    lacking: Vec<(usize, usize, usize)>,
    /// Braces that close nothing that the indentation knows of.
    extra: Vec<usize>,
    /// Where a brace is missing that something closes.
    unopened: Vec<usize>,
    /// Braces that close nothing.
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
        (0, _) => without_stray(source, id),
        (_, 0) => with_lacking(source, id),
        _ => None,
    }
}

fn with_lacking(source: &Source, id: SourceId) -> Option<Mended> {
    let guess = Lines::new(source, true).guess();
    if guess.lacking.is_empty() || guess.stray > 0 {
        return None;
    }
    let edits: Vec<(usize, usize, &str)> = guess.lacking.iter().map(|(_, to, _)| (*to, *to, "}")).collect();
    let faults = guess.lacking.iter().map(|(open, _, line)| explain::lacks_brace(source, id, *open, *line));
    Some(Mended { faults: faults.collect(), ..edited(source, &edits)? })
}

fn without_stray(source: &Source, id: SourceId) -> Option<Mended> {
    let guess = Lines::new(source, false).guess();
    if guess.stray > 0 || guess.unclosed > 0 {
        return None;
    }
    let mut edits: Vec<(usize, usize, &str)> = guess.extra.iter().map(|at| (*at, at + 1, " ")).collect();
    edits.extend(guess.unopened.iter().map(|at| match source.text.as_bytes().get(at - 1) {
        Some(b'(' | b'[') => (at - 1, *at, "{"),
        _ => (*at, *at, "{"),
    }));
    edits.sort_unstable();
    let extra = guess.extra.iter().map(|at| TextFault::StrayBrace {}.at(id.span(*at..*at + 1)));
    let faults = extra.chain(guess.unopened.iter().map(|at| explain::unopened(source, id, *at)));
    Some(Mended { faults: faults.collect(), ..edited(source, &edits)? })
}

/// The text with single bytes put in or exchanged.
fn edited(source: &Source, edits: &[(usize, usize, &str)]) -> Option<Mended> {
    let mut text = String::with_capacity(source.text.len() + edits.len());
    let mut from = 0;
    for (start, end, instead) in edits {
        text.push_str(source.text.get(from..*start)?);
        text.push_str(instead);
        from = *end;
    }
    text.push_str(source.text.get(from..)?);
    let inserted: Vec<usize> = edits.iter().filter(|(start, end, _)| start == end).map(|(start, ..)| *start).collect();
    let origin = Origin::with_inserted(source.text.len(), &inserted);
    Some(Mended { source: Source::new("", text), origin, faults: Vec::new() })
}

/// The lines of a text on their way past, with the blocks that are open.
struct Lines<'s> {
    source: &'s Source,
    for_lacking: bool,
    guess: Guess,
    open: Vec<Open>,
    /// What the last line of code closed that an earlier line had opened, and where.
    closed: Vec<(usize, Open)>,
    /// One past the last byte that is neither blank nor comment, on the lines before.
    code_end: usize,
    /// The last line of code and how far in it began.
    last: Option<(usize, usize)>,
}

impl<'s> Lines<'s> {
    fn new(source: &'s Source, for_lacking: bool) -> Self {
        let guess = Guess::default();
        Self { source, for_lacking, guess, open: Vec::new(), closed: Vec::new(), code_end: 0, last: None }
    }

    fn guess(mut self) -> Guess {
        let bytes = self.source.text.as_bytes();
        let mut marks = marks(bytes).peekable();
        let starts = self.source.line_starts();
        for (line, start) in starts.iter().map(|start| *start as usize).enumerate() {
            let end = starts.get(line + 1).map_or(bytes.len(), |next| *next as usize);
            let blank = bytes[start..end].iter().position(|byte| !byte.is_ascii_whitespace());
            let first = start + blank.unwrap_or(end - start);
            let is_code = first < end && bytes[first] != b'#';
            let indent = width(&bytes[start..first]);
            if is_code {
                self.begin(line, first, indent, bytes[first] == b'}');
            }
            let mut comment = end;
            while let Some((at, byte)) = marks.next_if(|(at, _)| *at < end) {
                match byte {
                    b'{' => self.open.push(Open { at, line, indent, deeper: false, guessed: false }),
                    b'}' => self.close(at, line, indent),
                    b'#' => comment = at,
                    _ => {}
                }
            }
            if is_code {
                let code = bytes[start..comment].iter().rposition(|byte| !byte.is_ascii_whitespace());
                self.code_end = code.map_or(self.code_end, |last| start + last + 1);
                self.last = Some((line, indent));
            }
        }
        self.guess.unclosed = self.open.iter().filter(|open| !open.guessed).count();
        self.guess
    }

    /// What the beginning of a line of code tells.
    fn begin(&mut self, line: usize, first: usize, indent: usize, closes: bool) {
        if self.for_lacking {
            while let Some(top) = self.open.last().filter(|top| top.line < line && self.gives_away(top, indent, closes))
            {
                self.guess.lacking.push((top.at, self.code_end, first));
                self.open.pop();
            }
        } else {
            self.restore(indent);
            // A guess that nothing closed was none.
            while self.open.last().is_some_and(|top| top.guessed && !closes && indent <= top.indent) {
                self.open.pop();
            }
            if let Some((last, before)) = self.last
                && indent > before
                && !closes
                && self.open.last().is_none_or(|top| top.line < last)
            {
                self.open.push(Open { at: self.code_end, line: last, indent: before, deeper: true, guessed: true });
            }
        }
        self.closed.clear();
        if let Some(top) = self.open.last_mut().filter(|top| top.line < line) {
            top.deeper |= indent > top.indent && !closes;
        }
    }

    /// Opens again what the line before closed, where this one stands as if inside it.
    fn restore(&mut self, indent: usize) {
        let wrong = |(_, open): &(usize, Open)| !open.guessed && open.deeper && open.indent < indent;
        for (at, open) in self.closed.iter().rev().filter(|closed| wrong(closed)) {
            self.open.push(*open);
            self.guess.extra.push(*at);
        }
    }

    fn close(&mut self, at: usize, line: usize, indent: usize) {
        // A guessed brace is closed by one that stands as far in as its line, or not at all.
        while self.open.last().is_some_and(|top| top.guessed && (indent != top.indent || top.line == line)) {
            self.open.pop();
        }
        match self.open.pop() {
            Some(open) if open.guessed => self.guess.unopened.push(open.at),
            Some(open) if open.line < line => self.closed.push((at, open)),
            Some(_) => {}
            None => self.guess.stray += 1,
        }
    }

    /// Whether a line cannot stand inside the innermost block, by its indentation.
    fn gives_away(&self, top: &Open, indent: usize, closes: bool) -> bool {
        let outer = &self.open[..self.open.len().saturating_sub(1)];
        // The blocks around stand ever less deep: the search ends soon.
        let mut around = outer.iter().rev().take_while(|open| open.indent >= indent);
        if closes {
            // Of the block that it belongs to, or of this one, a line stood deeper.
            indent < top.indent && around.any(|open| open.indent == indent && (top.deeper || open.deeper))
        } else {
            top.deeper && indent <= top.indent
        }
    }
}

/// How far in a line begins; a tab goes to the next multiple of four.
fn width(blank: &[u8]) -> usize {
    blank.iter().fold(0, |width, byte| if *byte == b'\t' { (width / 4 + 1) * 4 } else { width + 1 })
}
