//! Values of other features: which of them a call asks, and what is taken of their answers.

use super::beside::{alike, beside, heading, kind};
use super::{Answer, Form, Gives, Takes, direction, wrong};
use crate::geometry::{Vector, alignment, dot};
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::Quantity;
use crate::syntax::tree::Expr;

/// A call that works out its last argument at other features.
#[derive(Debug)]
pub struct Over {
    /// Which features.
    pub(in crate::rules) places: fn(&Evaluation, &[Expr]) -> Result<Vec<FeatureId>, Failure>,
    /// What is taken of their values.
    pub(in crate::rules) take: Take,
    /// What is missing where there are none.
    sought: &'static str,
}

/// What is taken of the values of several features.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Take {
    /// Their sum.
    Sum,
    /// The least of them; of equal ones the first.
    Least,
    /// The largest of them; of equal ones the first.
    Most,
}

pub(super) static FORMS: [Form; 8] = [
    Form {
        name: "total",
        written: "total(block, value)",
        doc: "The sum of a value over the feature's blocks of a kind, each asked as if the rule were about it.",
        arguments: 2..=2,
        takes: &[Takes::Block, Takes::Inside],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: inside, take: Take::Sum, sought: "a block to sum over" }),
    },
    Form {
        name: "largest",
        written: "largest(block, value)",
        doc: "The largest of a value over the feature's blocks of a kind, each asked as if the rule were about it.",
        arguments: 2..=2,
        takes: &[Takes::Block, Takes::Inside],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: inside, take: Take::Most, sought: "a block to ask" }),
    },
    Form {
        name: "total-alike",
        written: "total-alike(field, value)",
        doc: "The sum of a value over the features of this kind in the same block that give a field the same word.",
        arguments: 2..=2,
        takes: &[Takes::Field, Takes::Quantity],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: alike, take: Take::Sum, sought: "a block to sum over" }),
    },
    Form {
        name: "total-naming",
        written: "total-naming(block, value)",
        doc: "The sum of a value over the blocks of a kind beside the feature that name it, or something in it.",
        arguments: 2..=2,
        takes: &[Takes::Block, Takes::Beside],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: naming, take: Take::Sum, sought: "a block that names it" }),
    },
    Form {
        name: "least-facing",
        written: "least-facing(block, value)",
        doc: "The least of a value over the blocks of a kind beside the feature that face the same way or straight away.",
        arguments: 2..=2,
        takes: &[Takes::Block, Takes::Beside],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: facing, take: Take::Least, sought: "a block that faces the same way" }),
    },
    Form {
        name: "most-opposed",
        written: "most-opposed(direction, value)",
        doc: "The largest of a value over the features of this kind in the same block whose direction in a field is against this one's.",
        arguments: 2..=2,
        takes: &[Takes::Field, Takes::Quantity],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: opposed, take: Take::Most, sought: "a feature across from it" }),
    },
    Form {
        name: "largest-across",
        written: "largest-across(block, direction, value)",
        doc: "The largest of a value over the blocks of a kind beside the feature whose `axis` lies square to a direction.",
        arguments: 3..=3,
        takes: &[Takes::Block, Takes::Direction, Takes::Beside],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: across, take: Take::Most, sought: "a block whose axis lies across it" }),
    },
    Form {
        name: "largest-along",
        written: "largest-along(block, direction, value)",
        doc: "The largest of a value over the blocks of a kind beside the feature that face along a direction, either way.",
        arguments: 3..=3,
        takes: &[Takes::Block, Takes::Direction, Takes::Beside],
        gives: Gives::Alike,
        answer: Answer::Over(Over { places: along, take: Take::Most, sought: "a block that faces along it" }),
    },
];

impl Over {
    /// The answer of a call.
    pub(super) fn answer(&self, evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
        let mut taken: Option<Quantity> = None;
        for place in (self.places)(evaluation, arguments)? {
            let one = at(evaluation, place, arguments)?;
            taken = Some(match taken {
                None => one,
                Some(taken) => self.take.of(taken, one)?,
            });
        }
        taken.map(Value::Quantity).ok_or_else(|| Failure::Absent(self.sought.into()))
    }
}

impl Take {
    fn of(self, first: Quantity, next: Quantity) -> Result<Quantity, Failure> {
        match self {
            Self::Sum => first.add(&next).map_err(|_| Failure::Reported),
            Self::Least => Ok(if next.value < first.value { next } else { first }),
            Self::Most => Ok(if next.value > first.value { next } else { first }),
        }
    }
}

/// The value that a call asks of another feature: its last argument, worked out there.
fn at(evaluation: &Evaluation, place: FeatureId, arguments: &[Expr]) -> Result<Quantity, Failure> {
    let Some(value) = arguments.last() else { return Err(Failure::Reported) };
    let one = match evaluation.locals {
        Some(locals) => locals.value_at(place, value)?,
        None => Evaluation::new(evaluation.model, place).value(value)?,
    };
    match one {
        Value::Quantity(one) => Ok(one),
        other => Err(wrong(value, "a quantity", &other)),
    }
}

/// The blocks of a kind that the feature holds.
fn inside(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let (model, kind) = (evaluation.model, kind(evaluation, &arguments[0])?);
    let children = model.feature(evaluation.feature).children.iter();
    Ok(children.filter(|id| &*model.feature(*id).block.name == kind).collect())
}

/// The blocks of a kind in the same block that name the feature, or something in it.
fn naming(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let (model, kind) = (evaluation.model, kind(evaluation, &arguments[0])?);
    let is_in_it = |named: FeatureId| model.outward(named).any(|outer| outer == evaluation.feature);
    let names_it = |id: &FeatureId| {
        let mut named = model.named_by(*id);
        &*model.feature(*id).block.name == kind && named.any(is_in_it)
    };
    Ok(beside(model, evaluation.feature).filter(names_it).collect())
}

/// The features of the same kind, in the same block, whose direction in a field is against this one's.
fn opposed(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let (model, field) = (evaluation.model, &arguments[0]);
    let own = direction(evaluation, field)?;
    let Some(word) = field.word() else { return Err(wrong(field, "a field", &Value::Direction(own))) };
    let kind = &model.feature(evaluation.feature).block.name;
    Ok(headed(evaluation, kind, word, |other| dot(own, other) < -PARALLEL))
}

/// The blocks of a kind in the same block whose axis lies square to a direction.
fn across(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let (kind, along) = (kind(evaluation, &arguments[0])?, direction(evaluation, &arguments[1])?);
    Ok(headed(evaluation, kind, "axis", |axis| alignment(along, axis) < SQUARE))
}

/// The blocks of a kind in the same block that face along a direction, either way.
fn along(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let (kind, along) = (kind(evaluation, &arguments[0])?, direction(evaluation, &arguments[1])?);
    Ok(headed(evaluation, kind, "faces", |faces| alignment(along, faces) > PARALLEL))
}

/// The blocks of a kind in the same block whose `faces` lies along the feature's own.
fn facing(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let kind = kind(evaluation, &arguments[0])?;
    let own = heading(evaluation.model, evaluation.feature, "faces");
    let own = own.ok_or_else(|| Failure::Absent("the way that it faces".into()))?;
    Ok(headed(evaluation, kind, "faces", |other| alignment(own, other) > PARALLEL))
}

/// The blocks of a kind in the same block whose direction in a field is as asked.
pub(super) fn headed(
    evaluation: &Evaluation,
    kind: &str,
    field: &str,
    asked: impl Fn(Vector) -> bool,
) -> Vec<FeatureId> {
    let model = evaluation.model;
    let is_it =
        |id: &FeatureId| &*model.feature(*id).block.name == kind && heading(model, *id, field).is_some_and(&asked);
    beside(model, evaluation.feature).filter(is_it).collect()
}

/// The cosine from which on two directions count as one line.
pub(super) const PARALLEL: f64 = 0.99;

/// The cosine up to which two directions count as square to each other.
const SQUARE: f64 = 0.1;
