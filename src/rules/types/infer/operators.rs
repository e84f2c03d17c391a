//! The kinds of what operators make of two others.

use super::Inference;
use crate::fault::{Beside, FormulaFault, near};
use crate::quantity::{ArithmeticError, Dimension};
use crate::rules::types::kind::{Kind, Measure};
use crate::syntax::tree::{Comparator, Expr, ExprKind, Operator};

impl<'a> Inference<'a, '_> {
    pub(super) fn binary(&self, whole: &'a Expr, operator: Operator, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        match operator {
            Operator::And | Operator::Or => self.joined(left, right),
            Operator::Compare(comparator) => self.compare(whole, comparator, left, right),
            _ => self.calculate(whole, operator, left, right),
        }
    }

    fn joined(&self, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        let [a, b] = [left, right].map(|side| self.expect(side, &Kind::Comparison, "a comparison, or yes or no"));
        a.or(b).unwrap_or(Kind::Comparison)
    }

    fn calculate(&self, whole: &'a Expr, operator: Operator, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        let number = |side| self.expect(side, &Kind::Quantity(None), "a number or dimension");
        let (Kind::Quantity(Some(a)), Kind::Quantity(Some(b))) = (number(left), number(right)) else {
            return Kind::Quantity(None);
        };
        let (da, db) = (a.dimension, b.dimension);
        let mismatch = ArithmeticError::Mismatch { left: da, right: db };
        let result = match operator {
            Operator::Add | Operator::Subtract if da != db => Err(mismatch),
            Operator::Add if a.point && b.point => Err(ArithmeticError::Point),
            Operator::Subtract if b.point && !a.point => Err(ArithmeticError::Point),
            Operator::Add => Ok(Measure { dimension: da, point: a.point || b.point }),
            Operator::Subtract => Ok(Measure { dimension: da, point: a.point && !b.point }),
            _ if a.point || b.point => Err(ArithmeticError::Point),
            Operator::Multiply => Ok(Measure::of(da.times(db))),
            Operator::Divide => Ok(Measure::of(da.over(db))),
            _ => power(da, db, right).map(Measure::of),
        };
        match result {
            Ok(measure) => Kind::Quantity(Some(measure)),
            Err(error) => self.meeting(&error, whole, (left, a), (right, b)),
        }
    }

    /// Two that do not go together, with three labels: what is left, what is right, where they meet.
    fn meeting(
        &self,
        error: &ArithmeticError,
        whole: &Expr,
        (left, a): (&Expr, Measure),
        (right, b): (&Expr, Measure),
    ) -> Kind<'a> {
        let is_exponent = matches!(error, ArithmeticError::Exponent);
        let mut fault = FormulaFault::Meeting { why: error.to_string(), is_exponent }.at(whole.span);
        if !is_exponent {
            fault = fault.also(left.span, Beside::Kind(a.describe())).also(right.span, Beside::Kind(b.describe()));
        }
        self.report.fault(fault);
        Kind::Nothing
    }

    fn compare(&self, whole: &'a Expr, by: Comparator, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        let (a, b) = (self.kind(left), self.kind(right));
        let equality = matches!(by, Comparator::Equal | Comparator::Unequal);
        match (&a, &b) {
            (Kind::Nothing | Kind::Any, _) | (_, Kind::Nothing | Kind::Any) => Kind::Comparison,
            (Kind::Quantity(a), Kind::Quantity(b)) => {
                if let (Some(a), Some(b)) = (a, b)
                    && a != b
                {
                    let error = if a.dimension == b.dimension {
                        ArithmeticError::Point
                    } else {
                        ArithmeticError::Mismatch { left: a.dimension, right: b.dimension }
                    };
                    return self.meeting(&error, whole, (left, *a), (right, *b));
                }
                Kind::Comparison
            }
            (Kind::Flag, Kind::Flag) if equality => Kind::Flag,
            (Kind::Word(one), Kind::Word(other)) if equality => {
                if let (Some(one), Some(other)) = (one, other) {
                    self.never_alike((one, left), (other, right));
                }
                Kind::Flag
            }
            _ => {
                let fault = FormulaFault::Incomparable { is_equality: equality }.at(whole.span);
                let (a, b) = (Beside::Kind(a.describe()), Beside::Kind(b.describe()));
                self.report.fault(fault.also(left.span, a).also(right.span, b));
                Kind::Nothing
            }
        }
    }

    /// A word that is compared with words that it is none of, wherever this is worked out.
    fn never_alike(&self, (one, left): (&[String], &Expr), (other, right): (&[String], &Expr)) {
        let (word, at, known) = match (one, other) {
            (_, [word]) => (word, right.span, one),
            ([word], _) => (word, left.span, other),
            _ => return,
        };
        if known.contains(word) {
            self.report.found(at);
            return;
        }
        let near = near(word, known.iter().map(String::as_str));
        self.report.lacks(FormulaFault::NeverWord { word: word.clone(), known: known.to_vec(), near }.at(at));
    }
}

/// The dimension of a power: what has a unit is raised to a number that is written out.
fn power(base: Dimension, exponent: Dimension, written: &Expr) -> Result<Dimension, ArithmeticError> {
    if exponent != Dimension::NONE {
        return Err(ArithmeticError::Exponent);
    }
    if base == Dimension::NONE {
        return Ok(base);
    }
    let number = match &written.kind {
        ExprKind::Number { value, unit: None } => Some(*value),
        ExprKind::Negative(inner) => match &inner.kind {
            ExprKind::Number { value, unit: None } => Some(-value),
            _ => None,
        },
        _ => None,
    };
    number.and_then(|number| base.raised(number)).ok_or(ArithmeticError::Exponent)
}
