//! Texts in XML: drawings, pages and test results.

use crate::source::printable;

/// A text that can be between tags and in attributes: what cannot be printed is made visible, and line ends stay as they
/// are, which attributes would fold.
#[must_use]
pub(super) fn escaped(text: &str) -> String {
    let text = printable(text);
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' => out.push_str("&#10;"),
            '\r' => out.push_str("&#13;"),
            '\t' => out.push_str("&#9;"),
            // XML 1.0 has no place for these.
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}
