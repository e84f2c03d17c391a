//! How uncertain a value is, and how likely a comparison is to fail.

use super::{Answer, Form, Gives, Takes, wrong};
use crate::model::{Evaluation, Failure, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::rules::uncertainty;
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 5] = [
    Form {
        name: "uncertainty",
        written: "uncertainty(value)",
        doc: "The combined standard uncertainty of a value.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Difference,
        answer: Answer::Own(|e, a| spread_of(e, &a[0], Quantity::uncertainty)),
    },
    Form {
        name: "worst-case",
        written: "worst-case(value)",
        doc: "How far a value can be off with every input at its bound.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Difference,
        answer: Answer::Own(|e, a| spread_of(e, &a[0], |value| worst_case(e.model, value))),
    },
    Form {
        name: "root-sum-square",
        written: "root-sum-square(value)",
        doc: "How far a value can be off with its inputs' bounds added by their squares: never more than its worst case.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Difference,
        answer: Answer::Own(|e, a| spread_of(e, &a[0], |value| root_sum_square(e.model, value))),
    },
    Form {
        name: "central",
        written: "central(value)",
        doc: "A value as it is expected, without its uncertainty.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Alike,
        answer: Answer::Own(|e, a| Ok(Value::Quantity(undrawn(e, &a[0])?.frozen()))),
    },
    Form {
        name: "chance-of-failing",
        written: "chance-of-failing(comparison)",
        doc: "The chance that a comparison fails, from 0 to 1.",
        arguments: 1..=1,
        takes: &[Takes::Condition],
        gives: Gives::Of(Dimension::NONE),
        answer: Answer::Own(chance_of),
    },
];

/// A spread is a difference, also where the value is a point on a temperature scale.
fn spread_of(evaluation: &Evaluation, expr: &Expr, spread: impl Fn(&Quantity) -> f64) -> Result<Value, Failure> {
    let value = undrawn(evaluation, expr)?;
    evaluation.model.note_uncertainty(&value);
    let unit = value.unit.filter(|unit| !unit.is_point());
    Ok(Value::Quantity(Quantity { unit, ..Quantity::exact(spread(&value), value.dimension) }))
}

/// A value with its uncertainty, also while its inputs are moved: where they have been put, nothing is uncertain.
fn undrawn(evaluation: &Evaluation, expr: &Expr) -> Result<Quantity, Failure> {
    evaluation.model.unmoved(|| evaluation.model.without_draws(|| evaluation.quantity(expr)))
}

/// How far each input at its bound moves a value: the bound over the standard uncertainty, times what that moves it by.
fn at_bounds<'a>(model: &'a Model, value: &'a Quantity) -> impl Iterator<Item = f64> + 'a {
    value.terms.iter().filter_map(|term| {
        let input = model.input(term.input)?;
        Some(term.amount.abs() * input.bound / input.standard)
    })
}

fn worst_case(model: &Model, value: &Quantity) -> f64 {
    at_bounds(model, value).sum()
}

fn root_sum_square(model: &Model, value: &Quantity) -> f64 {
    at_bounds(model, value).fold(0.0, f64::hypot)
}

fn chance_of(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let value = evaluation.value(&arguments[0])?;
    if let Value::Margin(margin) = &value {
        evaluation.model.note_uncertainty(&margin.room);
    }
    let Some(holds) = value.holds() else { return Err(wrong(&arguments[0], "a comparison", &value)) };
    let certain = if holds { 0.0 } else { 1.0 };
    let chance = uncertainty::of(evaluation, &arguments[0], &value).map_or(certain, |chance| chance.failing);
    Ok(Value::Quantity(Quantity { unit: Unit::named("%"), ..Quantity::ratio(chance) }))
}
