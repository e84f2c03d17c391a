//! The line up to the cursor, which need not be finished, and what it is in.

use crate::source::LINE_ENDS;

/// A block that is open there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Open<'t> {
    pub(super) word: &'t str,
    /// What follows its word: its name, where it has one.
    pub(super) name: &'t str,
}

#[derive(Debug)]
pub(super) struct Half<'t> {
    /// The statement so far.
    pub(super) words: &'t str,
    /// The blocks around it, outer first.
    pub(super) blocks: Vec<Open<'t>>,
    /// The words that the innermost block begins its statements with already.
    pub(super) given: Vec<&'t str>,
    pub(super) byte: usize,
}

impl<'t> Half<'t> {
    /// The statement that a byte is in, by braces, line ends and `;`; `None` in a comment.
    pub(super) fn at(text: &'t str, byte: usize) -> Option<Self> {
        let mut blocks = vec![(Open { word: "", name: "" }, Vec::new())];
        let (mut from, mut quoted, mut comment) = (0, false, false);
        for (at, character) in text[..byte].char_indices() {
            let ends = LINE_ENDS.contains(&character) || matches!(character, ';' | '{' | '}') && !(quoted || comment);
            if ends {
                let mut words = text[from..at].split_whitespace();
                let (word, name) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
                if let (false, Some((_, given))) = (word.is_empty(), blocks.last_mut()) {
                    given.push(word);
                }
                match character {
                    '{' => blocks.push((Open { word, name }, Vec::new())),
                    '}' if blocks.len() > 1 => drop(blocks.pop()),
                    _ => {}
                }
                (from, quoted, comment) = (at + character.len_utf8(), false, false);
            } else if character == '"' && !comment {
                quoted = !quoted;
            } else if character == '#' && !quoted {
                comment = true;
            }
        }
        if comment {
            return None;
        }
        let given = blocks.last().map(|(_, given)| given.clone()).unwrap_or_default();
        Some(Self {
            words: &text[from..byte],
            blocks: blocks.into_iter().skip(1).map(|(block, _)| block).collect(),
            given,
            byte,
        })
    }

    /// The paths of the blocks around it, inner first.
    pub(super) fn around(&self) -> Vec<String> {
        let names: Vec<&str> = self.blocks.iter().map(|block| block.name).collect();
        (1..=names.len()).rev().map(|count| names[..count].join(".")).collect()
    }
}

/// What is written after a head: the words that are finished, and the one that is not; a text in quotes is one word.
pub(super) fn words(rest: &str) -> (Vec<&str>, &str) {
    let (mut found, mut from, mut quoted) = (Vec::new(), 0, false);
    for (at, character) in rest.char_indices() {
        quoted ^= character == '"';
        if character.is_whitespace() && !quoted {
            found.push(&rest[from..at]);
            from = at + character.len_utf8();
        }
    }
    found.retain(|word| !word.is_empty());
    (found, &rest[from..])
}

/// What follows so many words.
pub(super) fn after(rest: &str, count: usize) -> &str {
    let past_one = |rest: &'_ str| rest.find(char::is_whitespace).map_or(rest.len(), |end| end);
    (0..count).fold(rest, |rest, _| rest[past_one(rest)..].trim_start())
}

/// Whether a value goes on with a unit: it ends with a number, after which there are letters at most.
pub(super) fn wants_unit(rest: &str) -> bool {
    let number = rest.trim_end_matches(|c: char| c.is_alphabetic() || c == '%').trim_end();
    let word = number.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
    word.len() < number.len() && !word.ends_with(|c: char| c.is_alphanumeric() || matches!(c, '-' | '_'))
        || word.len() < number.len() && word.ends_with(" -")
}

/// Whether a value is whole so far: it ends with a unit or a name, and a blank, after which there are letters at most.
pub(super) fn is_whole(rest: &str) -> bool {
    let rest = rest.trim_end_matches(char::is_alphabetic);
    rest.ends_with(' ') && rest.trim_end().ends_with(|c: char| c.is_alphabetic() || matches!(c, '%' | ')'))
}
