//! What stands in or beside a feature: sums over blocks in it, and over features that belong together.

use super::{Form, Gives, Takes, direction, wrong};
use crate::fault::{ValueFault, near};
use crate::geometry::{Vector, alignment, dot};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 10] = [
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
        name: "least-facing",
        written: "least-facing(block, value)",
        doc: "The least of a value over the blocks of a kind beside the feature that face the same way or straight away.",
        arguments: 2..=2,
        takes: &[Takes::Block, Takes::Beside],
        gives: Gives::Alike,
        answer: least_facing,
    },
    Form {
        name: "most-opposed",
        written: "most-opposed(direction, value)",
        doc: "The largest of a value over the features of this kind in the same block whose direction in a field is against this one's.",
        arguments: 2..=2,
        takes: &[Takes::Field, Takes::Quantity],
        gives: Gives::Alike,
        answer: |e, a| largest(e, &a[1], opposed(e, &a[0])?, "a feature across from it"),
    },
    Form {
        name: "largest-across",
        written: "largest-across(block, direction, value)",
        doc: "The largest of a value over the blocks of a kind beside the feature whose `axis` lies square to a direction.",
        arguments: 3..=3,
        takes: &[Takes::Block, Takes::Direction, Takes::Beside],
        gives: Gives::Alike,
        answer: |e, a| largest(e, &a[2], across(e, &a[0], &a[1])?, "a block whose axis lies across it"),
    },
    Form {
        name: "largest-along",
        written: "largest-along(block, direction, value)",
        doc: "The largest of a value over the blocks of a kind beside the feature that face along a direction, either way.",
        arguments: 3..=3,
        takes: &[Takes::Block, Takes::Direction, Takes::Beside],
        gives: Gives::Alike,
        answer: |e, a| largest(e, &a[2], along(e, &a[0], &a[1])?, "a block that faces along it"),
    },
    Form {
        name: "slot-as-wide",
        written: "slot-as-wide(direction, width, share)",
        doc: "Whether a slot in the same block lies across a direction and is as wide as a value, to a share of it.",
        arguments: 3..=3,
        takes: &[Takes::Direction, Takes::Quantity],
        gives: Gives::Flag,
        answer: slot_as_wide,
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

/// The features at which a call works out its last argument; `None` for any other call.
pub(in crate::rules) fn places(evaluation: &Evaluation, name: &str, arguments: &[Expr]) -> Option<Vec<FeatureId>> {
    match (name, arguments) {
        ("total", [kind, _]) => inside(evaluation, kind).ok(),
        ("total-alike", [field, _]) => alike(evaluation, field).ok(),
        ("least-facing", [kind, _]) => facing(evaluation, kind).ok(),
        ("most-opposed", [field, _]) => opposed(evaluation, field).ok(),
        ("largest-across", [kind, direction, _]) => across(evaluation, kind, direction).ok(),
        ("largest-along", [kind, direction, _]) => along(evaluation, kind, direction).ok(),
        _ => None,
    }
}

/// The kind of block that a word names.
pub(super) fn kind<'e>(evaluation: &Evaluation, expr: &'e Expr) -> Result<&'e str, Failure> {
    let word = expr.word().unwrap_or_default();
    let vocabulary = evaluation.model.vocabulary;
    if vocabulary.block(word).is_some() {
        return Ok(word);
    }
    let near = near(word, vocabulary.blocks.iter().map(|block| block.name.as_str()));
    Err(Failure::Fault(Box::new(ValueFault::NoBlockKind { word: word.into(), near }.at(expr.span))))
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
    let kind = &model.feature(evaluation.feature).block.name;
    let is_alike = |id: &FeatureId| {
        let value = model.field(*id, word).and_then(|field| model.value_of(*id, field).ok());
        model.feature(*id).block.name == *kind && value.as_ref() == Some(&own)
    };
    Ok(beside(model, evaluation.feature).filter(is_alike).collect())
}

/// The features in the same block, of any kind.
pub(super) fn beside<'m>(model: &'m Model, feature: FeatureId) -> impl Iterator<Item = FeatureId> + use<'m> {
    let around = model.feature(feature).parent.map(|parent| model.feature(parent));
    around.into_iter().flat_map(|around| around.children.iter())
}

/// What a feature gives a field, where that is a direction.
fn heading(model: &Model, id: FeatureId, word: &str) -> Option<Vector> {
    match model.field(id, word).and_then(|field| model.value_of(id, field).ok()) {
        Some(Value::Direction(vector)) => Some(vector),
        _ => None,
    }
}

/// The cosine from which on two directions count as one line.
const PARALLEL: f64 = 0.99;

/// The cosine up to which two directions count as square to each other.
const SQUARE: f64 = 0.1;

/// The features of the same kind, in the same block, whose direction in a field is against this one's.
fn opposed(evaluation: &Evaluation, field: &Expr) -> Result<Vec<FeatureId>, Failure> {
    let model = evaluation.model;
    let own = direction(evaluation, field)?;
    let Some(word) = field.word() else { return Err(wrong(field, "a field", &Value::Direction(own))) };
    let kind = &model.feature(evaluation.feature).block.name;
    let against = |id: &FeatureId| {
        let is_kind = model.feature(*id).block.name == *kind;
        is_kind && heading(model, *id, word).is_some_and(|other| dot(own, other) < -PARALLEL)
    };
    Ok(beside(model, evaluation.feature).filter(against).collect())
}

/// The blocks of a kind in the same block whose axis lies square to a direction.
fn across(evaluation: &Evaluation, kind_of: &Expr, along: &Expr) -> Result<Vec<FeatureId>, Failure> {
    let (kind, along) = (kind(evaluation, kind_of)?, direction(evaluation, along)?);
    Ok(headed(evaluation, kind, "axis", |axis| alignment(along, axis) < SQUARE))
}

/// The blocks of a kind in the same block that face along a direction, either way.
fn along(evaluation: &Evaluation, kind_of: &Expr, along: &Expr) -> Result<Vec<FeatureId>, Failure> {
    let (kind, along) = (kind(evaluation, kind_of)?, direction(evaluation, along)?);
    Ok(headed(evaluation, kind, "faces", |faces| alignment(along, faces) > PARALLEL))
}

/// The blocks of a kind in the same block whose direction in a field is as asked.
fn headed(evaluation: &Evaluation, kind: &str, field: &str, asked: impl Fn(Vector) -> bool) -> Vec<FeatureId> {
    let model = evaluation.model;
    let is_it =
        |id: &FeatureId| &*model.feature(*id).block.name == kind && heading(model, *id, field).is_some_and(&asked);
    beside(model, evaluation.feature).filter(is_it).collect()
}

fn largest(evaluation: &Evaluation, value: &Expr, places: Vec<FeatureId>, sought: &str) -> Result<Value, Failure> {
    let mut most: Option<Quantity> = None;
    for place in places {
        let one = at(evaluation, place, value)?;
        if most.as_ref().is_none_or(|most| one.value > most.value) {
            most = Some(one);
        }
    }
    most.map(Value::Quantity).ok_or_else(|| Failure::Absent(sought.into()))
}

fn slot_as_wide(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let own = direction(evaluation, &arguments[0])?;
    let [width, share] = [evaluation.quantity(&arguments[1])?, evaluation.quantity(&arguments[2])?];
    let is_it = |id: FeatureId| {
        let across = heading(model, id, "across").is_some_and(|across| dot(own, across).abs() > PARALLEL);
        let wide = model.field(id, "width").and_then(|field| model.value_of(id, field).ok());
        let as_wide = |wide: f64| (wide - width.value).abs() <= share.value * width.value;
        let as_wide = matches!(wide, Some(Value::Quantity(wide)) if as_wide(wide.value));
        &*model.feature(id).block.name == "slot" && across && as_wide
    };
    Ok(Value::Flag(beside(model, evaluation.feature).any(is_it)))
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

/// The blocks of a kind in the same block whose `faces` lies along the feature's own.
fn facing(evaluation: &Evaluation, expr: &Expr) -> Result<Vec<FeatureId>, Failure> {
    let kind = kind(evaluation, expr)?;
    let own = heading(evaluation.model, evaluation.feature, "faces");
    let own = own.ok_or_else(|| Failure::Absent("the way that it faces".into()))?;
    Ok(headed(evaluation, kind, "faces", |other| alignment(own, other) > PARALLEL))
}

fn least_facing(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let mut least: Option<Quantity> = None;
    for place in facing(evaluation, &arguments[0])? {
        let one = at(evaluation, place, &arguments[1])?;
        least = Some(match least {
            Some(known) if known.value <= one.value => known,
            _ => one,
        });
    }
    least.map(Value::Quantity).ok_or_else(|| Failure::Absent("a block that faces the same way".into()))
}

/// A value asked of another feature.
fn at(evaluation: &Evaluation, place: FeatureId, value: &Expr) -> Result<Quantity, Failure> {
    let one = match evaluation.locals {
        Some(locals) => locals.value_at(place, value)?,
        None => Evaluation::new(evaluation.model, place).value(value)?,
    };
    match one {
        Value::Quantity(one) => Ok(one),
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
