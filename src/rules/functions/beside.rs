//! What else there is: in the same block, among a part's edges, in the whole sheet.

use super::over::{PARALLEL, headed};
use super::{Answer, Form, Gives, Takes, direction, wrong};
use crate::fault::{ValueFault, near};
use crate::geometry::{Vector, alignment};
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 3] = [
    Form {
        name: "first-alike",
        written: "first-alike(field)",
        doc: "Whether a feature is the first of those in the same block that give a field the same word.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(|e, a| Ok(Value::Flag(alike(e, a)?.first() == Some(&e.feature)))),
    },
    Form {
        name: "any-as-wide",
        written: "any-as-wide(block, direction, width, share)",
        doc: "Whether a block of a kind beside the feature, whose `across` lies along a direction, is as wide as a value, to a share of it.",
        arguments: 4..=4,
        takes: &[Takes::Block, Takes::Direction, Takes::Quantity],
        gives: Gives::Flag,
        answer: Answer::Own(any_as_wide),
    },
    Form {
        name: "how-many",
        written: "how-many(block)",
        doc: "How many blocks of a kind there are in the same part, or in the whole sheet for what is in no part; what a used sheet brings is not counted.",
        arguments: 1..=1,
        takes: &[Takes::Block],
        gives: Gives::Of(Dimension::NONE),
        answer: Answer::Own(how_many),
    },
];

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

/// The features of the same kind, in the same block, that give a field the same value; this one among them.
pub(super) fn alike(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Vec<FeatureId>, Failure> {
    let (model, field) = (evaluation.model, &arguments[0]);
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
pub(super) fn heading(model: &Model, id: FeatureId, word: &str) -> Option<Vector> {
    match model.field(id, word).and_then(|field| model.value_of(id, field).ok()) {
        Some(Value::Direction(vector)) => Some(vector),
        _ => None,
    }
}

fn any_as_wide(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let (model, kind) = (evaluation.model, kind(evaluation, &arguments[0])?);
    let own = direction(evaluation, &arguments[1])?;
    let [width, share] = [evaluation.quantity(&arguments[2])?, evaluation.quantity(&arguments[3])?];
    let as_wide = |id: FeatureId| {
        let wide = model.field(id, "width").and_then(|field| model.value_of(id, field).ok());
        let as_wide = |wide: f64| (wide - width.value).abs() <= share.value * width.value;
        matches!(wide, Some(Value::Quantity(wide)) if as_wide(wide.value))
    };
    let along = headed(evaluation, kind, "across", |across| alignment(own, across) > PARALLEL);
    Ok(Value::Flag(along.into_iter().any(as_wide)))
}

fn how_many(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let kind = kind(evaluation, &arguments[0])?;
    let model = evaluation.model;
    let part = model.outward(evaluation.feature).find(|around| model.feature(*around).block.drawn);
    let is_inside = |id: FeatureId| part.is_none_or(|part| model.outward(id).any(|around| around == part));
    let of_kind = model.ids().filter(|(_, feature)| &*feature.block.name == kind && !feature.imported);
    let count = of_kind.filter(|(id, _)| is_inside(*id)).count();
    #[allow(clippy::cast_precision_loss, reason = "a count of blocks in a sheet")]
    Ok(Value::Quantity(Quantity::ratio(count as f64)))
}
