//! Where features are to their neighbours and to their part's box, where the author says so.

use super::beside::{beside, kind};
use super::stray::block;
use super::{Answer, Form, Gives, Takes};
use crate::geometry::{SMALL, Vector, alignment, axis, dot, length};
use crate::model::{Body, Evaluation, Extent, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 7] = [
    Form {
        name: "neighbour",
        written: "neighbour(block)",
        doc: "Of the round features of a kind above this one in the same part, with axes along its own and depths that overlap, the nearest.",
        arguments: 1..=1,
        takes: &[Takes::Block],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| neighbour(e, a).map(Value::Feature)),
    },
    Form {
        name: "apart",
        written: "apart(feature)",
        doc: "How far another feature's axis is from this one's.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(apart),
    },
    Form {
        name: "edge-distance",
        written: "edge-distance(feature)",
        doc: "How far a round feature's axis is from the nearest side of its part's box that runs along it.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(edge_distance),
    },
    Form {
        name: "place-outside",
        written: "place-outside(feature)",
        doc: "How far a feature's place is outside its part's box; nothing inside.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| outside(e, a, false).map(|(far, _)| lengths(e, far))),
    },
    Form {
        name: "reach-outside",
        written: "reach-outside(feature)",
        doc: "How far a feature surely reaches out of its part's box; nothing where it stays inside.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| outside(e, a, true).map(|(far, _)| lengths(e, far))),
    },
    Form {
        name: "side-outside",
        written: "side-outside(feature)",
        doc: "The side of its part's box that a feature reaches out of farthest.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Word,
        answer: Answer::Own(|e, a| outside(e, a, true).map(|(_, side)| Value::Text(side.into()))),
    },
    Form {
        name: "above-bed",
        written: "above-bed(feature)",
        doc: "How high over the bed a feature's lowest point prints.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(above_bed),
    },
];

pub(super) fn absent(what: &'static str) -> Failure {
    Failure::Absent(what.into())
}

pub(super) fn body(model: &Model, id: FeatureId) -> Result<Body, Failure> {
    model.body(id).ok_or_else(|| absent("its place"))
}

pub(super) fn extent(model: &Model, id: FeatureId) -> Result<Extent, Failure> {
    model.extent(id).ok_or_else(|| absent("the part's size"))
}

/// A length in the unit that the place of the feature itself is written in.
pub(super) fn lengths(evaluation: &Evaluation, value: f64) -> Value {
    lengths_of(evaluation.model, evaluation.feature, value)
}

pub(super) fn lengths_of(model: &Model, id: FeatureId, value: f64) -> Value {
    let place = model.field(id, "at").and_then(|at| model.value_of(id, at).ok());
    let own = match &place {
        Some(Value::Place(place)) => place.iter().rev().find_map(|distance| distance.unit),
        _ => None,
    };
    let unit = own.or_else(|| Unit::usual(Dimension::LENGTH, false));
    let value = if value.abs() < SMALL { 0.0 } else { value };
    Value::Quantity(Quantity { unit, ..Quantity::exact(value, Dimension::LENGTH) })
}

/// The cosine from which on two axes count as parallel.
pub(super) const PARALLEL: f64 = 0.9999;

fn neighbour(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let (model, kind) = (evaluation.model, kind(evaluation, &arguments[0])?);
    let own = body(model, evaluation.feature)?;
    let round = own.round.ok_or_else(|| absent("its axis"))?;
    let mut nearest: Option<(FeatureId, f64)> = None;
    for id in beside(model, evaluation.feature).take_while(|id| *id != evaluation.feature) {
        if *model.feature(id).block.name != *kind {
            continue;
        }
        let Some(other) = model.body(id) else { continue };
        let Some(turned) = other.round.filter(|other| alignment(other.axis, round.axis) > PARALLEL) else { continue };
        let gap = between(&own, &other, round.axis) - round.radius - turned.radius;
        if overlap(&own, &other, round.axis) && nearest.is_none_or(|(_, known)| gap < known) {
            nearest = Some((id, gap));
        }
    }
    nearest.map(|(id, _)| id).ok_or_else(|| absent("a neighbour with a place"))
}

/// Whether two bodies share some stretch along a direction; of what is not known it is taken that they do.
fn overlap(own: &Body, other: &Body, along: Vector) -> bool {
    let ((least, most), (low, high)) = (own.reach(along), other.reach(along));
    let known = |a: f64, b: f64| b - a > SMALL;
    !known(least, most) || !known(low, high) || (low < most - SMALL && high > least + SMALL)
}

/// How far the places of two bodies are from each other, square to a direction.
pub(super) fn between(own: &Body, other: &Body, along: Vector) -> f64 {
    let way: Vector = std::array::from_fn(|i| other.at[i] - own.at[i]);
    let share = dot(way, along);
    length(std::array::from_fn(|i| way[i] - share * along[i]))
}

fn apart(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let own = body(model, evaluation.feature)?;
    let other = body(model, block(evaluation, &arguments[0])?)?;
    let axis = own.round.ok_or_else(|| absent("its axis"))?.axis;
    Ok(lengths(evaluation, between(&own, &other, axis)))
}

fn edge_distance(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let id = block(evaluation, &arguments[0])?;
    let own = body(model, id)?;
    let round = own.round.ok_or_else(|| absent("its axis"))?;
    let extent = extent(model, id)?;
    if outside(evaluation, arguments, false)?.0 > 0.0 {
        return Err(absent("a place within the part's box"));
    }
    let beside = (0..3).filter(|index| alignment(axis(*index), round.axis) < 1.0 - PARALLEL);
    let nearest = beside.map(|i| (own.at[i] - extent.least[i]).min(extent.most[i] - own.at[i])).min_by(f64::total_cmp);
    nearest.map(|far| lengths(evaluation, far)).ok_or_else(|| absent("a side along its axis"))
}

/// How far a feature, or only its place, is outside its part's box, and on which side.
fn outside(evaluation: &Evaluation, arguments: &[Expr], whole: bool) -> Result<(f64, &'static str), Failure> {
    let model = evaluation.model;
    let id = block(evaluation, &arguments[0])?;
    let own = body(model, id)?;
    let extent = extent(model, id)?;
    let mut most = (0.0, "");
    for (index, sides) in [["-x", "+x"], ["-y", "+y"], ["-z", "+z"]].into_iter().enumerate() {
        let (low, high) = if whole { own.reach(axis(index)) } else { (own.at[index], own.at[index]) };
        for (far, side) in [extent.least[index] - low, high - extent.most[index]].into_iter().zip(sides) {
            if far > most.0 {
                most = (far, side);
            }
        }
    }
    Ok(most)
}

fn above_bed(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let id = block(evaluation, &arguments[0])?;
    let (low, _) = evaluation.model.height(id).ok_or_else(|| absent("its height over the bed"))?;
    Ok(lengths_of(evaluation.model, id, low))
}
