//! In which unit a sentence says a value, where the author writes inches, pounds or degrees Fahrenheit.
//!
//! Tables and rules have their numbers in millimetres; a sentence that mixes both makes the reader convert. What a
//! sheet or a profile states is said as it is there.

use crate::model::{Evaluation, FeatureId, Margin, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::{Expr, ExprKind};

/// The value in the author's unit.
pub(super) fn in_authors_unit(value: Value, expr: &Expr, evaluation: &Evaluation) -> Value {
    let own = |quantity: Quantity| match authors_unit(evaluation, &quantity) {
        Some(unit) => Quantity { unit: Some(unit), ..quantity },
        None => quantity,
    };
    match value {
        Value::Quantity(quantity) if !is_stated(expr, evaluation) => Value::Quantity(own(quantity)),
        Value::Size(size) if !is_stated(expr, evaluation) => Value::Size(Box::new(size.map(own))),
        other => other,
    }
}

/// A comparison with both sides in the author's unit.
pub(super) fn margin_in_authors_unit(margin: &Margin, evaluation: &Evaluation) -> Margin {
    let margin = margin.clone();
    match authors_unit(evaluation, &margin.left) {
        Some(unit) if !margin.left.unit.is_some_and(Unit::is_customary) => {
            let own = |quantity| Quantity { unit: Some(unit), ..quantity };
            Margin { left: own(margin.left), right: own(margin.right), ..margin }
        }
        _ => margin,
    }
}

/// The inch, pound or degree in which the author gives values like this one.
pub(super) fn authors_unit(evaluation: &Evaluation, like: &Quantity) -> Option<&'static Unit> {
    if like.dimension == Dimension::AREA {
        let length = written_unit(evaluation, Dimension::LENGTH, false)?;
        return if length.is_customary() { Unit::named("in2") } else { None };
    }
    written_unit(evaluation, like.dimension, like.point).filter(|unit| unit.is_customary())
}

/// The unit of the first value of a dimension that the feature, what is in it or what it is in gives.
fn written_unit(evaluation: &Evaluation, dimension: Dimension, point: bool) -> Option<&'static Unit> {
    let model = evaluation.model;
    let inside = model.feature(evaluation.feature).children.iter();
    let mut near =
        model.outward(evaluation.feature).take(1).chain(inside).chain(model.outward(evaluation.feature).skip(1));
    let of_value = |value: &Value| {
        let quantity = match value {
            Value::Quantity(quantity) => quantity,
            Value::Size(lengths) | Value::Place(lengths) => &lengths[0],
            Value::Margin(margin) => &margin.left,
            _ => return None,
        };
        quantity.unit.filter(|unit| unit.dimension == dimension && unit.is_point() == point)
    };
    near.find_map(|id: FeatureId| {
        let written = model.feature(id).fields.iter().filter(|field| field.written.is_some());
        written.filter_map(|field| model.value_of(id, field).ok()).find_map(|value| of_value(&value))
    })
}

/// Whether a formula names what the sheet or a profile states.
fn is_stated(expr: &Expr, evaluation: &Evaluation) -> bool {
    let ExprKind::Path(path) = &expr.kind else { return false };
    let Ok(Some((id, index))) = evaluation.field_at(path) else { return false };
    let feature = evaluation.model.feature(id);
    feature.fields[index].written.is_some() || feature.profile.is_some()
}
