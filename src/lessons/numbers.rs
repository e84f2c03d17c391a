//! The numbers that a sheet states, and the dimensions that follow from each.

use crate::learning::figures::Figures;
use crate::model::{FeatureId, Model, Value};
use crate::quantity::Dimension;
use crate::source::Span;
use crate::syntax::tree::{self, Expr, ExprKind, Name, ValueKind};
use crate::vocabulary::Act;
use crate::window::{Found, field_at};

/// A length that a sheet states once, and by how much each of some dimensions moves with it.
#[derive(Debug, Clone)]
pub(super) struct Number {
    /// Its path.
    pub name: String,
    /// Its value in mm.
    pub value: f64,
    /// Whether it is free to be drawn otherwise: a name for a number, or a drawn dimension, but nothing that was bought.
    pub is_drawn: bool,
    /// Slopes of the dimensions, in their order.
    pub slopes: Vec<f64>,
}

/// By how much a number is moved to see what follows, in mm.
const MOVED: f64 = 0.1;

/// The numbers that at least one of the dimensions follows from, those that are such a dimension themselves apart.
pub(super) fn numbers(model: &Model, dimensions: &[&str]) -> Vec<Number> {
    let found: Vec<Option<Found>> = dimensions.iter().map(|path| field_at(model, path)).collect();
    let is_plain = |found: &Found| stated(model, found.feature, found.field).is_some() || found.extent.is_some();
    if found.iter().flatten().all(is_plain) {
        return Vec::new();
    }
    let mut model = model.untouched();
    model.follow();
    let before: Vec<Option<f64>> = found.iter().map(|found| length(&model, found.as_ref()?)).collect();
    let places: Vec<(FeatureId, usize)> =
        model.ids().flat_map(|(id, feature)| (0..feature.fields.len()).map(move |index| (id, index))).collect();
    let is_own = |place: &(FeatureId, usize)| found.iter().flatten().any(|own| (own.feature, own.field) == *place);
    let mut all = Vec::new();
    for place in places.into_iter().filter(|place| !is_own(place)) {
        let Some((value, at)) = stated(&model, place.0, place.1) else { continue };
        let variations = model.says(place.0, place.1, plain(value + MOVED, at));
        let after = model.varied(&variations, |model| {
            found.iter().map(|found| length(model, found.as_ref()?)).collect::<Vec<Option<f64>>>()
        });
        let slope = |(before, after): (&Option<f64>, &Option<f64>)| match (before, after) {
            (Some(before), Some(after)) => ((after - before) / MOVED * 1e6).round() / 1e6,
            _ => 0.0,
        };
        let slopes: Vec<f64> = before.iter().zip(&after).map(slope).collect();
        if slopes.iter().any(|slope| *slope != 0.0) {
            let feature = model.feature(place.0);
            let is_drawn = feature.block.act == Act::Binds || model.is_drawn(place.0);
            all.push(Number { name: model.field_path(place.0, &feature.fields[place.1]), value, is_drawn, slopes });
        }
    }
    all
}

/// A length that is stated as a number or as readings, in mm, and where.
fn stated(model: &Model, id: FeatureId, index: usize) -> Option<(f64, Span)> {
    let field = model.feature(id).fields.get(index)?;
    let written = field.written.as_ref()?;
    let is_stated = match &written.value.kind {
        ValueKind::Plain(Expr { kind, .. }) => matches!(kind, ExprKind::Number { .. }),
        ValueKind::Toleranced { .. } | ValueKind::Measured { .. } | ValueKind::Between { .. } => true,
        _ => false,
    };
    match model.value_of(id, field).ok()? {
        Value::Quantity(value) if is_stated && value.dimension == Dimension::LENGTH => {
            Some((value.value, written.value.span))
        }
        _ => None,
    }
}

/// The length of a field, or of one extent of a size, in mm.
pub(super) fn length(model: &Model, found: &Found) -> Option<f64> {
    let field = model.feature(found.feature).fields.get(found.field)?;
    match (model.value_of(found.feature, field).ok()?, found.extent) {
        (Value::Quantity(value), None) => Some(value.value),
        (Value::Size(size), Some(extent)) => Some(size[extent].value),
        _ => None,
    }
}

/// A length in mm as a sheet would state it.
pub(super) fn plain(value: f64, span: Span) -> tree::Value {
    let unit = Some(Name::new("mm", span));
    tree::Value { span, kind: ValueKind::Plain(Expr { kind: ExprKind::Number { value, unit }, span }) }
}

/// Whether deviations, in their standard uncertainties, go beyond what so many of them scatter to.
pub(super) fn is_beyond(scores: &[f64], figures: &Figures) -> bool {
    let limit = crate::learning::foretold::largest_limit(scores.len(), figures.sheets_quiet);
    scores.iter().any(|score| score.abs() > limit)
}
