//! What comes out where quantities meet, and how it depends on their inputs, to first order.

use super::{Dimension, Quantity, merged, scaled};

/// What can go wrong when quantities meet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
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

impl Quantity {
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

    /// The value of a function of this quantity, with its slope, as a new quantity.
    #[must_use]
    pub fn mapped(&self, value: f64, dimension: Dimension, slope: f64) -> Self {
        Self { value, dimension, unit: None, point: false, terms: scaled(&self.terms, slope) }
    }

    fn refuse_point(&self, other: &Self) -> Result<(), ArithmeticError> {
        if self.point || other.point { Err(ArithmeticError::Point) } else { Ok(()) }
    }
}
