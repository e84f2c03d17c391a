//! A YAML text without one of its entries, every other byte at its place. YAML 1.2.2, section 5.4: a line ends with a
//! line feed, a carriage return, or both.

use crate::source::{LINE_ENDS, whole_lines};

/// The text with the entry that begins at a byte blanked out; `None` where no entry begins there.
pub(super) fn without_entry(text: &str, start: usize) -> Option<String> {
    let (before, rest) = (text.get(..start)?, text.get(start..)?);
    let line = before.rsplit(LINE_ENDS).next().unwrap_or_default();
    let in_braces = before.trim_end().ends_with(['{', ',']);
    let length = if in_braces { up_to_comma(rest) } else { block(rest, line.chars().count()) };
    if length < 2 {
        return None;
    }
    let kept = |byte: char| if LINE_ENDS.contains(&byte) { byte } else { ' ' };
    let mut blanked: String = rest[..length].bytes().map(|byte| kept(byte.into())).collect();
    // A mapping that loses its only entry stays one.
    if !in_braces && is_alone(before, line, &rest[length..]) {
        blanked.replace_range(..2, "{}");
    }
    Some([before, &blanked, &rest[length..]].concat())
}

/// How long an entry is whose key begins in a column: its line, and those after it that are further in.
fn block(rest: &str, column: usize) -> usize {
    let mut length = 0;
    for (index, line) in whole_lines(rest).enumerate() {
        // A list may begin in its key's own column.
        let is_inner =
            indent(line).is_none_or(|inner| inner > column || inner == column && line.trim_start().starts_with("- "));
        if index > 0 && !is_inner {
            break;
        }
        length += line.len();
    }
    length
}

/// How far in a line begins; `None` where nothing is on it, or a comment.
fn indent(line: &str) -> Option<usize> {
    let inner = line.trim_start();
    (!inner.is_empty() && !inner.starts_with('#')).then(|| line.chars().count() - inner.chars().count())
}

/// Whether the entry between two texts, which begins after so much of its line, is the only one of its mapping.
fn is_alone(before: &str, line: &str, after: &str) -> bool {
    let column = line.chars().count();
    let is_outer = |found: Option<usize>| found.is_none_or(|found| found < column);
    let earlier = whole_lines(&before[..before.len() - line.len()]);
    let is_first = line.trim_start().starts_with('-') || is_outer(earlier.filter_map(indent).last());
    is_first && is_outer(whole_lines(after).find_map(indent))
}

/// How long an entry in braces is, the comma after it included; quotes and inner brackets are passed over.
fn up_to_comma(rest: &str) -> usize {
    let (mut depth, mut quote) = (0_usize, None);
    for (at, c) in rest.char_indices() {
        match (quote, c) {
            (Some(open), _) => quote = quote.filter(|_| open != c),
            (None, '"' | '\'') => quote = Some(c),
            (None, '{' | '[') => depth += 1,
            (None, '}' | ']') if depth == 0 => return at,
            (None, '}' | ']') => depth -= 1,
            (None, ',') if depth == 0 => return at + 1,
            _ => {}
        }
    }
    rest.len()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop where it fails")]
mod tests {
    use super::without_entry;

    #[test]
    fn an_entry_goes_and_all_else_stays_where_it_was() {
        for (text, key, rest) in [
            ("a: 1\nbad: 2\nc: 3\n", "bad", "a: 1\n      \nc: 3\n"),
            ("a:\n  bad:\n    x: 1\n\n    y: 2\n  c: 3\n", "bad", "a:\n      \n        \n\n        \n  c: 3\n"),
            ("a:\n  bad: 1\nc: 3\n", "bad", "a:\n  {}    \nc: 3\n"),
            ("bad:\n- x\n- y\nc: 3\n", "bad", "    \n   \n   \nc: 3\n"),
            ("bad: 1\n", "bad", "{}    \n"),
            ("a: {bad: {x: '}', y: [1, 2]}, c: 3}\n", "bad", "a: {                          c: 3}\n"),
            ("a: {c: 3, bad: 1}\n", "bad", "a: {c: 3,       }\n"),
            ("a:\n  - bad: 1\n  - c: 3\n", "bad", "a:\n  - {}    \n  - c: 3\n"),
            ("a: {\n  bad: 1,\n  c: 3\n}\n", "bad", "a: {\n         \n  c: 3\n}\n"),
            ("a: 1\nbad: 2\n", "bad", "a: 1\n      \n"),
        ] {
            for end in ["\n", "\r\n", "\r"] {
                let [text, rest] = [text, rest].map(|text| text.replace('\n', end));
                let without = without_entry(&text, text.find(key).unwrap()).unwrap();
                assert_eq!(without, rest);
                serde_yaml::from_str::<serde::de::IgnoredAny>(&without).unwrap();
            }
        }
    }
}
