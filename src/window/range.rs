//! The values that a moved field takes, and how a sheet would state them.

use crate::model::Value;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::source::Span;
use crate::syntax::tree::{self, Expr, ExprKind, Name, Operator, ValueKind};

/// The parts that a range is divided into unless the step is given.
const PARTS: f64 = 100.0;
/// The most values that one range may have.
const MOST: f64 = 2000.0;

/// Why a field cannot be moved as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RangeError {
    /// The field has no number to move.
    #[error("it is {0}: only a number, a dimension or one extent of a size (`.x`, `.y`, `.z`) has a window")]
    Kind(String),
    /// Neither the sheet nor the call says where to begin and end.
    #[error("the sheet gives it no value: say `--from` and `--to`")]
    Unknown,
    /// The end of the range has another dimension.
    #[error("it is {0}, the range is {1}")]
    Unit(String, String),
    /// It ends where it begins, or before.
    #[error("the range must end above where it begins")]
    Empty,
    /// It has too many values.
    #[error("the step is too small: at most {MOST} steps, and more than none")]
    Step,
}

/// From a value to another in equal steps, in base units.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Range {
    /// The first value.
    pub from: f64,
    /// The last.
    pub to: f64,
    /// Between two of them.
    pub step: f64,
    /// What the sheet has now.
    pub now: Option<f64>,
    /// What is moved.
    pub dimension: Dimension,
    /// The unit that it is shown in; `None` for bare numbers.
    pub unit: Option<&'static Unit>,
}

impl Range {
    /// The range around a field's value, or as asked: from half of it to twice of it by default, in a
    /// hundred steps of a round length.
    ///
    /// # Errors
    /// See [`RangeError`].
    pub fn new(
        now: Option<&Value>,
        from: Option<&Quantity>,
        to: Option<&Quantity>,
        step: Option<&Quantity>,
    ) -> Result<Self, RangeError> {
        let now = match now {
            Some(Value::Quantity(quantity)) => Some(quantity),
            Some(other) => return Err(RangeError::Kind(other.describe())),
            None => None,
        };
        let about = now.or(from).or(to).ok_or(RangeError::Unknown)?;
        let (dimension, unit) = (about.dimension, about.shown_unit());
        // A bare number means the field's own unit.
        let base = |given: &Quantity| match (given.dimension, unit) {
            (Dimension::NONE, Some(unit)) if dimension != Dimension::NONE => Ok(unit.to_base(given.value)),
            (found, _) if found == dimension => Ok(given.value),
            (found, _) => Err(RangeError::Unit(dimension.describe(), found.describe())),
        };
        let end = |given: Option<&Quantity>, times: f64| match (given, now) {
            (Some(given), _) => base(given),
            (None, Some(now)) => Ok(now.value * times),
            (None, None) => Err(RangeError::Unknown),
        };
        let (from, to) = (end(from, 0.5)?, end(to, 2.0)?);
        if !(to - from).is_finite() || to <= from {
            return Err(RangeError::Empty);
        }
        let length = |step: &Quantity| match unit {
            // A step is a difference, also where the values are points on a temperature scale.
            Some(unit) if step.dimension == Dimension::NONE && dimension != Dimension::NONE => step.value * unit.factor,
            _ => step.value,
        };
        let factor = unit.map_or(1.0, |unit| unit.factor);
        let step = step.map_or_else(|| rounded((to - from) / PARTS / factor) * factor, length);
        if !step.is_finite() || step <= 0.0 || (to - from) / step > MOST {
            return Err(RangeError::Step);
        }
        Ok(Self { from, to, step, now: now.map(|now| now.value), dimension, unit })
    }

    /// The same range in at most so many steps.
    #[must_use]
    pub fn coarser(&self, parts: f64) -> Self {
        Self { step: self.step.max((self.to - self.from) / parts), ..self.clone() }
    }

    /// Its middle.
    #[must_use]
    pub fn middle(&self) -> f64 {
        f64::midpoint(self.from, self.to)
    }

    /// Its values: the first, in steps, and the last.
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        let count = ((self.to - self.from) / self.step + 1e-9).floor();
        let mut values: Vec<f64> = Vec::new();
        let mut index = 0.0;
        while index <= count {
            values.push(self.from + index * self.step);
            index += 1.0;
        }
        if values.last().is_some_and(|last| self.to - last > 1e-6 * self.step) {
            values.push(self.to);
        }
        values
    }

    /// A value with its unit.
    #[must_use]
    pub fn text(&self, value: f64) -> String {
        Quantity { unit: self.unit, ..Quantity::exact(value, self.dimension) }.text()
    }

    /// A value as it is shown: in the unit.
    #[must_use]
    pub fn shown(&self, value: f64) -> f64 {
        self.unit.map_or(value, |unit| unit.show(value))
    }

    /// What a sheet would state to have this value: a tolerance stays, readings and bounds all move
    /// by as much, anything else becomes the number.
    #[must_use]
    pub fn value(&self, value: f64, written: Option<&tree::Value>, at: Span) -> tree::Value {
        let number = self.number(self.shown(value), at);
        let shift = |expr: &Expr, unit: Option<&Name>| {
            let factor = self.unit.map_or(1.0, |unit| unit.factor);
            let by = self.number((value - self.now.unwrap_or(value)) / factor, at);
            Expr {
                kind: ExprKind::Binary {
                    operator: Operator::Add,
                    left: Box::new(with_unit(expr, unit)),
                    right: Box::new(by),
                },
                span: at,
            }
        };
        let kind = match written.map(|written| &written.kind) {
            Some(ValueKind::Toleranced { above, below, .. }) => {
                ValueKind::Toleranced { nominal: number, above: above.clone(), below: below.clone() }
            }
            Some(ValueKind::Measured { readings, instrument, limit }) if self.can_shift() => ValueKind::Measured {
                readings: readings.iter().map(|reading| shift(reading, unit_of(readings.last()))).collect(),
                instrument: instrument.clone(),
                limit: limit.clone(),
            },
            Some(ValueKind::Between { low, high }) if self.can_shift() => {
                let unit = unit_of(Some(high));
                ValueKind::Between { low: shift(low, unit), high: shift(high, unit) }
            }
            _ => ValueKind::Plain(number),
        };
        tree::Value { kind, span: at }
    }

    /// Points on a temperature scale are not added to.
    fn can_shift(&self) -> bool {
        self.unit.is_none_or(|unit| !unit.is_point())
    }

    /// A number as a sheet states it.
    pub(super) fn number(&self, shown: f64, at: Span) -> Expr {
        let unit = self.unit.map(|unit| Name::new(unit.name, at));
        Expr { kind: ExprKind::Number { value: shown, unit }, span: at }
    }
}

fn unit_of(expr: Option<&Expr>) -> Option<&Name> {
    match &expr?.kind {
        ExprKind::Number { unit, .. } => unit.as_ref(),
        ExprKind::Negative(inner) => unit_of(Some(inner)),
        _ => None,
    }
}

/// Extents of which each has its unit, where only the last was written with one.
pub(super) fn with_units(extents: &[Expr]) -> Vec<Expr> {
    let unit = unit_of(extents.last());
    extents.iter().map(|extent| with_unit(extent, unit)).collect()
}

/// A bare number with the unit of its neighbour.
fn with_unit(expr: &Expr, unit: Option<&Name>) -> Expr {
    match (&expr.kind, unit) {
        (ExprKind::Number { value, unit: None }, Some(unit)) => {
            Expr { kind: ExprKind::Number { value: *value, unit: Some(unit.clone()) }, span: expr.span }
        }
        _ => expr.clone(),
    }
}

/// The next smaller of 1, 2 and 5 times a power of ten.
fn rounded(length: f64) -> f64 {
    let power = 10.0_f64.powf(length.log10().floor());
    let times = length / power;
    let round = if times >= 5.0 {
        5.0
    } else if times >= 2.0 {
        2.0
    } else {
        1.0
    };
    round * power
}
