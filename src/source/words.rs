//! A text's words.

use std::borrow::Cow;
use std::ops::Range;

/// A text's words and numbers in small letters; `230V` is two.
#[must_use]
pub fn words(text: &str) -> Vec<String> {
    words_as_written(&lower(text)).map(str::to_ascii_lowercase).collect()
}

/// Where the last of a text's words is.
#[must_use]
pub fn last_word(text: &str) -> Option<Range<usize>> {
    let up_to_it = text.trim_end_matches(|sign| kind(sign).is_none());
    let of = kind(up_to_it.chars().next_back()?);
    let before = up_to_it.trim_end_matches(|sign| kind(sign) == of);
    Some(before.len()..up_to_it.len())
}

/// What is no more than ASCII is made small word by word.
fn lower(text: &str) -> Cow<'_, str> {
    if text.is_ascii() { Cow::Borrowed(text) } else { Cow::Owned(text.to_lowercase()) }
}

/// Whether a sign is of a number; `None` where it is of no word either.
fn kind(sign: char) -> Option<bool> {
    if sign.is_numeric() { Some(true) } else { sign.is_alphabetic().then_some(false) }
}

fn words_as_written(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    let next = move || {
        let of = kind(rest.chars().next()?);
        let (word, after) = rest.split_at(rest.find(|sign| kind(sign) != of).unwrap_or(rest.len()));
        rest = after;
        Some((of.is_some(), word))
    };
    std::iter::from_fn(next).filter(|(is_word, _)| *is_word).map(|(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::{last_word, words};

    #[test]
    fn a_text_is_taken_apart_at_what_is_no_letter_and_before_and_after_numbers() {
        assert_eq!(words("Baby's 230V gas-tap"), ["baby", "s", "230", "v", "gas", "tap"]);
        assert_eq!(words("Türgriff ÄHRE, 5m²"), ["türgriff", "ähre", "5", "m", "²"]);
        assert_eq!(words(" … "), [""; 0]);
    }

    #[test]
    fn the_last_word_is_the_last_of_the_words() {
        for text in ["baby's 230v gas-tap", "türgriff ähre, 5m²", "hot*", "230v", "a", " … ", ""] {
            assert_eq!(last_word(text).map(|at| &text[at]), words(text).last().map(String::as_str), "{text}");
        }
    }
}
