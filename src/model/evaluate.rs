//! Expressions to values. One evaluator serves sheets, data files and rules.

mod call;
mod failure;
mod operators;
mod unit;

pub use failure::{Failure, Missing};

use super::{FeatureId, Field, Margin, Model, Value, limits};
use crate::fault::{Beside, ValueFault};
use crate::quantity::{ArithmeticError, Quantity};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Name};
use unit::number;

/// Whether dimensions are meant as drawn or as the machine makes them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Mode {
    /// As drawn.
    Drawn,
    /// With the machine's deviations.
    Printed,
}

/// Names and functions that exist only where an expression is: those of a rule.
pub trait Locals {
    /// The value of a name, if it is one of these.
    fn value(&self, name: &Name) -> Option<Result<Value, Failure>>;
    /// The names, for "did you mean".
    fn names(&self) -> Vec<String>;
    /// The result of a function, if it is one of these.
    fn call(&self, evaluation: &Evaluation, name: &Name, arguments: &[Expr]) -> Option<Result<Value, Failure>>;
    /// The formula of a name, if it is worked out by one.
    fn formula(&self, name: &str) -> Option<&Expr>;
    /// The feature that formulas are worked out for.
    fn feature(&self) -> FeatureId;
    /// The value of what follows from a feature's fields.
    ///
    /// # Errors
    /// As for [`Evaluation::value`].
    fn derived(&self, feature: FeatureId, derived: &crate::vocabulary::Derived) -> Result<Value, Failure>;
    /// The names and functions that are there where such a formula is: none of the rule's own names.
    fn of_derived(&self) -> &dyn Locals;
    /// The functions, for "did you mean".
    fn functions(&self) -> Vec<String>;
    /// The value of an expression at another feature, its names looked up from there.
    ///
    /// # Errors
    /// As for [`Evaluation::value`].
    fn value_at(&self, feature: FeatureId, expr: &Expr) -> Result<Value, Failure>;
    /// The same names and functions at another feature; `None` where too many features were asked for already.
    fn at(&self, feature: FeatureId) -> Option<&dyn Locals>;
}

/// Where an expression is and how it is meant.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct Evaluation<'m, 'v> {
    /// The sheet.
    pub model: &'m Model<'v>,
    /// The feature it belongs to: names are looked up from there outward.
    pub feature: FeatureId,
    /// The block it is written in, where that is another: names are looked up from there next.
    pub written_in: Option<FeatureId>,
    /// The field whose value it is: inside it, its word stands for something else.
    pub own: Option<&'m str>,
    /// Whether it is a formula of the vocabulary, in its own terms.
    pub of_data: bool,
    /// As drawn or as printed.
    pub mode: Mode,
    /// Names and functions of a rule.
    pub locals: Option<&'m dyn Locals>,
}

impl<'m, 'v> Evaluation<'m, 'v> {
    /// Evaluates in a feature, as drawn.
    #[must_use]
    pub fn new(model: &'m Model<'v>, feature: FeatureId) -> Self {
        Self { model, feature, written_in: None, own: None, of_data: false, mode: Mode::Drawn, locals: None }
    }

    /// Evaluates what a sheet says about a field of a feature.
    #[must_use]
    pub fn written(model: &'m Model<'v>, feature: FeatureId, field: &'m Field<'v>) -> Self {
        let written_in = field.written.as_ref().map(|written| written.scope);
        Self { written_in, own: Some(&field.name), ..Self::new(model, feature) }
    }

    /// Evaluates a formula of the vocabulary in a feature.
    #[must_use]
    pub fn of_data(model: &'m Model<'v>, feature: FeatureId) -> Self {
        Self { of_data: true, ..Self::new(model, feature) }
    }

    /// With a rule's names and functions.
    #[must_use]
    pub fn with_locals(self, locals: &'m dyn Locals) -> Self {
        Self { locals: Some(locals), ..self }
    }

    /// As printed.
    #[must_use]
    pub fn printed(self) -> Self {
        Self { mode: Mode::Printed, ..self }
    }

    /// A value with its inputs moved as the draws say.
    fn moved(&self, value: Value) -> Result<Value, Failure> {
        Ok(match value {
            Value::Quantity(quantity) => Value::Quantity(self.model.moved(quantity)),
            Value::Size(size) => Value::Size(Box::new(size.map(|length| self.model.moved(length)))),
            Value::Place(place) => Value::Place(Box::new(place.map(|distance| self.model.moved(distance)))),
            Value::Margin(margin) => {
                let (left, right) = (self.model.moved(margin.left), self.model.moved(margin.right));
                let margin = Margin::new(left, margin.comparator, right).map_err(|_| Failure::Reported)?;
                Value::Margin(Box::new(margin))
            }
            other => other,
        })
    }

    pub(super) fn scopes(&self) -> impl Iterator<Item = FeatureId> + use<> {
        std::iter::once(self.feature).chain(self.written_in.filter(|at| *at != self.feature))
    }

    /// The value of an expression.
    ///
    /// # Errors
    /// See [`Failure`].
    pub fn value(&self, expr: &Expr) -> Result<Value, Failure> {
        let nested = &self.model.nested;
        if nested.get() >= limits::NESTED {
            return Err(Failure::fault(ValueFault::NestedCalculations { most: limits::NESTED }.at(expr.span)));
        }
        nested.set(nested.get() + 1);
        let result = self.value_inside(expr);
        nested.set(nested.get() - 1);
        result
    }

    fn value_inside(&self, expr: &Expr) -> Result<Value, Failure> {
        match &expr.kind {
            ExprKind::Unreadable => Err(Failure::Reported),
            ExprKind::Number { value, unit } => number(*value, unit.as_ref(), self.model.vocabulary),
            ExprKind::Text(text) => Ok(Value::Text(text.as_str().into())),
            ExprKind::Path(path) => match path.word() {
                Some("yes") => Ok(Value::Flag(true)),
                Some("no") => Ok(Value::Flag(false)),
                _ => self.path(path),
            },
            ExprKind::Direction(axis) => Ok(Value::Direction(axis.vector())),
            ExprKind::Negative(inner) => self.negative(inner),
            ExprKind::Not(inner) => self.denied(inner),
            ExprKind::Call { name, arguments } => self.call(name, arguments),
            ExprKind::Named { name, .. } => {
                Err(Failure::fault(ValueFault::NamedValue { name: name.text.clone() }.at(name.span)))
            }
            ExprKind::If { condition, then, otherwise } => self.either_way(condition, then, otherwise),
            ExprKind::Binary { operator, left, right } => self.binary(expr, *operator, left, right),
        }
    }

    /// The value of an expression that must be a quantity.
    ///
    /// # Errors
    /// As for [`Evaluation::value`], and for other values.
    pub fn quantity(&self, expr: &Expr) -> Result<Quantity, Failure> {
        match self.value(expr)? {
            Value::Quantity(quantity) => Ok(quantity),
            other => Err(self.not_a_quantity(expr, &other)),
        }
    }

    /// What is no quantity; of a feature with one of its dimensions, which is likely meant.
    fn not_a_quantity(&self, expr: &Expr, found: &Value) -> Failure {
        let dimension = match found {
            Value::Feature(id) => {
                let is_quantity = |field: &&Field| {
                    field.written.is_some() && matches!(self.model.value_of(*id, field), Ok(Value::Quantity(_)))
                };
                self.model.feature(*id).fields.iter().find(is_quantity).map(|field| self.model.field_path(*id, field))
            }
            _ => None,
        };
        let (expected, found) = ("a number or dimension".into(), found.describe());
        Failure::fault(ValueFault::NotA { expected, found, dimension }.at(expr.span))
    }

    /// Whether a condition holds.
    ///
    /// # Errors
    /// As for [`Evaluation::value`], and for what is no condition.
    pub fn condition(&self, expr: &Expr) -> Result<bool, Failure> {
        let value = self.value(expr)?;
        value.holds().ok_or_else(|| not_a(expr, &value, "a comparison, or yes or no"))
    }

    /// One of two values. Rules were checked when they were loaded; in a sheet the value that is not taken must make
    /// sense as well, whatever it would come to.
    fn either_way(&self, condition: &Expr, then: &Expr, otherwise: &Expr) -> Result<Value, Failure> {
        let holds = self.condition(condition)?;
        let (taken, passed) = if holds { (then, otherwise) } else { (otherwise, then) };
        let value = self.value(taken)?;
        if self.locals.is_none() {
            match self.value(passed) {
                Err(Failure::Fault(fault)) if fault.name != "impossible-value" => return Err(Failure::Fault(fault)),
                Ok(other) if other.describe() != value.describe() => {
                    let fault = ValueFault::UnlikeBranches { kind: other.describe() }.at(passed.span);
                    return Err(Failure::fault(fault.also(taken.span, Beside::Kind(value.describe()))));
                }
                _ => {}
            }
        }
        Ok(value)
    }

    fn negative(&self, inner: &Expr) -> Result<Value, Failure> {
        // `-20 degC` is a point on its scale, not a point turned round.
        if let ExprKind::Number { value, unit } = &inner.kind {
            return number(-value, unit.as_ref(), self.model.vocabulary);
        }
        match self.value(inner)? {
            Value::Quantity(q) => q.negated().map(Value::Quantity).map_err(|e| Self::arithmetic(&e, inner.span)),
            Value::Direction(vector) => Ok(Value::Direction(vector.map(|c| -c))),
            other => Err(not_a(inner, &other, "a number or direction")),
        }
    }

    fn arithmetic(error: &ArithmeticError, at: Span) -> Failure {
        let why = error.to_string();
        let code = match error {
            ArithmeticError::Undefined(_) => ValueFault::Undefined { why },
            _ => ValueFault::Arithmetic { why },
        };
        Failure::fault(code.at(at))
    }

    /// The value of a field of a feature in this mode.
    ///
    /// # Errors
    /// As for [`Evaluation::value`].
    pub fn field_value(&self, id: FeatureId, index: usize) -> Result<Value, Failure> {
        let field = &self.model.feature(id).fields[index];
        let value = match self.mode {
            Mode::Drawn => self.model.value_of(id, field)?,
            Mode::Printed => self.model.printed(id, field)?,
        };
        if !self.model.is_drawing() {
            self.model.note_moves(self.model.moves(id, field) || value.moves());
            return Ok(value);
        }
        if self.model.calculation(id, index).is_some() {
            let key = (id, index, self.mode);
            return self.model.while_drawn(key, || self.model.written_value(id, field, self.mode));
        }
        self.moved(value)
    }
}

fn not_a(expr: &Expr, found: &Value, expected: &str) -> Failure {
    Failure::fault(
        ValueFault::NotA { expected: expected.into(), found: found.describe(), dimension: None }.at(expr.span),
    )
}
