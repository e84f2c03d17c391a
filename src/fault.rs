//! What is wrong with a text before any rule can look at it: the reader's own findings.

use crate::source::Span;

/// A located fault in a sheet or a pack. Its `name` has an entry in `rules/`, like a rule's.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Fault {
    /// The entry in the rules that explains this kind of fault.
    pub name: &'static str,
    /// Where.
    pub at: Span,
    /// What is wrong, in the sheet's words.
    pub message: String,
    /// A short text for the place itself.
    pub label: String,
    /// Other places that belong to it.
    pub others: Vec<(Span, String)>,
    /// The way out.
    pub help: Option<Help>,
}

/// A way out: in words, and as an exchange of words where it is one.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Help {
    /// In words.
    pub words: String,
    /// What was written and what was meant by it.
    pub meant: Option<Meant>,
}

/// A word that is not known, and the known one that is nearest to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Meant {
    /// As written.
    pub word: String,
    /// What to write instead.
    pub instead: String,
}

impl From<String> for Help {
    fn from(words: String) -> Self {
        Self { words, meant: None }
    }
}

impl From<&str> for Help {
    fn from(words: &str) -> Self {
        words.to_owned().into()
    }
}

impl Help {
    /// The same, with more words behind.
    #[must_use]
    pub fn and(mut self, words: &str) -> Self {
        self.words = format!("{} {words}", self.words);
        self
    }
}

impl std::fmt::Display for Help {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.words)
    }
}

impl Fault {
    /// A fault of the named kind at a place.
    #[must_use]
    pub fn new(name: &'static str, at: Span, message: impl Into<String>) -> Self {
        Self { name, at, message: message.into(), label: "here".into(), others: Vec::new(), help: None }
    }

    /// What stands beside the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Another place that belongs to the fault.
    #[must_use]
    pub fn also(mut self, at: Span, label: impl Into<String>) -> Self {
        self.others.push((at, label.into()));
        self
    }

    /// The way out.
    #[must_use]
    pub fn help(mut self, help: impl Into<Help>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The way out, where one is known.
    #[must_use]
    pub fn maybe_help(mut self, help: Option<impl Into<Help>>) -> Self {
        self.help = help.map(Into::into);
        self
    }
}

/// The candidate nearest to a mistyped word, if one is near enough to be meant: few letters apart, or
/// the only one that begins like it.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.len() > LONGEST {
        return None;
    }
    let small = word.to_lowercase().replace('_', "-");
    let limit = (word.chars().count() / 3).clamp(1, 3);
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
        if distance <= limit && near.is_none_or(|known| (distance, candidate) < known) {
            near = Some((distance, candidate));
        }
        let shorter = small.len().min(candidate.len());
        let alike = shorter >= BEGINNING && (candidate.starts_with(&small) || small.starts_with(candidate));
        if alike && begins != Some(candidate) {
            begins = Some(candidate);
            beginning += 1;
        }
    }
    near.map(|(_, candidate)| candidate).or(begins.filter(|_| beginning == 1))
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
    Help { words, meant: Some(Meant { word: word.to_owned(), instead: instead.to_owned() }) }
}
