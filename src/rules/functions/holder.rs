//! Which of the blocks beside a feature holds what belongs to it, by where both are and by their sizes: the hole whose
//! screw a nut takes.

use super::beside::{beside, heading, kind};
use super::over::PARALLEL;
use super::places::between;
use super::{Answer, Form, Gives, Takes, direction, wrong};
use crate::geometry::{Vector, alignment};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 1] = [Form {
    name: "holder",
    written: "holder(block, held, axis, size, off)",
    doc: "Of the blocks of a kind beside this one that hold a block of another kind, with their axis along its own, either way: the one whose axis is at most so far off where both say where they are; else the first that holds one of the same size, or the first.",
    arguments: 5..=5,
    takes: &[Takes::Block, Takes::Block, Takes::Field, Takes::Field, Takes::Quantity],
    gives: Gives::Feature,
    answer: Answer::Own(|e, a| holder(e, a).map(Value::Feature)),
}];

fn holder(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let [block, held, axis, size, off] = arguments else { return Err(Failure::Reported) };
    let (model, own) = (evaluation.model, evaluation.feature);
    let (block, held) = (kind(evaluation, block)?, kind(evaluation, held)?);
    let (along, axis) = (direction(evaluation, axis)?, field(evaluation, axis)?);
    let (wanted, size) = (evaluation.value(size)?, field(evaluation, size)?);
    let most = evaluation.quantity(off)?.value;
    let inside = |id: FeatureId| model.feature(id).children.of_kind(held);
    let is_along = |id: FeatureId| heading(model, id, axis).is_some_and(|axis| alignment(along, axis) > PARALLEL);
    let is_holder = |id: &FeatureId| &*model.feature(*id).block.name == block && inside(*id).is_some() && is_along(*id);
    let holders = || beside(model, own).filter(is_holder);
    let offs = || holders().filter_map(|id| Some((id, off_axis(model, own, id, along)?)));
    let found = if model.body(own).is_some() && offs().next().is_some() {
        offs().find(|(_, off)| *off <= most).map(|(id, _)| id)
    } else {
        let size_in = |id: FeatureId| inside(id).and_then(|id| model.value_of(id, model.field(id, size)?).ok());
        holders().find(|id| size_in(*id).as_ref() == Some(&wanted)).or_else(|| holders().next())
    };
    found.ok_or_else(|| Failure::Absent(format!("a {block} with a {held} along it").into()))
}

/// The word of a field.
fn field<'e>(evaluation: &Evaluation, expr: &'e Expr) -> Result<&'e str, Failure> {
    match expr.word() {
        Some(word) => Ok(word),
        None => Err(wrong(expr, "a field", &evaluation.value(expr)?)),
    }
}

/// How far a feature's axis is from another's place, where both say where they are.
fn off_axis(model: &Model, one: FeatureId, other: FeatureId, along: Vector) -> Option<f64> {
    Some(between(&model.body(one)?, &model.body(other)?, along))
}
