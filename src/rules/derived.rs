//! What follows from a feature's fields, for those who ask outside of any rule.

use super::scope::DerivedScope;
use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::pack::Formula;
use crate::quantity::Quantity;
use crate::syntax::tree::{Expr, ExprKind, Name};

/// The quantity that follows from a feature's fields under a name; `None` where it cannot be worked out.
#[must_use]
pub fn derived(model: &Model, feature: FeatureId, name: &str) -> Option<Quantity> {
    worked_out(model, feature, model.feature(feature).block.derived(name)?.formula.expr().ok()?)
}

/// The quantity of a formula of the vocabulary in a feature's own terms; `None` where it cannot be worked out.
#[must_use]
pub fn measure_of(model: &Model, feature: FeatureId, formula: &Formula) -> Option<Quantity> {
    worked_out(model, feature, formula.expr().ok()?)
}

/// What [`derived`] comes to with a length in mm in the place of one of the names that its formula uses.
#[must_use]
pub fn derived_with(model: &Model, feature: FeatureId, name: &str, (word, length): (&str, f64)) -> Option<Quantity> {
    let mut formula = model.feature(feature).block.derived(name)?.formula.expr().ok()?.clone();
    put(&mut formula, word, length);
    worked_out(model, feature, &formula)
}

/// The field that a formula of the vocabulary's names leads to at a feature, past what follows from its fields too, such as
/// `hub.depth` of a fit; `None` where it leads to none.
#[must_use]
pub fn field_named(model: &Model, feature: FeatureId, formula: &Formula) -> Option<(FeatureId, usize)> {
    let ExprKind::Path(path) = &formula.expr().ok()?.kind else { return None };
    let scope = DerivedScope::new(model);
    Evaluation::new(model, feature).with_locals(&scope).field_at(path).ok().flatten()
}

fn worked_out(model: &Model, feature: FeatureId, formula: &Expr) -> Option<Quantity> {
    let scope = DerivedScope::new(model);
    match Evaluation::new(model, feature).with_locals(&scope).value(formula).ok()? {
        Value::Quantity(quantity) => Some(quantity),
        _ => None,
    }
}

fn put(expr: &mut Expr, word: &str, length: f64) {
    if expr.word() == Some(word) {
        let unit = Some(Name::new("mm", expr.span));
        expr.kind = ExprKind::Number { value: length, unit };
        return;
    }
    match &mut expr.kind {
        ExprKind::Call { arguments, .. } => arguments.iter_mut().for_each(|argument| put(argument, word, length)),
        ExprKind::Named { value, .. } | ExprKind::Negative(value) | ExprKind::Not(value) => put(value, word, length),
        ExprKind::If { condition, then, otherwise } => {
            for part in [condition, then, otherwise] {
                put(part, word, length);
            }
        }
        ExprKind::Binary { left, right, .. } => {
            put(left, word, length);
            put(right, word, length);
        }
        _ => {}
    }
}
