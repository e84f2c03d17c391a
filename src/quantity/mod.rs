//! Values with a unit, a physical dimension and an uncertainty.
//!
//! Inside, everything is in millimetres, newtons, seconds, kelvins and radians, so that a stress
//! comes out in `MPa`. Uncertainty follows JCGM 100:2008 (GUM), 5.1 and 5.2: a quantity carries its
//! first-order dependence on every independent input, so that inputs shared by two quantities
//! stay correlated.

mod arithmetic;
mod dimension;
mod display;
mod input;
mod term;
mod unit;

pub use arithmetic::ArithmeticError;
pub use dimension::Dimension;
pub(crate) use display::{counted, listed};
pub use display::{number, number_to, percent};
pub use input::{Input, InputId, InputKind, Inputs, Shape, mean_of, rectangular};
pub use term::{Term, merged, scaled};
pub use unit::{UNITS, Unit};

/// A number with dimension and uncertainty.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Quantity {
    /// In base units (mm, N, s, K, rad).
    pub value: f64,
    /// What is measured by it.
    pub dimension: Dimension,
    /// The author's unit, for showing.
    pub unit: Option<&'static Unit>,
    /// Whether it is a point on a temperature scale rather than a difference.
    pub point: bool,
    /// First-order dependence on the inputs, sorted by input.
    pub terms: Vec<Term>,
}

impl Quantity {
    /// An exact quantity from a value in base units.
    #[must_use]
    pub fn exact(value: f64, dimension: Dimension) -> Self {
        Self { value, dimension, unit: None, point: false, terms: Vec::new() }
    }

    /// An exact bare number.
    #[must_use]
    pub fn ratio(value: f64) -> Self {
        Self::exact(value, Dimension::NONE)
    }

    /// An exact quantity from a number and its unit.
    #[must_use]
    pub fn of(value: f64, unit: &'static Unit) -> Self {
        Self {
            value: unit.to_base(value),
            dimension: unit.dimension,
            unit: Some(unit),
            point: unit.is_point(),
            terms: Vec::new(),
        }
    }

    /// The same value with one more independent input of the given standard uncertainty.
    #[must_use]
    pub fn with_input(mut self, input: InputId, standard: f64) -> Self {
        if standard > 0.0 {
            self.terms = merged(&self.terms, &[Term { input, amount: standard }], 1.0, 1.0);
        }
        self
    }

    /// The value alone, as drawn: what it was derived from no longer moves it.
    #[must_use]
    pub fn frozen(mut self) -> Self {
        self.terms.clear();
        self
    }

    /// Combined standard uncertainty in base units: the root of the sum of squares of the terms
    /// (JCGM 100:2008, eq. 10; the inputs are independent, their sharing is in the terms).
    #[must_use]
    pub fn uncertainty(&self) -> f64 {
        let root = self.terms.iter().fold(0.0, |sum: f64, term| sum + term.amount * term.amount).sqrt();
        // Squares leave the range of numbers long before what they are squares of.
        if root.is_finite() { root } else { self.terms.iter().fold(0.0, |sum: f64, term| sum.hypot(term.amount)) }
    }

    /// The same quantity times an exact number.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self { value: self.value * factor, terms: scaled(&self.terms, factor), ..self.clone() }
    }

    /// The same value without what it depends on through another quantity's inputs.
    #[must_use]
    pub fn without(mut self, other: &Self) -> Self {
        self.terms.retain(|term| !other.terms.iter().any(|gone| gone.input == term.input));
        self
    }
}
