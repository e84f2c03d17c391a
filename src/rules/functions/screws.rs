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
    let holes = beside(model, evaluation.feature).filter(|id| &*model.feature(*id).block.name == "hole");
    let parallel = holes.filter(|id| heading(model, *id, "axis").is_some_and(|axis| alignment(along, axis) > PARALLEL));
    let screwed: Vec<(FeatureId, Value)> = parallel.filter_map(|id| Some((id, screw_size(model, id)?))).collect();
    let placed = screwed.iter().any(|(id, _)| off_axis(model, evaluation.feature, *id, along).is_some());
    let found = if placed {
        let in_line = |id| off_axis(model, evaluation.feature, id, along).is_some_and(|off| off <= IN_LINE);
        screwed.iter().find(|(id, _)| in_line(*id))
    } else {
        screwed.iter().find(|(_, size)| *size == own).or(screwed.first())
    };
    found.map(|(id, _)| *id).ok_or_else(|| absent("a hole with a screw along it"))
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
