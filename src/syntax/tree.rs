//! What a sheet says, with the place of every token that matters.

mod expression;
mod seen;
mod value;

use serde::{Deserialize, Serialize};

pub use expression::{Comparator, Expr, ExprKind, Operator};
pub use seen::Seen;
pub use value::{Axis, Side, Value, ValueKind};

use crate::source::Span;

/// A sheet or the inside of a block: statements in the author's order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Body {
    /// Statements in order.
    pub statements: Vec<Statement>,
    /// The words of each line that could not be read: what it meant to say is not missing, and what
    /// it names is not unused.
    pub broken: Vec<Vec<String>>,
}

/// One statement.
#[derive(Debug, Clone, PartialEq)]
pub enum Statement {
    /// `let name = value`
    Let(Binding),
    /// `word values … like path { … }`
    Clause(Clause),
}

/// `let name = value`
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// The new name.
    pub name: Name,
    /// What it stands for.
    pub value: Value,
    /// The whole statement.
    pub span: Span,
}

/// A word with values, a source to copy and a block, each of which may be missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Clause {
    /// The first word: a block's kind or a field.
    pub head: Name,
    /// What follows it, in order.
    pub values: Vec<Value>,
    /// The feature to copy.
    pub like: Option<Path>,
    /// Along which axis the copy is the mirror image: 0 for x, 1 for y, 2 for z.
    pub mirrored: Option<usize>,
    /// The block in braces.
    pub body: Option<Body>,
    /// The statement without its block.
    pub span: Span,
}

/// A word.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Name {
    /// As written.
    pub text: String,
    /// Where.
    pub span: Span,
    /// What it was found to stand for.
    #[serde(skip)]
    pub seen: Seen,
}

impl Name {
    /// A word at a place.
    #[must_use]
    pub fn new(text: impl Into<String>, span: Span) -> Self {
        Self { text: text.into(), span, seen: Seen::default() }
    }
}

/// Words joined by dots.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Path {
    /// At least one.
    pub names: Vec<Name>,
    /// The whole path.
    pub span: Span,
}

impl Path {
    /// The path as one text, `clip.jaw.length`.
    #[must_use]
    pub fn text(&self) -> String {
        let names: Vec<&str> = self.names.iter().map(|name| name.text.as_str()).collect();
        names.join(".")
    }

    /// The word, if the path is a single one.
    #[must_use]
    pub fn word(&self) -> Option<&str> {
        match self.names.as_slice() {
            [only] => Some(&only.text),
            _ => None,
        }
    }
}
