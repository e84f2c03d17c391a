//! The range that a field is looked at over unless another is asked for.

use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::pack::Formula;
use crate::quantity::Quantity;
use crate::syntax::tree::ValueKind;

/// Where a field is looked at unless asked: half to twice what it is; a temperature 30 K either way, what was measured
/// or bounded some of its standard uncertainties; and all of it within what the field may be.
#[must_use]
pub fn around(
    model: &Model,
    (feature, field): (FeatureId, usize),
    now: Option<&Value>,
) -> Option<(Quantity, Quantity)> {
    const KELVINS: f64 = 30.0;
    const UNCERTAINTIES: f64 = 5.0;
    let Some(Value::Quantity(now)) = now else { return None };
    let field = &model.feature(feature).fields[field];
    let kind = field.written.as_ref().map(|written| &written.value.kind);
    let reach = match kind {
        _ if now.point => Some(KELVINS),
        Some(ValueKind::Measured { .. } | ValueKind::Between { .. }) => Some(UNCERTAINTIES * now.uncertainty()),
        _ => None,
    };
    let (low, high) = match reach.filter(|reach| *reach > 0.0) {
        Some(reach) => (now.value - reach, now.value + reach),
        None => (now.value * 0.5, now.value * 2.0),
    };
    let evaluation = Evaluation::new(model, feature);
    let bound = |formula: &Option<Formula>| {
        let bound = evaluation.quantity(formula.as_ref()?.expr().ok()?).ok()?;
        (bound.dimension == now.dimension).then_some(bound.value)
    };
    // A bound that is not reached itself is come near to.
    let above = bound(&field.about.above).map(|bound| bound + 0.01 * (now.value - bound));
    let least = bound(&field.about.at_least).into_iter().chain(above).fold(low, f64::max);
    let most = bound(&field.about.at_most).map_or(high, |bound| bound.min(high));
    let end = |value: f64| Quantity { value, ..now.clone().frozen() };
    (least < most).then(|| (end(least), end(most)))
}
