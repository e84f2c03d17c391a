//! What stands in or beside a feature: sums over blocks in it, and over features that belong together.

use super::{Form, Gives, Takes, wrong};
use crate::fault::{Fault, did_you_mean};
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 5] = [
    Form {
        name: "total",
        written: "total(block, value)",
        doc: "The sum of a value over the feature's blocks of a kind, each asked as if the rule were about it.",
        arguments: 2..=2,
        takes: &[Takes::Block, Takes::Inside],
        gives: Gives::Alike,
        answer: |e, a| sum(e, &a[1], inside(e, &a[0])?),
    },
    Form {
        name: "total-alike",
        written: "total-alike(field, value)",
        doc: "The sum of a value over the features of this kind in the same block that give a field the same word.",
        arguments: 2..=2,
        takes: &[Takes::Field, Takes::Quantity],
        gives: Gives::Alike,
        answer: |e, a| sum(e, &a[1], alike(e, &a[0])?),
    },
    Form {
        name: "first-alike",
        written: "first-alike(field)",
        doc: "Whether a feature is the first of those in the same block that give a field the same word.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: |e, a| Ok(Value::Flag(alike(e, &a[0])?.first() == Some(&e.feature))),
    },
    Form {
        name: "bed-cut",
        written: "bed-cut(part)",
        doc: "The widest chamfer or fillet among a part's edges on the bed; nothing where it has none.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: bed_cut,
    },
    Form {
        name: "how-many",
        written: "how-many(block)",
        doc: "How many blocks of a kind the sheet itself has.",
        arguments: 1..=1,
        takes: &[Takes::Block],
        gives: Gives::Of(Dimension::NONE),
        answer: how_many,
    },
];

/// The features at which a call works out its second argument; `None` for any other call.
pub(in crate::rules) fn places(evaluation: &Evaluation, name: &str, arguments: &[Expr]) -> Option<Vec<FeatureId>> {
    match (name, arguments) {
        ("total", [kind, _]) => inside(evaluation, kind).ok(),
        ("total-alike", [field, _]) => alike(evaluation, field).ok(),
        _ => None,
    }
}

/// The kind of block that a word names.
fn kind<'e>(evaluation: &Evaluation, expr: &'e Expr) -> Result<&'e str, Failure> {
    let word = expr.word().unwrap_or_default();
    let vocabulary = evaluation.model.vocabulary;
    if vocabulary.block(word).is_some() {
        return Ok(word);
    }
    let help = did_you_mean(word, vocabulary.blocks.iter().map(|block| block.name.as_str()));
    let fault = Fault::new("wrong-kind", expr.span, "expected a kind of block, such as `load`".to_owned());
    Err(Failure::Fault(Box::new(fault.maybe_help(help))))
}

/// The blocks of a kind that stand in the feature.
fn inside(evaluation: &Evaluation, expr: &Expr) -> Result<Vec<FeatureId>, Failure> {
    let (model, kind) = (evaluation.model, kind(evaluation, expr)?);
    let children = model.feature(evaluation.feature).children.iter();
    Ok(children.filter(|id| &*model.feature(*id).block.name == kind).collect())
}

/// The features of the same kind, in the same block, that give a field the same value; this one among them.
fn alike(evaluation: &Evaluation, field: &Expr) -> Result<Vec<FeatureId>, Failure> {
    let model = evaluation.model;
    let own = evaluation.value(field)?;
    let Some(word) = field.word() else { return Err(wrong(field, "a field", &own)) };
    let feature = model.feature(evaluation.feature);
    let is_alike = |id: &FeatureId| {
        let value = model.field(*id, word).and_then(|field| model.value_of(*id, field).ok());
        model.feature(*id).block.name == feature.block.name && value.as_ref() == Some(&own)
    };
    let around = feature.parent.map(|parent| model.feature(parent));
    Ok(around.into_iter().flat_map(|around| around.children.iter()).filter(is_alike).collect())
}

fn sum(evaluation: &Evaluation, value: &Expr, places: Vec<FeatureId>) -> Result<Value, Failure> {
    let mut total: Option<Quantity> = None;
    for place in places {
        let one = at(evaluation, place, value)?;
        total = Some(match total {
            None => one,
            Some(sum) => sum.add(&one).map_err(|_| Failure::Reported)?,
        });
    }
    total.map(Value::Quantity).ok_or_else(|| Failure::Absent("a block to sum over".into()))
}

fn bed_cut(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let part = match evaluation.value(&arguments[0])? {
        Value::Feature(id) => id,
        other => return Err(wrong(&arguments[0], "a part", &other)),
    };
    let model = evaluation.model;
    let value = |id: FeatureId, name: &str| model.field(id, name).and_then(|field| model.value_of(id, field).ok());
    let edges = model.feature(part).children.iter().filter(|id| &*model.feature(*id).block.name == "edge");
    let on_bed = edges.filter(|id| value(*id, "on-bed") == Some(Value::Flag(true)));
    let cuts = on_bed.flat_map(|id| [value(id, "chamfer"), value(id, "fillet")]).flatten();
    let widths = cuts.filter_map(|cut| if let Value::Quantity(width) = cut { Some(width) } else { None });
    let widest = widths.max_by(|a, b| a.value.total_cmp(&b.value));
    Ok(Value::Quantity(widest.unwrap_or_else(|| Quantity::exact(0.0, Dimension::LENGTH))))
}

/// A value at another feature, its names looked up from there.
fn at(evaluation: &Evaluation, place: FeatureId, value: &Expr) -> Result<Quantity, Failure> {
    let found = match evaluation.locals {
        Some(locals) => locals.value_at(place, value)?,
        None => Evaluation::new(evaluation.model, place).value(value)?,
    };
    match found {
        Value::Quantity(quantity) => Ok(quantity),
        other => Err(wrong(value, "a quantity", &other)),
    }
}

fn how_many(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let kind = kind(evaluation, &arguments[0])?;
    let features = evaluation.model.ids().map(|(_, feature)| feature);
    let count = features.filter(|feature| &*feature.block.name == kind && !feature.imported).count();
    #[allow(clippy::cast_precision_loss, reason = "a count of blocks in a sheet")]
    Ok(Value::Quantity(Quantity::ratio(count as f64)))
}
