//! Two values and what is between them: sums, comparisons and conditions.

use super::super::{Margin, Value};
use super::{Evaluation, Failure, not_a};
use crate::fault::{Beside, MeetingWay, ValueFault};
use crate::quantity::{ArithmeticError, Quantity, Unit};
use crate::syntax::tree::{Comparator, Expr, ExprKind, Operator};

impl Evaluation<'_, '_> {
    pub(super) fn binary(&self, whole: &Expr, operator: Operator, left: &Expr, right: &Expr) -> Result<Value, Failure> {
        match operator {
            Operator::And | Operator::Or => self.joined(operator, left, right),
            Operator::Compare(comparator) => self.compare(whole, comparator, left, right),
            _ => self.calculate(whole, operator, left, right).map(Value::Quantity),
        }
    }

    fn calculate(&self, whole: &Expr, operator: Operator, left: &Expr, right: &Expr) -> Result<Quantity, Failure> {
        let (a, b) = (self.quantity(left)?, self.quantity(right)?);
        let result = match operator {
            Operator::Add => a.add(&b),
            Operator::Subtract => a.subtract(&b),
            Operator::Multiply => a.multiply(&b),
            Operator::Divide => a.divide(&b),
            _ => a.power(&b),
        };
        let result = result.map_err(|error| Self::meeting(&error, whole, left, right))?;
        if result.value.is_finite() {
            return Ok(result);
        }
        let error = ArithmeticError::Undefined("it is larger than any number");
        Err(Self::arithmetic(&error, whole.span))
    }

    /// What does not hold: of a comparison the opposite one, which keeps its margin.
    pub(super) fn denied(&self, inner: &Expr) -> Result<Value, Failure> {
        let value = self.value(inner)?;
        if let Value::Margin(margin) = &value {
            let Margin { left, comparator, right, .. } = margin.as_ref().clone();
            if let Ok(opposite) = Margin::new(left, comparator.opposite(), right) {
                return Ok(Value::Margin(Box::new(opposite)));
            }
        }
        match value.holds() {
            Some(holds) => Ok(Value::Flag(!holds)),
            None => Err(not_a(inner, &value, "a comparison, or yes or no")),
        }
    }

    fn joined(&self, operator: Operator, left: &Expr, right: &Expr) -> Result<Value, Failure> {
        let both = [self.value(left)?, self.value(right)?];
        for (value, expr) in both.iter().zip([left, right]) {
            if value.holds().is_none() {
                return Err(not_a(expr, value, "a comparison, or yes or no"));
            }
        }
        let [a, b] = both;
        // Of two margins the one that decides: the nearer to failing for `and`, the farther for `or`.
        let first = match (&a, &b) {
            (Value::Margin(l), Value::Margin(r)) => l.is_nearer_than(r) == (operator == Operator::And),
            // What is not certain decides where what is certain leaves it open.
            (Value::Margin(_), certain) => certain.holds() == Some(operator == Operator::And),
            _ => a.holds() != Some(operator == Operator::And),
        };
        Ok(if first { a } else { b })
    }

    fn compare(&self, whole: &Expr, by: Comparator, left: &Expr, right: &Expr) -> Result<Value, Failure> {
        let (a, b) = (self.value(left)?, self.value(right)?);
        let same = match (&a, &b) {
            (Value::Quantity(a), Value::Quantity(b)) => {
                let margin = Margin::new(a.clone(), by, b.clone());
                let margin = margin.map_err(|error| Self::meeting(&error, whole, left, right))?;
                return Ok(Value::Margin(Box::new(margin)));
            }
            (Value::Text(a), Value::Text(b)) => a == b,
            (Value::Flag(a), Value::Flag(b)) => a == b,
            _ => return Err(meeting_kinds(whole, (&a, left), (&b, right))),
        };
        match by {
            Comparator::Equal => Ok(Value::Flag(same)),
            Comparator::Unequal => Ok(Value::Flag(!same)),
            _ => Err(self.not_a_quantity(left, &a)),
        }
    }

    /// A unit mismatch with three labels: what is on the left, what is on the right, where they meet.
    fn meeting(error: &ArithmeticError, whole: &Expr, left: &Expr, right: &Expr) -> Failure {
        let ArithmeticError::Mismatch { left: a, right: b } = error else {
            return Self::arithmetic(error, whole.span);
        };
        let bare = |expr: &Expr| matches!(expr.kind, ExprKind::Number { unit: None, .. });
        let from_to = matches!(&whole.kind, ExprKind::Binary { operator: Operator::Subtract, .. });
        let way = match (bare(left), bare(right)) {
            (true, false) if from_to && matches!(right.kind, ExprKind::Number { .. }) => {
                with_unit(*b, left).map(MeetingWay::Bound)
            }
            (false, true) => with_unit(*a, right).map(MeetingWay::Unit),
            (true, false) => with_unit(*b, left).map(MeetingWay::Unit),
            _ => Some(match (nameless_unit(*a, left), nameless_unit(*b, right)) {
                (Some(name), _) | (_, Some(name)) => MeetingWay::NameWithout(name),
                _ => MeetingWay::Like,
            }),
        };
        let fault = ValueFault::Meeting { why: error.to_string(), way }.at(whole.span);
        let fault = fault.also(left.span, Beside::Kind(a.describe())).also(right.span, Beside::Kind(b.describe()));
        Failure::fault(fault)
    }
}

fn meeting_kinds(whole: &Expr, left: (&Value, &Expr), right: (&Value, &Expr)) -> Failure {
    let kind = |value: &Value| Beside::Kind(value.describe());
    let fault = ValueFault::Incomparable {}.at(whole.span);
    Failure::fault(fault.also(left.1.span, kind(left.0)).also(right.1.span, kind(right.0)))
}

/// The name that stands for a number without a unit.
fn nameless_unit(dimension: crate::quantity::Dimension, expr: &Expr) -> Option<String> {
    match &expr.kind {
        ExprKind::Path(path) if dimension == crate::quantity::Dimension::NONE => Some(path.text()),
        _ => None,
    }
}

/// A bare number with the unit of what it met.
fn with_unit(dimension: crate::quantity::Dimension, bare: &Expr) -> Option<String> {
    let unit = Unit::usual(dimension, false)?;
    let ExprKind::Number { value, .. } = bare.kind else { return None };
    Some(format!("{value} {}", unit.name))
}
