//! What lies ahead of a feature along a direction, where both say where they are.

use super::beside::beside;
use super::places::{PARALLEL, absent, body, lengths};
use super::stray::block;
use super::{Answer, Form, Gives, Takes, direction};
use crate::geometry::{SMALL, Vector, alignment, dot};
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::Dimension;
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 3] = [
    Form {
        name: "in-the-way",
        written: "in-the-way(direction)",
        doc: "The nearest feature of material in the same part that surely lies ahead of this one along a direction.",
        arguments: 1..=1,
        takes: &[Takes::Direction],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| in_the_way(e, a).map(Value::Feature)),
    },
    Form {
        name: "gap-to",
        written: "gap-to(feature, direction)",
        doc: "The gap from this feature to another along a direction.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(gap_to),
    },
    Form {
        name: "reach-to",
        written: "reach-to(feature, direction)",
        doc: "How far another feature reaches along a direction, from this one's place.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(reach_to),
    },
];

fn in_the_way(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let model = evaluation.model;
    let own = body(model, evaluation.feature)?;
    let along = direction(evaluation, &arguments[0])?;
    let front = own.reach(along).1;
    let sides: Vec<Vector> =
        own.sides.iter().map(|side| side.along).filter(|side| alignment(*side, along) < 1.0 - PARALLEL).collect();
    if sides.len() < 2 {
        return Err(absent("what it takes up"));
    }
    let mut nearest: Option<(FeatureId, f64)> = None;
    for id in beside(model, evaluation.feature).filter(|id| *id != evaluation.feature) {
        let Some(other) = model.body(id).filter(|other| !other.hollow && !other.sides.is_empty()) else { continue };
        let ahead = other.reach(along).0 - front;
        let meets = sides.iter().all(|side| {
            let ((least, most), (low, high)) = (own.reach(*side), other.reach(*side));
            low < most - SMALL && high > least + SMALL
        });
        if meets && ahead > -SMALL && nearest.is_none_or(|(_, known)| ahead < known) {
            nearest = Some((id, ahead));
        }
    }
    nearest.map(|(id, _)| id).ok_or_else(|| absent("anything in its way"))
}

fn gap_to(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let (own, other) = (body(model, evaluation.feature)?, body(model, block(evaluation, &arguments[0])?)?);
    let along = direction(evaluation, &arguments[1])?;
    Ok(lengths(evaluation, other.reach(along).0 - own.reach(along).1))
}

fn reach_to(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let (own, other) = (body(model, evaluation.feature)?, body(model, block(evaluation, &arguments[0])?)?);
    let along = direction(evaluation, &arguments[1])?;
    Ok(lengths(evaluation, other.reach(along).1 - dot(own.at, along)))
}
