//! What a reading was taken with.

use crate::model::{Evaluation, Field, Model};
use crate::syntax::tree::ValueKind;

/// The instrument of a set of readings, in mm.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Gauge {
    /// Its name.
    pub name: String,
    /// Its smallest step.
    pub step: f64,
    /// The most that it is off.
    pub limit: f64,
}

/// What lengths are read with where nothing else is said.
const USUAL: &str = "caliper";

impl Gauge {
    /// The instrument that a field's readings name, with the limit that they state or its profile's.
    pub(super) fn of(model: &Model, field: &Field) -> Self {
        let (mut name, mut limit) = (USUAL.to_owned(), None);
        if let Some(ValueKind::Measured { instrument, limit: stated, .. }) =
            field.written.as_ref().map(|written| &written.value.kind)
        {
            name = instrument.as_ref().map_or(name, |instrument| instrument.text.clone());
            let evaluation = Evaluation::new(model, Model::SHEET);
            limit = stated.as_deref().and_then(|stated| Some(evaluation.quantity(stated).ok()?.value));
        }
        let profile = |value: &str| model.stated("instruments", &name, value).map_or(0.0, |quantity| quantity.value);
        Self { step: profile("step"), limit: limit.unwrap_or_else(|| profile("limit")), name }
    }
}
