//! A text's words.

use std::borrow::Cow;

/// A text's words and numbers in small letters; `230V` is two.
#[must_use]
pub fn words(text: &str) -> Vec<String> {
    words_as_written(&lower(text)).map(str::to_ascii_lowercase).collect()
}

/// The last of a text's words.
#[must_use]
pub fn last_word(text: &str) -> Option<String> {
    words_as_written(&lower(text)).last().map(str::to_ascii_lowercase)
}

/// What is no more than ASCII is made small word by word.
fn lower(text: &str) -> Cow<'_, str> {
    if text.is_ascii() { Cow::Borrowed(text) } else { Cow::Owned(text.to_lowercase()) }
}

fn words_as_written(text: &str) -> impl Iterator<Item = &str> {
    let kind = |sign: char| if sign.is_numeric() { Some(true) } else { sign.is_alphabetic().then_some(false) };
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
    use super::words;

    #[test]
    fn a_text_is_taken_apart_at_what_is_no_letter_and_before_and_after_numbers() {
        assert_eq!(words("Baby's 230V gas-tap"), ["baby", "s", "230", "v", "gas", "tap"]);
        assert_eq!(words("Türgriff ÄHRE, 5m²"), ["türgriff", "ähre", "5", "m", "²"]);
        assert_eq!(words(" … "), [""; 0]);
    }
}
