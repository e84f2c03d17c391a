//! What rules can ask of a sheet: is it given, what does the machine make of it, how does it lie.

mod across;
mod bounds;
mod danger;
mod lie;
pub(in crate::rules) mod mechanics;
mod origin;
mod places;
mod profiles;
mod stray;

pub(super) use across::places;

use crate::fault::{ValueFault, near};
use crate::geometry::{self, Vector};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::{Expr, ExprKind, Name};

/// A question to the sheet.
#[derive(Debug)]
pub struct Form {
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub written: &'static str,
    /// What it answers, in one line.
    pub doc: &'static str,
    /// How many arguments it takes.
    pub arguments: std::ops::RangeInclusive<usize>,
    /// What kinds of argument, in order; the last stands for all further ones.
    pub takes: &'static [Takes],
    /// What kind of answer.
    pub gives: Gives,
    answer: fn(&Evaluation, &[Expr]) -> Result<Value, Failure>,
}

/// What a question takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// Anything that has a value.
    Anything,
    /// A value of the kind that the answer has.
    Value,
    /// A number of the kind that the answer has, if that is alike.
    Quantity,
    /// A comparison, or yes or no.
    Condition,
    /// A word or text.
    Word,
    /// Lengths along x, y and z.
    Size,
    /// A direction.
    Direction,
    /// A block.
    Feature,
    /// The name of a field.
    Field,
    /// The word of a kind of block.
    Block,
    /// A number that is asked of each block of the kind that the first argument names, in this one.
    Inside,
    /// The same of each such block beside this one.
    Beside,
    /// The row of a table: a word, or a size where the rows are ranges.
    Row,
}

/// What a question gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gives {
    /// Yes or no.
    Flag,
    /// A word or text.
    Word,
    /// A block.
    Feature,
    /// A number of a dimension.
    Of(Dimension),
    /// The one kind that all its values are of.
    Alike,
    /// The same, but never a point on a temperature scale.
    Difference,
    /// A number from the table that it names.
    Cell,
    /// The names of profiles.
    Profiles,
}

/// The one of a name.
pub(super) fn form(name: &str) -> Option<&'static Form> {
    forms().find(|form| form.name == name)
}

/// All of them.
pub fn forms() -> impl Iterator<Item = &'static Form> {
    FORMS
        .iter()
        .chain(&across::FORMS)
        .chain(&bounds::FORMS)
        .chain(&danger::FORMS)
        .chain(&lie::FORMS)
        .chain(&origin::FORMS)
        .chain(&places::FORMS)
        .chain(&stray::FORMS)
}

static FORMS: [Form; 16] = [
    Form {
        name: "given",
        written: "given(field)",
        doc: "Whether the sheet, a profile or a default gives a value.",
        arguments: 1..=1,
        takes: &[Takes::Anything],
        gives: Gives::Flag,
        answer: given,
    },
    Form {
        name: "stated",
        written: "stated(field)",
        doc: "Whether the sheet itself gives the field.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: stated,
    },
    Form {
        name: "either",
        written: "either(first, second, …)",
        doc: "The first of its values that is given.",
        arguments: 2..=6,
        takes: &[Takes::Value],
        gives: Gives::Alike,
        answer: either,
    },
    Form {
        name: "choose",
        written: "choose(condition, then, otherwise)",
        doc: "One of two values, by a condition.",
        arguments: 3..=3,
        takes: &[Takes::Condition, Takes::Value],
        gives: Gives::Alike,
        answer: choose,
    },
    Form {
        name: "printed",
        written: "printed(value)",
        doc: "The value with the machine's bias and spread on every drawn dimension in it.",
        arguments: 1..=1,
        takes: &[Takes::Value],
        gives: Gives::Alike,
        answer: |e, a| e.printed().value(&a[0]),
    },
    Form {
        name: "angle",
        written: "angle(direction, direction)",
        doc: "The angle between two directions, from 0 to 180 deg.",
        arguments: 2..=2,
        takes: &[Takes::Direction],
        gives: Gives::Of(Dimension::ANGLE),
        answer: angle,
    },
    Form {
        name: "extent",
        written: "extent(size, direction)",
        doc: "How far a box reaches along a direction.",
        arguments: 2..=2,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: extent,
    },
    Form {
        name: "oriented",
        written: "oriented(part)",
        doc: "How many features in a part depend on which way up it prints.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::NONE),
        answer: oriented,
    },
    Form {
        name: "profile",
        written: "profile(block)",
        doc: "The word of the profile that a machine or material starts from.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Word,
        answer: profile,
    },
    Form {
        name: "table",
        written: "table(name, row, column)",
        doc: "A number from a table, by a word or by the size that a row's range holds.",
        arguments: 3..=3,
        takes: &[Takes::Word, Takes::Row, Takes::Word],
        gives: Gives::Cell,
        answer: table,
    },
    Form {
        name: "uncertainty",
        written: "uncertainty(value)",
        doc: "The combined standard uncertainty of a value.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Difference,
        answer: |e, a| spread_of(e, &a[0], Quantity::uncertainty),
    },
    Form {
        name: "worst-case",
        written: "worst-case(value)",
        doc: "How far a value can be off with every input at its bound.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Difference,
        answer: |e, a| spread_of(e, &a[0], |value| worst_case(e.model, value)),
    },
    Form {
        name: "root-sum-square",
        written: "root-sum-square(value)",
        doc: "How far a value can be off with its inputs' bounds added by their squares: never more than its worst case.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Difference,
        answer: |e, a| spread_of(e, &a[0], |value| root_sum_square(e.model, value)),
    },
    Form {
        name: "central",
        written: "central(value)",
        doc: "A value as it is expected, without its uncertainty.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Alike,
        answer: |e, a| Ok(Value::Quantity(undrawn(e, &a[0])?.frozen())),
    },
    Form {
        name: "chance-of-failing",
        written: "chance-of-failing(comparison)",
        doc: "The chance that a comparison fails, from 0 to 1.",
        arguments: 1..=1,
        takes: &[Takes::Condition],
        gives: Gives::Of(Dimension::NONE),
        answer: chance_of,
    },
    Form {
        name: "profiles-with",
        written: "profiles-with(section, field, least, flag)",
        doc: "The profiles of a section that give a field at least so much, without those that have a flag if one is named.",
        arguments: 3..=4,
        takes: &[Takes::Word, Takes::Word, Takes::Quantity, Takes::Word],
        gives: Gives::Profiles,
        answer: profiles::with,
    },
];

pub(super) fn call(evaluation: &Evaluation, name: &Name, arguments: &[Expr]) -> Option<Result<Value, Failure>> {
    let form = form(&name.text)?;
    if form.arguments.contains(&arguments.len()) {
        return Some((form.answer)(evaluation, arguments));
    }
    let [name_of, written, doc] = [form.name, form.written, form.doc].map(str::to_owned);
    Some(Err(Failure::Fault(Box::new(ValueFault::WrittenForm { name: name_of, written, doc }.at(name.span)))))
}

fn given(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    match evaluation.value(&arguments[0]) {
        Ok(_) => Ok(Value::Flag(true)),
        Err(Failure::Absent(_)) => Ok(Value::Flag(false)),
        Err(failure) => Err(failure),
    }
}

fn stated(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let ExprKind::Path(path) = &arguments[0].kind else { return given(evaluation, arguments) };
    let field = evaluation.field_at(path)?;
    Ok(Value::Flag(field.is_some_and(|(id, index)| evaluation.model.feature(id).fields[index].written.is_some())))
}

fn either(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let mut last = Err(Failure::Reported);
    for argument in arguments {
        last = evaluation.value(argument);
        if !matches!(last, Err(Failure::Absent(_))) {
            break;
        }
    }
    last
}

fn choose(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let first = evaluation.condition(&arguments[0])?;
    evaluation.value(&arguments[if first { 1 } else { 2 }])
}

fn direction(evaluation: &Evaluation, expr: &Expr) -> Result<Vector, Failure> {
    match evaluation.value(expr)? {
        Value::Direction(vector) => Ok(vector),
        other => Err(wrong(expr, "a direction", &other)),
    }
}

pub(super) fn wrong(expr: &Expr, expected: &str, found: &Value) -> Failure {
    let code = ValueFault::NotAsked { expected: expected.into(), found: found.describe() };
    Failure::Fault(Box::new(code.at(expr.span)))
}

fn angle(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let (a, b) = (direction(evaluation, &arguments[0])?, direction(evaluation, &arguments[1])?);
    let angle = geometry::angle(a, b);
    let unit = Unit::usual(Dimension::ANGLE, false);
    Ok(Value::Quantity(Quantity { unit, ..Quantity::exact(angle, Dimension::ANGLE) }))
}

fn extent(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let size = match evaluation.value(&arguments[0])? {
        Value::Size(size) => size,
        other => return Err(wrong(&arguments[0], "a size", &other)),
    };
    let along = direction(evaluation, &arguments[1])?;
    lie::reach(&size, along, &arguments[0]).map(Value::Quantity)
}

fn oriented(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let part = match evaluation.value(&arguments[0])? {
        Value::Feature(id) => id,
        other => return Err(wrong(&arguments[0], "a part", &other)),
    };
    let count = count_oriented(evaluation.model, part);
    Ok(Value::Quantity(Quantity::ratio(count)))
}

/// A spread is a difference, also where the value is a point on a temperature scale.
fn spread_of(evaluation: &Evaluation, expr: &Expr, spread: impl Fn(&Quantity) -> f64) -> Result<Value, Failure> {
    let value = undrawn(evaluation, expr)?;
    let unit = value.unit.filter(|unit| !unit.is_point());
    Ok(Value::Quantity(Quantity { unit, ..Quantity::exact(spread(&value), value.dimension) }))
}

/// A value with its uncertainty, also while its inputs are moved: where they have been put, nothing is uncertain.
fn undrawn(evaluation: &Evaluation, expr: &Expr) -> Result<Quantity, Failure> {
    evaluation.model.without_draws(|| evaluation.quantity(expr))
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
    let Some(holds) = value.holds() else { return Err(wrong(&arguments[0], "a comparison", &value)) };
    let certain = if holds { 0.0 } else { 1.0 };
    let chance = super::uncertainty::of(evaluation, &arguments[0], &value).map_or(certain, |chance| chance.failing);
    Ok(Value::Quantity(Quantity { unit: Unit::named("%"), ..Quantity::ratio(chance) }))
}

fn count_oriented(model: &Model, id: FeatureId) -> f64 {
    let feature = model.feature(id);
    let own = if feature.block.oriented { 1.0 } else { 0.0 };
    own + feature.children.iter().map(|child| count_oriented(model, child)).sum::<f64>()
}

fn profile(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let id = match evaluation.value(&arguments[0])? {
        Value::Feature(id) => id,
        other => return Err(wrong(&arguments[0], "a machine or material", &other)),
    };
    let feature = evaluation.model.feature(id);
    let word = feature.profile.as_deref().map(Into::into);
    word.map(Value::Text).ok_or_else(|| Failure::Absent(format!("the profile of {}", feature.name)))
}

fn table(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let name = word(evaluation, &arguments[0])?;
    let column = word(evaluation, &arguments[2])?;
    let Some(table) = evaluation.model.vocabulary.tables.get(name.as_str()) else {
        let tables = evaluation.model.vocabulary.tables.keys().map(crate::pack::Words::as_str);
        let near = near(&name, tables);
        return Err(Failure::Fault(Box::new(ValueFault::NoTable { name, near }.at(arguments[0].span))));
    };
    let found = match evaluation.value(&arguments[1])? {
        Value::Text(row) => table.number(&row, &column),
        Value::Quantity(size) => table.number_at(&size, &column),
        other => return Err(wrong(&arguments[1], "a word or a size", &other)),
    };
    found.map(Value::Quantity).map_err(|error| {
        Failure::Fault(Box::new(ValueFault::NotInTable { why: error.to_string() }.at(arguments[1].span)))
    })
}

pub(super) fn word(evaluation: &Evaluation, expr: &Expr) -> Result<String, Failure> {
    match evaluation.value(expr)? {
        Value::Text(text) => Ok(text.to_string()),
        other => Err(wrong(expr, "a text", &other)),
    }
}
