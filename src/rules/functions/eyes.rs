//! What is round and goes across a feature, where both say where they are.

use super::beside::{beside, kind};
use super::places::{absent, body};
use super::stray::block;
use super::{Answer, Form, Gives, Takes, direction};
use crate::geometry::{SMALL, Vector, alignment, dot, length};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 2] = [
    Form {
        name: "across-middle",
        written: "across-middle(block, direction, width)",
        doc: "Of the round blocks of a kind in the same part that go across a direction, with their axis within half a width of this feature's middle line, the one that comes nearest to its side.",
        arguments: 3..=3,
        takes: &[Takes::Block, Takes::Direction, Takes::Quantity],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| across_middle(e, a).map(Value::Feature)),
    },
    Form {
        name: "off-line",
        written: "off-line(feature, direction)",
        doc: "How far another feature's axis is from this one's middle line along a direction.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(off_line),
    },
];

/// How far the axis of a round feature is from the line through a place along a direction, and its radius; `None` where it
/// has no place or does not go across.
fn off(model: &Model, id: FeatureId, from: Vector, along: Vector) -> Option<(f64, f64)> {
    let other = model.body(id)?;
    let round = other.round.filter(|round| alignment(round.axis, along) < SMALL)?;
    let way: Vector = std::array::from_fn(|i| other.at[i] - from[i]);
    let (ahead, through) = (dot(way, along), dot(way, round.axis));
    let beside: Vector = std::array::from_fn(|i| way[i] - ahead * along[i] - through * round.axis[i]);
    Some((length(beside), round.radius))
}

/// The middle line of the feature itself: a point on it, and its direction.
fn line(evaluation: &Evaluation, along: &Expr) -> Result<(Vector, Vector), Failure> {
    let own = body(evaluation.model, evaluation.feature)?;
    Ok((own.at, direction(evaluation, along)?))
}

fn across_middle(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let model = evaluation.model;
    let kind = kind(evaluation, &arguments[0])?;
    let (from, along) = line(evaluation, &arguments[1])?;
    let half = evaluation.quantity(&arguments[2])?.value / 2.0;
    let round = beside(model, evaluation.feature).filter(|id| &*model.feature(*id).block.name == kind);
    let within = round.filter_map(|id| Some((id, off(model, id, from, along)?))).filter(|(_, (off, _))| *off <= half);
    let nearest = within.max_by(|(_, a), (_, b)| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
    nearest.map(|(id, _)| id).ok_or_else(|| Failure::Absent(format!("a {kind} with a place in it").into()))
}

fn off_line(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let (from, along) = line(evaluation, &arguments[1])?;
    let (far, _) = off(evaluation.model, block(evaluation, &arguments[0])?, from, along)
        .ok_or_else(|| absent("something round that goes across"))?;
    Ok(Value::Quantity(Quantity {
        unit: Unit::usual(Dimension::LENGTH, false),
        ..Quantity::exact(far, Dimension::LENGTH)
    }))
}
