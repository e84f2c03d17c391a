//! Which screw belongs to a nut, by where both are and by their sizes.

use super::beside::{beside, heading};
use super::over::PARALLEL;
use super::places::absent;
use super::{Answer, Form, Gives, Takes, direction};
use crate::geometry::{Vector, alignment, dot, length};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 1] = [Form {
    name: "screw-hole",
    written: "screw-hole(direction, size)",
    doc: "Of the holes in the same part that have a screw and run along a direction, either way: the one in line with this feature where both say where they are; else the first whose screw has a size, or the first.",
    arguments: 2..=2,
    takes: &[Takes::Direction, Takes::Word],
    gives: Gives::Feature,
    answer: Answer::Own(|e, a| screw_hole(e, a).map(Value::Feature)),
}];

/// How far two places may lie beside each other, in millimetres, and still count as on one axis.
const IN_LINE: f64 = 0.5;

fn screw_hole(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let (model, along) = (evaluation.model, direction(evaluation, &arguments[0])?);
    let own = evaluation.value(&arguments[1])?;
    let is_along = |id: &FeatureId| heading(model, *id, "axis").is_some_and(|axis| alignment(along, axis) > PARALLEL);
    let has_screw = |id: &FeatureId| model.feature(*id).children.of_kind("screw").is_some();
    let holes = || {
        beside(model, evaluation.feature)
            .filter(|id| &*model.feature(*id).block.name == "hole" && has_screw(id) && is_along(id))
    };
    let offs = || holes().filter_map(|id| Some((id, off_axis(model, evaluation.feature, id, along)?)));
    let found = if model.body(evaluation.feature).is_some() && offs().next().is_some() {
        offs().find(|(_, off)| *off <= IN_LINE).map(|(id, _)| id)
    } else {
        holes().find(|id| screw_size(model, *id).as_ref() == Some(&own)).or_else(|| holes().next())
    };
    found.ok_or_else(|| absent("a hole with a screw along it"))
}

/// The size of the screw in a hole, if it has one.
fn screw_size(model: &Model, hole: FeatureId) -> Option<Value> {
    let screw = model.feature(hole).children.of_kind("screw")?;
    model.value_of(screw, model.field(screw, "size")?).ok()
}

/// How far two places are from each other, square to a direction; `None` where one is not said.
fn off_axis(model: &Model, one: FeatureId, other: FeatureId, along: Vector) -> Option<f64> {
    let (one, other) = (model.body(one)?, model.body(other)?);
    let way: Vector = std::array::from_fn(|i| other.at[i] - one.at[i]);
    let ahead = dot(way, along);
    Some(length(std::array::from_fn(|i| way[i] - ahead * along[i])))
}
