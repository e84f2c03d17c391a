//! A sheet in its tidy form: indentation, spacing and aligned values. Comments, blank lines, the
//! author's order and every word stay.

use crate::source::{LINE_ENDS, usual_line_end, whole_lines};

/// The tidy form of a sheet's text. The text must be free of syntax faults.
///
/// Idempotent, and the tree of the result equals the tree of the text.
#[must_use]
pub fn tidy(text: &str) -> String {
    let ending = usual_line_end(text);
    let (mark, text) = match text.strip_prefix('\u{feff}') {
        Some(rest) => ("\u{feff}", rest),
        None => ("", text),
    };
    let mut depth = 0;
    let mut lines: Vec<Line> =
        whole_lines(text).map(|raw| Line::read(raw.trim_end_matches(LINE_ENDS), &mut depth)).collect();
    while lines.last().is_some_and(Line::is_blank) {
        lines.pop();
    }
    align_values(&mut lines);
    align_comments(&mut lines);
    let mut out = String::with_capacity(text.len() + 64);
    out.push_str(mark);
    for line in &lines {
        line.write(&mut out);
        out.push_str(ending);
    }
    out
}

/// A line taken apart.
#[derive(Debug, Default)]
struct Line {
    depth: usize,
    code: String,
    comment: String,
    /// Spaces between code and comment.
    gap: usize,
    /// A field on a line of its own: bytes of its first word.
    field: Option<usize>,
}

impl Line {
    fn read(raw: &str, depth: &mut usize) -> Self {
        let mut line = Self::default();
        let (mut opened, mut closed_first) = (0_isize, false);
        let mut in_text = false;
        let mut characters = raw.char_indices().peekable();
        while let Some((at, c)) = characters.next() {
            if in_text {
                line.code.push(c);
                if c == '\\' {
                    line.code.extend(characters.next().map(|(_, next)| next));
                }
                in_text = c != '"';
                continue;
            }
            match c {
                '#' => {
                    raw[at..].trim_end().clone_into(&mut line.comment);
                    break;
                }
                '"' => {
                    in_text = true;
                    line.code.push(c);
                }
                ' ' | '\t' => line.space(),
                '{' => {
                    opened += 1;
                    line.space();
                    line.code.push_str("{ ");
                }
                '}' => {
                    closed_first |= line.code.trim().is_empty();
                    opened -= 1;
                    line.space();
                    line.code.push_str("} ");
                }
                ';' | ',' => {
                    line.trim();
                    line.code.push(c);
                    line.code.push(' ');
                }
                _ => line.code.push(c),
            }
        }
        line.trim();
        line.depth = depth.saturating_sub(usize::from(closed_first));
        *depth = depth.saturating_add_signed(opened);
        line.field = line.field_word();
        line.gap = 2;
        line
    }

    fn space(&mut self) {
        if !self.code.is_empty() && !self.code.ends_with(' ') {
            self.code.push(' ');
        }
    }

    fn trim(&mut self) {
        self.code.truncate(self.code.trim_end_matches(' ').len());
    }

    fn is_blank(&self) -> bool {
        self.code.is_empty() && self.comment.is_empty()
    }

    /// The length of the first word, where the line is one `word value` inside a block.
    fn field_word(&self) -> Option<usize> {
        let (word, value) = self.code.split_once(' ')?;
        let plain = self.depth > 0 && word != "let" && !value.starts_with('=');
        let single = !self.code.contains(['{', '}', ';']) || value.starts_with('"');
        (plain && single && !self.code.ends_with('{')).then_some(word.len())
    }

    fn width(&self) -> usize {
        2 * self.depth + self.code.chars().count()
    }

    fn write(&self, out: &mut String) {
        if self.is_blank() {
            return;
        }
        out.extend(std::iter::repeat_n(' ', 2 * self.depth));
        out.push_str(&self.code);
        if !self.code.is_empty() && !self.comment.is_empty() {
            out.extend(std::iter::repeat_n(' ', self.gap));
        }
        out.push_str(&self.comment);
    }
}

/// Puts the values of fields on neighbouring lines of one block under each other.
fn align_values(lines: &mut [Line]) {
    let together = |a: &Line, b: &Line| a.field.is_some() && b.field.is_some() && a.depth == b.depth;
    for group in lines.chunk_by_mut(together) {
        let widest = group.iter().filter_map(|line| Some(line.code[..line.field?].chars().count())).max();
        for line in group {
            if let (Some(word), Some(widest)) = (line.field, widest) {
                let missing = widest - line.code[..word].chars().count();
                line.code.insert_str(word, &" ".repeat(missing));
            }
        }
    }
}

/// Puts the comments after neighbouring lines under each other.
fn align_comments(lines: &mut [Line]) {
    let has = |line: &Line| !line.code.is_empty() && !line.comment.is_empty();
    for group in lines.chunk_by_mut(|a, b| has(a) && has(b)) {
        let widest = group.iter().map(Line::width).max().unwrap_or_default();
        for line in group.iter_mut() {
            line.gap = widest - line.width() + 2;
        }
    }
}
