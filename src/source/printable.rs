//! What of a text must not reach a terminal.

use std::borrow::Cow;

/// Whether a character can rewrite a terminal, turn the direction of writing, or break a line where
/// editors show none.
#[must_use]
pub fn is_misleading(c: char) -> bool {
    let turns = matches!(c, '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{206f}');
    let breaks = matches!(c, '\u{2028}' | '\u{2029}');
    turns || breaks || matches!(c, '\u{e0000}'..='\u{e007f}') || (c.is_control() && c != '\t')
}

/// Whether a character must not be printed: the misleading ones, and those without a width. The
/// joiners that some scripts and signs are written with are left alone.
#[must_use]
pub fn is_unprintable(c: char) -> bool {
    let hidden = matches!(c,
        '\u{00ad}' | '\u{115f}' | '\u{1160}' | '\u{180e}' | '\u{200b}' | '\u{2060}'..='\u{2065}' | '\u{3164}'
        | '\u{feff}' | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}');
    hidden || is_misleading(c)
}

/// A text that is safe to print on one line or more: unprintable characters become question marks,
/// as many as they had bytes, so that places stay where they are. A carriage return stays only at
/// the end of a line: elsewhere it would let the rest overwrite what is before it.
#[must_use]
pub fn printable(text: &str) -> Cow<'_, str> {
    // Most texts are plain, which bytes tell sooner than letters.
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~' | b'\n')) {
        return Cow::Borrowed(text);
    }
    let ends_line = |at: usize| text.as_bytes().get(at + 1).is_none_or(|next| *next == b'\n');
    let bad = |at: usize, c: char| is_unprintable(c) && c != '\n' && !(c == '\r' && ends_line(at));
    if !text.char_indices().any(|(at, c)| bad(at, c)) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        if bad(at, c) {
            shown.extend(std::iter::repeat_n('?', c.len_utf8()));
        } else {
            shown.push(c);
        }
    }
    Cow::Owned(shown)
}

/// A text that is safe to print in the middle of a line: as [`printable`], without line ends.
#[must_use]
pub fn printable_line(text: &str) -> Cow<'_, str> {
    let shown = printable(text);
    if shown.contains(['\n', '\r']) { Cow::Owned(shown.replace(['\n', '\r'], "?")) } else { shown }
}
