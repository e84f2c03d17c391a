//! What rules can ask of a sheet: is it given, what does the machine make of it, how does it lie.

mod ahead;
mod beside;
mod bounds;
pub(super) mod danger;
mod eyes;
mod form;
mod holder;
mod lie;
pub(in crate::rules) mod mechanics;
mod origin;
mod over;
mod places;
mod profiles;
mod spread;
mod stray;
mod twins;

pub use form::{Answer, Form, Gives, Takes};
pub use over::{Over, Take};

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::fault::ValueFault;
use crate::geometry::{self, Vector};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::{Expr, ExprKind, Name};

/// The one of a name.
pub(super) fn form(name: &str) -> Option<&'static Form> {
    static NAMED: LazyLock<FxHashMap<&str, &Form>> = LazyLock::new(|| forms().map(|form| (form.name, form)).collect());
    NAMED.get(name).copied()
}

/// The features at which a call works out its last argument; `None` for any other call.
pub(super) fn asked(evaluation: &Evaluation, name: &str, arguments: &[Expr]) -> Option<Vec<FeatureId>> {
    (over(name, arguments)?.places)(evaluation, arguments).ok()
}

/// How a call asks other features, if it does.
pub(super) fn over(name: &str, arguments: &[Expr]) -> Option<&'static Over> {
    match &form(name).filter(|form| form.arguments.contains(&arguments.len()))?.answer {
        Answer::Over(over) => Some(over),
        Answer::Own(_) => None,
    }
}

/// All of them.
pub fn forms() -> impl Iterator<Item = &'static Form> {
    FORMS
        .iter()
        .chain(&over::FORMS)
        .chain(&beside::FORMS)
        .chain(&bounds::FORMS)
        .chain(&danger::FORMS)
        .chain(&eyes::FORMS)
        .chain(&holder::FORMS)
        .chain(&lie::FORMS)
        .chain(&origin::FORMS)
        .chain(&places::FORMS)
        .chain(&ahead::FORMS)
        .chain(&twins::FORMS)
        .chain(&profiles::FORMS)
        .chain(&spread::FORMS)
        .chain(&stray::FORMS)
}

static FORMS: [Form; 8] = [
    Form {
        name: "given",
        written: "given(field)",
        doc: "Whether the sheet, a profile or a default gives a value.",
        arguments: 1..=1,
        takes: &[Takes::Named],
        gives: Gives::Flag,
        answer: Answer::Own(given),
    },
    Form {
        name: "stated",
        written: "stated(field)",
        doc: "Whether the sheet itself gives the field; also of a block that may not be there.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(stated),
    },
    Form {
        name: "either",
        written: "either(first, second, …)",
        doc: "The first of its values that is given.",
        arguments: 2..=6,
        takes: &[Takes::Instead],
        gives: Gives::Alike,
        answer: Answer::Own(either),
    },
    Form {
        name: "choose",
        written: "choose(condition, then, otherwise)",
        doc: "One of two values, by a condition.",
        arguments: 3..=3,
        takes: &[Takes::Condition, Takes::Value],
        gives: Gives::Alike,
        answer: Answer::Own(choose),
    },
    Form {
        name: "printed",
        written: "printed(value)",
        doc: "The value with the machine's bias and spread on every drawn dimension in it.",
        arguments: 1..=1,
        takes: &[Takes::Dimension],
        gives: Gives::Alike,
        answer: Answer::Own(|e, a| e.printed().value(&a[0])),
    },
    Form {
        name: "angle",
        written: "angle(direction, direction)",
        doc: "The angle between two directions, from 0 to 180 deg.",
        arguments: 2..=2,
        takes: &[Takes::Direction],
        gives: Gives::Of(Dimension::ANGLE),
        answer: Answer::Own(angle),
    },
    Form {
        name: "extent",
        written: "extent(size, direction)",
        doc: "How far a box reaches along a direction.",
        arguments: 2..=2,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(extent),
    },
    Form {
        name: "oriented",
        written: "oriented(part)",
        doc: "How many features in a part depend on which way up it prints.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::NONE),
        answer: Answer::Own(oriented),
    },
];

pub(super) fn call(evaluation: &Evaluation, name: &Name, arguments: &[Expr]) -> Option<Result<Value, Failure>> {
    let form = form(&name.text)?;
    if form.arguments.contains(&arguments.len()) {
        return Some(match &form.answer {
            Answer::Own(answer) => answer(evaluation, arguments),
            Answer::Over(over) => over.answer(evaluation, arguments),
        });
    }
    let [name_of, written, doc] = [form.name, form.written, form.doc].map(str::to_owned);
    Some(Err(Failure::Fault(Box::new(ValueFault::WrittenForm { name: name_of, written, doc }.at(name.span)))))
}

fn given(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    match evaluation.model.unmoved(|| evaluation.value(&arguments[0])) {
        Ok(_) => Ok(Value::Flag(true)),
        Err(Failure::Absent(_)) => Ok(Value::Flag(false)),
        Err(failure) => Err(failure),
    }
}

fn stated(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let ExprKind::Path(path) = &arguments[0].kind else { return given(evaluation, arguments) };
    let field = match evaluation.field_at(path) {
        // A block that is not there says nothing.
        Err(Failure::Absent(_)) => None,
        found => found?,
    };
    let is_stated = |(id, index): (FeatureId, usize)| {
        let field = &evaluation.model.feature(id).fields[index];
        evaluation.model.note_form(id, field);
        field.written.is_some()
    };
    Ok(Value::Flag(field.is_some_and(is_stated)))
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

fn count_oriented(model: &Model, id: FeatureId) -> f64 {
    let feature = model.feature(id);
    let own = if feature.block.oriented { 1.0 } else { 0.0 };
    own + feature.children.iter().map(|child| count_oriented(model, child)).sum::<f64>()
}

pub(super) fn word(evaluation: &Evaluation, expr: &Expr) -> Result<String, Failure> {
    match evaluation.value(expr)? {
        Value::Text(text) => Ok(text.to_string()),
        other => Err(wrong(expr, "a text", &other)),
    }
}
