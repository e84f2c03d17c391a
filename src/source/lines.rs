//! What a line of a text is: whatever ends one in the grammar ends one where places are counted.

use std::borrow::Cow;

/// What ends a line, by itself or one after the other.
pub const LINE_ENDS: [char; 2] = ['\n', '\r'];

/// The lines of a text, each with what ends it: a line feed, a carriage return, or both.
pub fn whole_lines(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        let (line, after) =
            rest.split_at(rest.find(LINE_ENDS).map_or(rest.len(), |end| end + line_end(&rest[end..]).len()));
        rest = after;
        (!line.is_empty()).then_some(line)
    })
}

/// What ends a line at the beginning of a text; empty where it goes on.
#[must_use]
pub fn line_end(text: &str) -> &'static str {
    ["\r\n", "\n", "\r"].into_iter().find(|end| text.starts_with(end)).unwrap_or_default()
}

/// What ends the lines of a text, with which new ones are written.
#[must_use]
pub fn usual_line_end(text: &str) -> &'static str {
    ["\r\n", "\n", "\r"].into_iter().find(|end| text.contains(end)).unwrap_or("\n")
}

/// The same text to draw, byte for byte: a line feed in place of each carriage return that ends a line by itself.
#[must_use]
pub fn with_line_feeds(text: &str) -> Cow<'_, str> {
    if whole_lines(text).all(|line| !line.ends_with('\r')) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(whole_lines(text).fold(String::with_capacity(text.len()), |out, line| match line.strip_suffix('\r') {
        Some(line) => out + line + "\n",
        None => out + line,
    }))
}

#[cfg(test)]
mod tests {
    use super::{whole_lines, with_line_feeds};
    use crate::source::Source;

    const TEXT: &str = "one\r\ntwo\rØ three\n\r\rsix\r";

    #[test]
    fn a_line_ends_with_either_mark_or_both() {
        let lines: Vec<&str> = whole_lines(TEXT).collect();
        assert_eq!(lines, ["one\r\n", "two\r", "Ø three\n", "\r", "\r", "six\r"]);
        assert_eq!(with_line_feeds(TEXT), "one\r\ntwo\nØ three\n\n\nsix\n");
    }

    #[test]
    fn places_count_the_same_lines() {
        let source = Source::new("text", TEXT);
        let lines: Vec<&str> = (0..8).map(|index| source.line(index)).collect();
        assert_eq!(lines, ["one", "two", "Ø three", "", "", "six", "", ""]);
        let of = |byte: u32| {
            let place = source.place(byte);
            (place.line, place.column)
        };
        // Of `two`, of `three` and of `six`.
        assert_eq!([5, 12, 20].map(of), [(2, 1), (3, 3), (6, 1)]);
    }
}
