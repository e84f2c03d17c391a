//! Features that are twice there, each with its mate: whether they are where their mates are.

use super::beside::beside;
use super::places::{absent, body, extent, lengths_of};
use super::stray::block;
use super::{Answer, Form, Gives, Takes};
use crate::geometry::{Vector, across, dot};
use crate::model::{Body, Evaluation, Failure, FeatureId, Value};
use crate::quantity::Dimension;
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 4] = [
    Form {
        name: "twin",
        written: "twin(field, field)",
        doc: "The first block of this kind above this one whose two features belong to the same two parts, and are not these.",
        arguments: 2..=2,
        takes: &[Takes::Field],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| twin(e, a).map(Value::Feature)),
    },
    Form {
        name: "is-image",
        written: "is-image(field)",
        doc: "Whether what the sheet says of a field comes from a feature of which this one is the mirror image.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(is_image),
    },
    Form {
        name: "off-beside",
        written: "off-beside(feature, feature, feature, feature)",
        doc: "How far two arms' spacing, along their width, is off from that of two slots, along their length.",
        arguments: 4..=4,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(off_beside),
    },
    Form {
        name: "off-middle",
        written: "off-middle(feature, feature, length)",
        doc: "How much farther an arm is from the middle of its part, along its width, than a slot from that of its own, along its length; only where both parts are as long there, to within a length.",
        arguments: 3..=3,
        takes: &[Takes::Feature, Takes::Feature, Takes::Quantity],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(off_middle),
    },
];

/// The direction square to both sides of a body that are known first.
fn square_to(body: &Body) -> Option<Vector> {
    across(body.sides.first()?.along, body.sides.get(1)?.along)
}

fn off_middle(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let from_middle = |index: usize| {
        let id = block(evaluation, &arguments[index])?;
        let (own, extent) = (body(model, id)?, extent(model, id)?);
        let along = square_to(&own).ok_or_else(|| absent("the way that it lies"))?;
        let half = |axis: usize| (extent.most[axis] - extent.least[axis]) / 2.0;
        let long: f64 = (0..3).map(|axis| 2.0 * half(axis) * along[axis].abs()).sum();
        let middle: Vector = std::array::from_fn(|axis| extent.least[axis] + half(axis));
        Ok((long, (dot(own.at, along) - dot(middle, along)).abs()))
    };
    let ((long, off), (other, window)) = (from_middle(0)?, from_middle(1)?);
    if (long - other).abs() > evaluation.quantity(&arguments[2])?.value {
        return Err(absent("parts that are as long as each other there"));
    }
    Ok(lengths_of(model, block(evaluation, &arguments[0])?, (off - window).abs()))
}

fn off_beside(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let at = |index: usize| block(evaluation, &arguments[index]).and_then(|id| body(model, id));
    let ([arm, next], [slot, window]) = ([at(0)?, at(1)?], [at(2)?, at(3)?]);
    let spacing = |a: &Body, b: &Body| {
        let square = square_to(a)?;
        Some((dot(b.at, square) - dot(a.at, square)).abs())
    };
    let (arms, slots) = (spacing(&arm, &next), spacing(&slot, &window));
    let (arms, slots) = arms.zip(slots).ok_or_else(|| absent("the way that it lies"))?;
    Ok(lengths_of(model, block(evaluation, &arguments[0])?, (arms - slots).abs()))
}

fn twin(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let model = evaluation.model;
    let word = |index: usize| arguments[index].word().unwrap_or_default();
    let named = |id: FeatureId, word: &str| match model.value_of(id, model.field(id, word)?) {
        Ok(Value::Feature(named)) => Some(named),
        _ => None,
    };
    let both = |id: FeatureId| named(id, word(0)).zip(named(id, word(1)));
    let part = |id: FeatureId| model.outward(id).find(|id| model.feature(*id).block.drawn);
    let own = both(evaluation.feature).ok_or_else(|| absent("its features"))?;
    let is_twin = |id: &FeatureId| {
        both(*id).is_some_and(|(first, second)| {
            first != own.0 && second != own.1 && part(first) == part(own.0) && part(second) == part(own.1)
        })
    };
    let kind = &model.feature(evaluation.feature).block.name;
    let above = beside(model, evaluation.feature).take_while(|id| *id != evaluation.feature);
    let mut alike = above.filter(|id| model.feature(*id).block.name == *kind);
    alike.find(is_twin).ok_or_else(|| absent("another one between the same parts"))
}

fn is_image(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let Some((id, index)) = super::origin::field_of(evaluation, &arguments[0])? else { return Ok(Value::Flag(false)) };
    let written = evaluation.model.feature(id).fields[index].written.as_ref();
    let turned = written.map_or(0, |written| written.mirrored.into_iter().filter(|axis| *axis).count());
    Ok(Value::Flag(turned % 2 == 1))
}
