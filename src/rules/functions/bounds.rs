//! Dimensions that are drawn at the middle of what only bounds are known of.

use super::stray::block;
use super::{Answer, Form, Gives, Takes};
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::{Dimension, InputKind, Quantity};
use crate::syntax::tree::{Expr, ExprKind, ValueKind};

pub(super) static FORMS: [Form; 2] = [
    Form {
        name: "bounds-behind",
        written: "bounds-behind(block)",
        doc: "How far off, by bounds alone, what the least known of a block's drawn dimensions was drawn from may be, to either side.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| least_known(e, a).map(|(half, _)| Value::Quantity(half))),
    },
    Form {
        name: "drawn-from-bounds",
        written: "drawn-from-bounds(block)",
        doc: "The word of that dimension.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Word,
        answer: Answer::Own(|e, a| least_known(e, a).map(|(_, name)| Value::Text(name.into()))),
    },
];

fn least_known(evaluation: &Evaluation, arguments: &[Expr]) -> Result<(Quantity, String), Failure> {
    let id = block(evaluation, &arguments[0])?;
    let fields = 0..evaluation.model.feature(id).fields.len();
    let known = fields.filter_map(|index| half_width(evaluation, id, index));
    let least = known.max_by(|a, b| a.0.value.total_cmp(&b.0.value));
    least.ok_or_else(|| Failure::Absent("a dimension that is drawn from bounds".into()))
}

/// The half-width of the bounds that a drawn length was worked out from, before it was drawn.
fn half_width(evaluation: &Evaluation, id: FeatureId, index: usize) -> Option<(Quantity, String)> {
    let field = &evaluation.model.feature(id).fields[index];
    evaluation.model.note_read(id, field);
    let written = field.written.as_ref()?;
    let ValueKind::Plain(expr) = &written.value.kind else { return None };
    if matches!(expr.kind, ExprKind::Number { .. }) {
        return None;
    }
    let inner = Evaluation::written(evaluation.model, id, field);
    let value = evaluation.model.without_draws(|| inner.quantity(expr)).ok()?;
    let bounds = |input| evaluation.model.input(input).filter(|input| input.kind == InputKind::Bounds);
    let moved = value.terms.iter().filter_map(|term| {
        let input = bounds(term.input)?;
        Some(term.amount.abs() * input.bound / input.standard)
    });
    let half: f64 = moved.sum();
    let is_length = value.dimension == Dimension::LENGTH && half > 0.0;
    is_length.then(|| (Quantity { unit: value.unit, ..Quantity::exact(half, value.dimension) }, field.name.clone()))
}
