//! What a mistyped word was meant to be.

use std::cmp::Reverse;

use super::{Help, Meant};

/// The candidate nearest to a mistyped word, if one is near enough to be meant: few letters apart, or
/// the only one that begins like it or whose last word it is.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.len() > LONGEST {
        return None;
    }
    let small = word.to_lowercase().replace('_', "-");
    let letters = word.chars().count();
    // Any letter is one letter apart from any other.
    let limit = if letters == 1 { 0 } else { (letters / 3).clamp(1, 3) };
    let distance = |candidate: &str| match candidate.eq_ignore_ascii_case(&small) {
        true => 0,
        // Each letter has at most four bytes.
        false if candidate.len().abs_diff(word.len()) > 4 * limit => usize::MAX,
        false if small == word => strsim::damerau_levenshtein(word, candidate),
        false => strsim::damerau_levenshtein(word, candidate).min(strsim::damerau_levenshtein(&small, candidate)),
    };
    let (mut near, mut begins, mut beginning) = (None, None, 0);
    for candidate in candidates {
        let distance = distance(candidate);
        // Of several that are as near, the one that has most of what was written, then the one that begins like it for longest.
        let (begins_like, kept) = in_common(&small, candidate);
        let rank = (distance, Reverse(kept), Reverse(begins_like), candidate);
        if distance <= limit && near.is_none_or(|known| rank < known) {
            near = Some(rank);
        }
        let shorter = small.len().min(candidate.len());
        let ends = || candidate.strip_suffix(small.as_str()).is_some_and(|rest| rest.ends_with('-'));
        let alike = shorter >= BEGINNING && (candidate.starts_with(&small) || small.starts_with(candidate) || ends());
        if alike && begins != Some(candidate) {
            begins = Some(candidate);
            beginning += 1;
        }
    }
    near.map(|(.., candidate)| candidate).or(begins.filter(|_| beginning == 1))
}

/// With how many letters two words begin alike, and how many these are with those that they end alike in.
fn in_common(word: &str, other: &str) -> (usize, usize) {
    let alike = |(a, b): &(char, char)| a == b;
    let begins = word.chars().zip(other.chars()).take_while(alike).count();
    let rest = word.chars().count().min(other.chars().count()) - begins;
    let ends = word.chars().rev().zip(other.chars().rev()).take(rest).take_while(alike).count();
    (begins, begins + ends)
}

/// The same, to be kept.
pub fn near<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    nearest(word, candidates).map(str::to_owned)
}

/// What is longer, in bytes, is no mistyped word; comparing two such takes as long as both together squared.
const LONGEST: usize = 128;

/// Letters in common from which on a shortened word is taken for the long one.
const BEGINNING: usize = 3;

/// "did you mean" with the nearest candidate, if there is one.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<Help> {
    nearest(word, candidates).map(|candidate| meant(word, candidate))
}

/// The way out where one word is nearly another.
#[must_use]
pub fn meant(word: &str, instead: &str) -> Help {
    exchange(word, instead, format!("did you mean `{instead}`?"))
}

/// The way out where a word has become another.
#[must_use]
pub fn renamed(word: &str, instead: &str) -> Help {
    exchange(word, instead, format!("it is called `{instead}` now"))
}

/// The way out, in these words, where one word takes the place of another.
#[must_use]
pub fn exchange(word: &str, instead: &str, words: String) -> Help {
    Help { words, meant: Some(Meant::of(word, instead)) }
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn of_two_as_near_the_one_that_begins_alike_is_meant() {
        assert_eq!(nearest("lin", ["lid", "line", "pin"]), Some("line"));
        assert_eq!(nearest("arm", ["barm", "arms"]), Some("arms"));
        assert_eq!(nearest("surce", ["sure", "source"]), Some("source"), "a letter is left out sooner than put in");
        assert_eq!(nearest("arm", ["art", "arc"]), Some("arc"), "the alphabet, where they begin alike as well");
    }
}
