//! A sentence that knows where it names the feature that it is about: what is said of several can be compared, and told
//! of all of them at once.

use std::fmt;
use std::ops::{Deref, Range};

use serde::{Serialize, Serializer};

/// A sentence about a feature.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sentence {
    text: String,
    /// Where its feature's name is, with its quotes.
    names: Vec<Range<usize>>,
}

impl Sentence {
    /// Its text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Whether it says of its feature what another one says of its own.
    #[must_use]
    pub fn is_alike(&self, other: &Self) -> bool {
        self.around().eq(other.around())
    }

    /// Its feature, as it is named in it; `None` where it is not.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.names.first().map(|name| &self.text[name.clone()])
    }

    /// The same of several features.
    #[must_use]
    pub fn of_all(&self, names: &[&str]) -> String {
        self.around().collect::<Vec<_>>().join(&names.join(", "))
    }

    /// The text before, between and after the names.
    fn around(&self) -> impl Iterator<Item = &str> {
        let starts = std::iter::once(0).chain(self.names.iter().map(|name| name.end));
        let ends = self.names.iter().map(|name| name.start).chain([self.text.len()]);
        starts.zip(ends).map(|(start, end)| &self.text[start..end])
    }

    pub(super) fn say(&mut self, words: &str) {
        self.text.push_str(words);
    }

    pub(super) fn say_name(&mut self, name: &str) {
        let start = self.text.len();
        self.text.push_str(name);
        self.names.push(start..self.text.len());
    }

    pub(super) fn go_on(&mut self, clause: &Self) {
        let before = self.text.len();
        self.text.push_str(&clause.text);
        self.names.extend(clause.names.iter().map(|name| name.start + before..name.end + before));
    }

    /// Findings are single sentences without a full stop, whatever the pack's writer did.
    pub(super) fn without_stop(mut self) -> Self {
        self.text.truncate(self.text.trim_end().trim_end_matches('.').len());
        let blanks = self.text.len() - self.text.trim_start().len();
        self.text.drain(..blanks);
        for name in &mut self.names {
            *name = name.start - blanks..name.end - blanks;
        }
        self
    }
}

impl Deref for Sentence {
    type Target = str;

    fn deref(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

/// A sentence that names no feature.
impl From<String> for Sentence {
    fn from(text: String) -> Self {
        Self { text, names: Vec::new() }
    }
}

impl From<Sentence> for String {
    fn from(sentence: Sentence) -> Self {
        sentence.text
    }
}

impl Serialize for Sentence {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::Sentence;

    fn of(name: &str) -> Sentence {
        let mut sentence = Sentence::default();
        sentence.say(" hold ");
        sentence.say_name(name);
        let mut more = Sentence::default();
        more.say("; ");
        more.say_name(name);
        more.say(" is thin. ");
        sentence.go_on(&more);
        sentence.without_stop()
    }

    #[test]
    fn what_is_said_of_one_can_be_said_of_all() {
        let (one, other) = (of("`a`"), of("`clip.lower`"));
        assert_eq!(one.to_string(), "hold `a`; `a` is thin");
        assert!(one != other && one.is_alike(&other));
        let names: Vec<&str> = [&one, &other].into_iter().filter_map(Sentence::name).collect();
        assert_eq!(one.of_all(&names), "hold `a`, `clip.lower`; `a`, `clip.lower` is thin");
    }

    #[test]
    fn what_names_no_feature_is_alike_where_it_reads_the_same() {
        let said = |text: &str| Sentence::from(text.to_owned());
        assert!(said("`a` is thin").is_alike(&said("`a` is thin")) && !said("`a` is thin").is_alike(&of("`a`")));
        assert_eq!(said("`a` is thin").name(), None);
    }
}
