//! What is wrong with a text before any rule can look at it: the reader's own findings.
//!
//! Each is a [`Code`] with its data. An area's file has the codes of the area with their words, one entry a code; adding a
//! fault touches that file, and the place where the fault arises.

mod beside;
mod code;
mod formula;
mod nearest;
mod note;
mod pack;
mod permit;
mod rule;
mod settings;
mod text;
mod value;
mod ways;
mod word;

pub use beside::Beside;
pub use code::{Code, all};
pub use formula::FormulaFault;
pub use nearest::{did_you_mean, exchange, meant, near, nearest, renamed};
pub use note::NoteFault;
pub use pack::PackFault;
pub use permit::{End, PermitFault};
pub use rule::RuleFault;
pub use settings::SettingsFault;
pub use text::{Holder, Next, TextFault};
pub use value::ValueFault;
pub use ways::{BareWay, Guess, HowTo, Lookup, MeetingWay, OwnWay, ReachBy, UnitWay, UnlikeWay};
pub use word::{Form, Meaning, Remedy, WordFault};

use crate::source::Span;

/// A located fault in a sheet or a pack. Its `name` has an entry in `rules/`, like a rule's.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Fault {
    /// The entry in the rules that explains this kind of fault.
    pub name: &'static str,
    /// Where.
    pub at: Span,
    /// What is wrong.
    pub code: Code,
    /// Other places that belong to it.
    pub others: Vec<(Span, Beside)>,
}

/// A fault in words.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Words {
    /// What is wrong, in the sheet's words.
    pub message: String,
    /// A short text for the place itself.
    pub label: String,
    /// The way out.
    pub help: Option<Help>,
}

impl Words {
    fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), label: "here".into(), help: None }
    }

    fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    fn help(mut self, help: impl Into<Help>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The way out where a word is nearly a known one; without such a one as it was.
    fn near(self, word: &str, near: Option<&String>) -> Self {
        match near {
            Some(near) => self.help(meant(word, near)),
            None => self,
        }
    }
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
#[non_exhaustive]
pub struct Meant {
    /// As written.
    pub word: String,
    /// What to write instead; nothing where the word is one too many.
    pub instead: String,
}

impl Meant {
    /// This word in the place of another; nothing where that is one too many.
    #[must_use]
    pub fn of(word: &str, instead: &str) -> Self {
        Self { word: word.to_owned(), instead: instead.to_owned() }
    }

    /// The same, where the word is plain to see.
    #[must_use]
    pub fn title(&self) -> String {
        if self.instead.is_empty() { self.in_words() } else { format!("write `{}`", self.instead) }
    }

    /// What to do, in words.
    #[must_use]
    pub fn in_words(&self) -> String {
        let Self { word, instead } = self;
        if instead.is_empty() {
            format!("take `{word}` out")
        } else {
            format!("write `{instead}` in place of `{word}`")
        }
    }
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
    /// The same, with more words after it.
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
    /// A fault of a code at a place.
    #[must_use]
    pub fn of(code: impl Into<Code>, at: Span) -> Self {
        let code = code.into();
        Self { name: code.name(), at, code, others: Vec::new() }
    }

    /// Another place that belongs to the fault.
    #[must_use]
    pub fn also(mut self, at: Span, beside: Beside) -> Self {
        self.others.push((at, beside));
        self
    }

    /// The fault in words.
    #[must_use]
    pub fn words(&self) -> Words {
        self.code.words()
    }

    /// Whether it is that a formula of the mechanics does not hold for what it was given.
    #[must_use]
    pub fn is_outside_formula(&self) -> bool {
        self.name == "outside-formula"
    }

    /// What is wrong, in the sheet's words.
    #[must_use]
    pub fn message(&self) -> String {
        self.words().message
    }
}
