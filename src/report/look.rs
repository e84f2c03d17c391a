//! How a report is laid out for whoever reads it: how wide, with or without colour, in which letters.

use std::borrow::Cow;

use crate::quantity::UNITS;
use crate::rules::{Level, Verdict};

/// The narrowest that a report is laid out for.
pub const NARROWEST: usize = 40;
/// The widest: longer lines are hard to follow.
pub const WIDEST: usize = 120;

/// Wider than any line.
const UNFOLDED: usize = 10_000;

/// The look of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Look {
    /// Columns, at least 40, at most [`WIDEST`].
    pub width: usize,
    /// Whether levels and pointers are coloured; nothing is said by colour alone.
    pub colour: bool,
    /// Whether only the letters of ASCII can be shown.
    pub ascii: bool,
}

impl Look {
    /// Without colour, in any letters.
    #[must_use]
    pub fn of_width(width: usize) -> Self {
        Self { width: width.clamp(NARROWEST, WIDEST), colour: false, ascii: false }
    }

    /// The same in colour.
    #[must_use]
    pub fn coloured(self) -> Self {
        Self { colour: true, ..self }
    }

    /// The same in the letters of ASCII.
    #[must_use]
    pub fn in_ascii(self) -> Self {
        Self { ascii: true, ..self }
    }

    /// The same where there is no terminal: no line folds.
    #[must_use]
    pub fn unfolded(self) -> Self {
        Self { width: UNFOLDED, ..self }
    }

    /// A text in the letters that can be shown.
    #[must_use]
    pub fn letters<'t>(&self, text: &'t str) -> Cow<'t, str> {
        if self.ascii { in_ascii(text) } else { text.into() }
    }

    /// What shows that something was left out.
    #[must_use]
    pub(super) fn gap(&self) -> &'static str {
        if self.ascii { "..." } else { "…" }
    }

    /// The word of a level, in its colour.
    pub(super) fn level(&self, level: Level) -> String {
        self.painted(&level.to_string(), colour_of(level))
    }

    /// A verdict, in the colour of its level.
    pub(super) fn verdict(&self, verdict: Verdict) -> String {
        let colour = match verdict {
            Verdict::NoGo => colour_of(Level::Stop),
            Verdict::GoWithCare => colour_of(Level::Care),
            Verdict::Go => 32,
        };
        self.painted(&verdict.to_string(), colour)
    }

    /// The text of a cell, in colour where it is the word of a level or a verdict.
    pub(super) fn word(&self, text: &str) -> String {
        match text {
            "stop" | "no-go" | "FAILS" => self.painted(text, colour_of(Level::Stop)),
            "care" | "go with care" => self.painted(text, colour_of(Level::Care)),
            "note" => self.painted(text, colour_of(Level::Note)),
            _ => text.to_owned(),
        }
    }

    fn painted(&self, words: &str, colour: u8) -> String {
        if self.colour { format!("\u{1b}[1;{colour}m{words}\u{1b}[0m") } else { words.to_owned() }
    }

    /// A text in lines that fit, the first beginning after `used` columns, the others after `indent` blanks.
    pub(crate) fn folded(&self, text: &str, used: usize, indent: usize) -> String {
        let room = |used: usize| self.width.saturating_sub(used).max(1);
        let text = self.letters(text);
        let (mut lines, mut left) = (vec![String::new()], room(used));
        for word in unbroken(&text) {
            let long = seen(&word);
            let last = lines.len() - 1;
            if lines[last].is_empty() {
                lines[last].push_str(&word);
                left = left.saturating_sub(long);
            } else if long < left {
                lines[last].push(' ');
                lines[last].push_str(&word);
                left -= long + 1;
            } else {
                left = room(indent).saturating_sub(long);
                lines.push(word);
            }
        }
        lines.join(&format!("\n{:indent$}", ""))
    }

    /// A text in lines that fit, all of them after so many blanks, with a line end.
    pub(crate) fn paragraph(&self, text: &str, indent: usize) -> String {
        format!("{:indent$}{}\n", "", self.folded(text, indent, indent))
    }
}

/// How many columns a word takes: what only changes the colour takes none.
fn seen(word: &str) -> usize {
    let mut in_escape = false;
    let is_seen = |c: char| {
        let was_in_escape = in_escape || c == '\u{1b}';
        in_escape = was_in_escape && c != 'm';
        !was_in_escape
    };
    word.chars().map(is_seen).filter(|is_seen| *is_seen).count()
}

/// Red, magenta and cyan can be read on light and on dark.
const fn colour_of(level: Level) -> u8 {
    match level {
        Level::Stop => 31,
        Level::Care => 35,
        Level::Note => 36,
    }
}

/// The words of a text, a number together with its sign and its unit.
pub(super) fn unbroken(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let unit = word.trim_end_matches([',', ';', ':', '.', ')', '`']);
        let is_unit = || UNITS.iter().any(|known| known.name == unit);
        match words.last_mut() {
            Some(before) if before.ends_with('±') || before.ends_with(|c: char| c.is_ascii_digit()) && is_unit() => {
                before.push(' ');
                before.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// A text in the letters of ASCII: what has no counterpart there becomes a question mark.
#[must_use]
pub fn in_ascii(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return text.into();
    }
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if c.is_ascii() => plain.push(c),
            '±' => plain.push_str("+-"),
            '…' => plain.push_str("..."),
            '×' => plain.push('x'),
            '·' => plain.push('*'),
            '–' | '—' | '−' => plain.push('-'),
            '’' | '‘' => plain.push('\''),
            '“' | '”' => plain.push('"'),
            '≤' => plain.push_str("<="),
            '≥' => plain.push_str(">="),
            'µ' | 'μ' => plain.push('u'),
            _ => plain.push('?'),
        }
    }
    plain.into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_folds_between_words_and_never_between_a_number_and_its_unit() {
        let look = Look::of_width(40);
        let folded = look.folded("a wall that is so thin as this one has 0.42 mm; it needs 0.8 mm at least", 4, 2);
        assert_eq!(folded, "a wall that is so thin as this one\n  has 0.42 mm; it needs 0.8 mm at least");
        assert_eq!(
            look.folded("of all of its limits it is over by 0.42 mm,", 0, 2),
            "of all of its limits it is over by\n  0.42 mm,"
        );
        assert_eq!(look.folded("", 4, 2), "");
    }

    #[test]
    fn what_ascii_lacks_is_replaced() {
        assert_eq!(in_ascii("8.06 mm ± 0.1 … löß"), "8.06 mm +- 0.1 ... l??");
    }
}
