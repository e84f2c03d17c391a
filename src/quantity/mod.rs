//! Values with a unit, a physical dimension and an uncertainty.
//!
//! Inside, everything is in millimetres, newtons, seconds, kelvins and radians, so that a stress
//! comes out in `MPa`. Uncertainty follows JCGM 100:2008 (GUM), 5.1 and 5.2: a quantity carries its
//! first-order dependence on every independent input, so that inputs shared by two quantities
//! stay correlated.

mod dimension;
mod display;
mod input;
mod input_set;
mod unit;

pub use dimension::Dimension;
pub(crate) use display::{counted, listed};
pub use display::{number, number_to, percent};
pub use input::{Input, InputId, InputKind, Inputs, Shape, mean_of, rectangular};
pub use input_set::InputSet;
pub use unit::{UNITS, Unit};

/// What can go wrong when quantities meet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ArithmeticError {
    /// Two dimensions that cannot be added or compared.
    #[error("{} and {} do not go together", left.describe(), right.describe())]
    Mismatch {
        /// Left operand's.
        left: Dimension,
        /// Right operand's.
        right: Dimension,
    },
    /// Two temperatures on a scale with a zero of its own, added or multiplied.
    #[error(
        "a temperature in degC or degF is a point on a scale: it can be compared, and a difference in K can be added to it"
    )]
    Point,
    /// The result is no number.
    #[error("the result is not a number: {0}")]
    Undefined(&'static str),
    /// The exponent of a power.
    #[error("an exponent must be a plain number, a whole one where a unit is raised")]
    Exponent,
    /// The root of a dimension that has none.
    #[error("{} has no square root", .0.describe())]
    Root(Dimension),
}

/// How much an independent input moves a quantity: its standard uncertainty times the
/// sensitivity to it (the c·u of JCGM 100:2008, 5.1.3), in base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// Which input.
    pub input: InputId,
    /// Sensitivity times standard uncertainty, signed.
    pub amount: f64,
}

/// A number with dimension and uncertainty.
#[derive(Debug, Clone, PartialEq)]
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

    /// Sum.
    ///
    /// # Errors
    /// Where the dimensions differ or both are points on a temperature scale.
    pub fn add(&self, other: &Self) -> Result<Self, ArithmeticError> {
        if self.point && other.point {
            return Err(ArithmeticError::Point);
        }
        self.linear(other, 1.0, self.point || other.point)
    }

    /// Difference.
    ///
    /// # Errors
    /// Where the dimensions differ, or a point is taken from a difference.
    pub fn subtract(&self, other: &Self) -> Result<Self, ArithmeticError> {
        if other.point && !self.point {
            return Err(ArithmeticError::Point);
        }
        self.linear(other, -1.0, self.point && !other.point)
    }

    fn linear(&self, other: &Self, sign: f64, point: bool) -> Result<Self, ArithmeticError> {
        if self.dimension != other.dimension {
            return Err(ArithmeticError::Mismatch { left: self.dimension, right: other.dimension });
        }
        // The unit follows the operand that fits the result: degC less degC is a difference in K.
        let unit = [self, other].into_iter().filter(|q| q.point == point).find_map(|q| q.unit);
        Ok(Self {
            value: self.value + sign * other.value,
            dimension: self.dimension,
            unit,
            point,
            terms: merged(&self.terms, &other.terms, 1.0, sign),
        })
    }

    /// Product.
    ///
    /// # Errors
    /// Where a point on a temperature scale is multiplied.
    pub fn multiply(&self, other: &Self) -> Result<Self, ArithmeticError> {
        self.refuse_point(other)?;
        let dimension = self.dimension.times(other.dimension);
        let scaled = |a: &Self, b: &Self| if b.dimension == Dimension::NONE { a.unit } else { None };
        let plain = dimension != Dimension::NONE;
        Ok(Self {
            value: self.value * other.value,
            dimension,
            unit: if plain { scaled(self, other).or_else(|| scaled(other, self)) } else { None },
            point: false,
            terms: merged(&self.terms, &other.terms, other.value, self.value),
        })
    }

    /// Quotient.
    ///
    /// # Errors
    /// Division by zero, and points on a temperature scale.
    pub fn divide(&self, other: &Self) -> Result<Self, ArithmeticError> {
        self.refuse_point(other)?;
        if other.value == 0.0 {
            return Err(ArithmeticError::Undefined("something is divided by zero"));
        }
        let plain = other.dimension == Dimension::NONE && self.dimension != Dimension::NONE;
        let by_other = -self.value / (other.value * other.value);
        Ok(Self {
            value: self.value / other.value,
            dimension: self.dimension.over(other.dimension),
            unit: if plain { self.unit } else { None },
            point: false,
            terms: merged(&self.terms, &other.terms, 1.0 / other.value, by_other),
        })
    }

    /// Power.
    ///
    /// # Errors
    /// Where the exponent is no plain number, or a unit is raised to a fraction.
    pub fn power(&self, exponent: &Self) -> Result<Self, ArithmeticError> {
        self.refuse_point(exponent)?;
        if exponent.dimension != Dimension::NONE {
            return Err(ArithmeticError::Exponent);
        }
        let n = exponent.value;
        let dimension = self.dimension.raised(n).ok_or(ArithmeticError::Exponent)?;
        let value = self.value.powf(n);
        if !value.is_finite() {
            return Err(ArithmeticError::Undefined("a power that has no value"));
        }
        let slope = n * self.value.powf(n - 1.0);
        let by_exponent = if exponent.terms.is_empty() { 0.0 } else { value * self.value.ln() };
        let terms = merged(&self.terms, &exponent.terms, slope, by_exponent);
        Ok(Self { value, dimension, unit: None, point: false, terms })
    }

    /// Square root.
    ///
    /// # Errors
    /// Below zero, and where the dimension has no root.
    pub fn root(&self) -> Result<Self, ArithmeticError> {
        let dimension = self.dimension.root().ok_or(ArithmeticError::Root(self.dimension))?;
        if self.value < 0.0 {
            return Err(ArithmeticError::Undefined("the square root of a negative number"));
        }
        let value = self.value.sqrt();
        let slope = if value > 0.0 { 0.5 / value } else { 0.0 };
        Ok(Self { value, dimension, unit: None, point: false, terms: scaled(&self.terms, slope) })
    }

    /// The same quantity with the other sign.
    ///
    /// # Errors
    /// For a point on a temperature scale.
    pub fn negated(&self) -> Result<Self, ArithmeticError> {
        self.multiply(&Self::ratio(-1.0)).map(|q| Self { unit: self.unit, ..q })
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

    /// The value of a function of this quantity, with its slope, as a new quantity.
    #[must_use]
    pub fn mapped(&self, value: f64, dimension: Dimension, slope: f64) -> Self {
        Self { value, dimension, unit: None, point: false, terms: scaled(&self.terms, slope) }
    }

    fn refuse_point(&self, other: &Self) -> Result<(), ArithmeticError> {
        if self.point || other.point { Err(ArithmeticError::Point) } else { Ok(()) }
    }
}

/// Terms times a factor.
#[must_use]
pub fn scaled(terms: &[Term], factor: f64) -> Vec<Term> {
    terms.iter().map(|t| Term { input: t.input, amount: t.amount * factor }).collect()
}

/// The terms of `a·left + b·right`; both lists are sorted by input, and so is the result. What cancels out is gone; what
/// moves nothing to first order stays, with an amount of zero, since it may move something further off.
#[must_use]
pub fn merged(left: &[Term], right: &[Term], a: f64, b: f64) -> Vec<Term> {
    if right.is_empty() {
        return scaled(left, a);
    }
    if left.is_empty() {
        return scaled(right, b);
    }
    let mut terms = Vec::with_capacity(left.len() + right.len());
    let (mut left, mut right) = (left.iter().peekable(), right.iter().peekable());
    loop {
        let mut cancels = false;
        let term = match (left.peek(), right.peek()) {
            (Some(l), Some(r)) if l.input == r.input => {
                let amount = a * l.amount + b * r.amount;
                cancels = amount == 0.0 && a * l.amount != 0.0;
                let input = l.input;
                left.next();
                right.next();
                Term { input, amount }
            }
            (Some(l), r) if r.is_none_or(|r| l.input < r.input) => {
                let term = Term { input: l.input, amount: a * l.amount };
                left.next();
                term
            }
            (_, Some(r)) => {
                let term = Term { input: r.input, amount: b * r.amount };
                right.next();
                term
            }
            _ => return terms,
        };
        if !cancels {
            terms.push(term);
        }
    }
}
