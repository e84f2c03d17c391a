//! An expression or value in a data file, parsed when it is first needed.

use std::sync::OnceLock;

use super::schema::Text;
use super::{BUILT_IN, Words, built_in};
use crate::fault::Fault;
use crate::origin::Origin;
use crate::source::{Source, SourceId, Span};
use crate::syntax;
use crate::syntax::tree::{Expr, Value};

/// A one-line text of a data file that is read by the sheet's grammar.
#[derive(Debug, Clone)]
pub struct Formula {
    /// As written.
    pub text: Words,
    /// The file.
    source: SourceId,
    /// The byte of the file where each byte of the text stands.
    origin: Origin,
    /// Boxed, since a pack has thousands, of which a sheet needs few.
    expr: OnceLock<Box<Result<Expr, Fault>>>,
    value: OnceLock<Box<Result<Value, Fault>>>,
}

impl Formula {
    /// The formula of a scalar in a pack file; `file` is the file's text, where it is at hand.
    #[must_use]
    pub fn new(text: &Text, source: SourceId, file: Option<&Source>) -> Self {
        Self::part(text.value.clone(), source, Origin::of(&text.value, text.at, file))
    }

    /// The formula of a piece of a scalar.
    #[must_use]
    pub fn part(text: Words, source: SourceId, origin: Origin) -> Self {
        Self { text, source, origin, expr: OnceLock::new(), value: OnceLock::new() }
    }

    /// The same, of an expression that is read again: what the program carries has no places of its words, so that one
    /// cannot be told from another.
    #[must_use]
    pub fn placed(&self) -> Self {
        let expr = syntax::expression(&self.text, self.source, &self.origin);
        Self { expr: Box::new(expr).into(), ..Self::part(self.text.clone(), self.source, self.origin.clone()) }
    }

    /// The formula as an expression.
    ///
    /// # Errors
    /// The fault at the place where it stops making sense.
    pub fn expr(&self) -> Result<&Expr, &Fault> {
        let read = || syntax::expression(&self.text, self.source, &self.origin);
        let read = || Box::new(self.known(built_in::expression).map_or_else(read, Ok));
        (**self.expr.get_or_init(read)).as_ref()
    }

    /// The formula as a value: `1.9 GPa ± 0.1 GPa`, `220 x 220 x 240 mm`, `poor`.
    ///
    /// # Errors
    /// The fault at the place where it stops making sense.
    pub fn value(&self) -> Result<&Value, &Fault> {
        let read = || syntax::value(&self.text, self.source, &self.origin);
        let read = || Box::new(self.known(built_in::value).map_or_else(read, Ok));
        (**self.value.get_or_init(read)).as_ref()
    }

    /// What it was read as when the program was built, if it came with the program.
    fn known<T>(&self, look_up: impl FnOnce(&str) -> Option<T>) -> Option<T> {
        if self.source == BUILT_IN { look_up(&self.text) } else { None }
    }

    /// Where the whole formula stands.
    #[must_use]
    pub fn span(&self) -> Span {
        self.source.span(self.origin.range(0..self.text.len()))
    }
}
