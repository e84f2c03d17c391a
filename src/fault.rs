//! What is wrong with a text before any rule can look at it: the reader's own findings.

use crate::source::Span;

/// A located fault in a sheet or a pack. Its `name` has an entry in `rules/`, like a rule's.
#[derive(Debug, Clone, PartialEq)]
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
    pub help: Option<String>,
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
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The way out, where one is known.
    #[must_use]
    pub fn maybe_help(mut self, help: Option<String>) -> Self {
        self.help = help;
        self
    }
}

/// The candidate nearest to a mistyped word, if one is near enough to be meant.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let near = |candidate: &'a str| (strsim::damerau_levenshtein(word, candidate), candidate);
    let limit = (word.chars().count() / 3).clamp(1, 3);
    candidates.into_iter().map(near).filter(|(distance, _)| *distance <= limit).min().map(|(_, c)| c)
}

/// "did you mean" with the nearest candidate, if there is one.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    nearest(word, candidates).map(|candidate| format!("did you mean `{candidate}`?"))
}
