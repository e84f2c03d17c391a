//! How far inputs move a value, left out where only the value counts: a search looks at hundreds of values, most of which
//! fail, and for its slopes a spring arm is bent twice more for each of its measures.

use super::Model;
use crate::quantity::Quantity;

/// What became of slopes that may be left out.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Slopes {
    left_out: bool,
    asked: bool,
}

/// What is known of a value whose slopes could be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spared {
    /// None was: the value with all that makes it uncertain.
    Nothing,
    /// The value, but not what makes it uncertain.
    Uncertainty,
    /// Nothing: the value itself follows from how uncertain another one is.
    Value,
}

impl Model<'_> {
    /// Runs something whose slopes may be left out, and says what is known of it.
    pub fn sparing_slopes<T>(&self, run: impl FnOnce() -> T) -> (T, Spared) {
        let outer = self.slopes.replace(Some(Slopes::default()));
        let result = run();
        let spared = match self.slopes.replace(outer) {
            Some(Slopes { left_out: true, asked: true }) => Spared::Value,
            Some(Slopes { left_out: true, .. }) => Spared::Uncertainty,
            _ => Spared::Nothing,
        };
        (result, spared)
    }

    /// Whether the slopes of a function may be left out; that they are is noted.
    pub fn leaves_slopes_out(&self) -> bool {
        let slopes = self.slopes.get();
        self.slopes.set(slopes.map(|slopes| Slopes { left_out: true, ..slopes }));
        slopes.is_some()
    }

    /// Notes that what follows from how uncertain a value is cannot be known, where its slopes were left out.
    pub fn note_uncertainty(&self, value: &Quantity) {
        if value.uncertainty().is_nan() {
            self.slopes.set(self.slopes.get().map(|slopes| Slopes { asked: true, ..slopes }));
        }
    }
}
