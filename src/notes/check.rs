//! What is wrong with notes beyond what is wrong with any text: days, values of another revision, dimensions that nobody prints.

use super::{dimension, millimetres, now};
use crate::fault::{Fault, NoteFault};
use crate::model::{FeatureId, Model, Value};
use crate::quantity::Dimension;
use crate::rules::Date;
use crate::source::Span;

/// The faults of a text that keeps notes; none of any other.
#[must_use]
pub fn check(model: &Model) -> Vec<Fault> {
    let mut faults = Vec::new();
    if !model.keeps_notes() {
        return faults;
    }
    for (id, feature) in model.ids().filter(|(_, feature)| !feature.imported) {
        match &*feature.block.name {
            "printed" => faults.extend(day(model, id)),
            "came" => faults.extend(came(model, id)),
            "trial" => faults.extend(trial(model, id)),
            _ => {}
        }
    }
    faults
}

/// What a field says, and where.
fn written(model: &Model, id: FeatureId, name: &str) -> Option<(Value, Span)> {
    let field = model.field(id, name)?;
    let at = field.written.as_ref()?.value.span;
    Some((model.value_of(id, field).ok()?, at))
}

fn day(model: &Model, id: FeatureId) -> Option<Fault> {
    let (Value::Text(day), at) = written(model, id, "on")? else { return None };
    (Date::read(&day).is_none()).then(|| NoteFault::NoDay { day: day.to_string() }.at(at))
}

fn came(model: &Model, id: FeatureId) -> Option<Fault> {
    let (named, at) = written(model, id, "dimension")?;
    let is_length = |value: &Value| matches!(value, Value::Quantity(found) if found.dimension == Dimension::LENGTH);
    let printed = dimension(model, id, "dimension").filter(|_| is_length(&named));
    let Some((path, of)) = printed else {
        return Some(NoteFault::NoDimension { found: named.describe().clone() }.at(at));
    };
    let lengths = ["from", "reading"].into_iter().filter_map(|name| written(model, id, name));
    if let Some((found, at)) = lengths.into_iter().find(|(value, _)| !is_length(value)) {
        return Some(NoteFault::NoLength { found: found.describe().clone() }.at(at));
    }
    let (Value::Quantity(from), from_at) = written(model, id, "from")? else { return None };
    if model.made(of.0, &model.feature(of.0).fields[of.1], of.2, from.value).is_none() {
        return Some(NoteFault::NotPrinted { path }.at(at));
    }
    another_revision(model, id, path, (from.value, now(model, of)?, from_at))
}

/// A drawn value that is not the sheet's, though the object says that it was printed from this revision.
fn another_revision(model: &Model, id: FeatureId, path: String, (from, now, at): (f64, f64, Span)) -> Option<Fault> {
    let (Value::Text(printed), _) = written(model, model.feature(id).parent?, "revision")? else { return None };
    let (Value::Text(revision), _) = written(model, Model::SHEET, "revision")? else { return None };
    let is_other = *printed == *revision && (from - now).abs() > 1e-9;
    let (from, now, revision) = (millimetres(from), millimetres(now), revision.to_string());
    is_other.then(|| NoteFault::OtherRevision { path, revision, now, from }.at(at))
}

fn trial(model: &Model, id: FeatureId) -> Option<Fault> {
    let number = |name: &str| match model.value_of(id, model.field(id, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    };
    let (held, failed) = (number("held"), ["cracked", "whitened", "stays-bent"].into_iter().find_map(number));
    let at = model.feature(id).span;
    if held.is_none() && failed.is_none() {
        return Some(NoteFault::NoOutcome {}.at(at));
    }
    let (held, failed) = held.zip(failed)?;
    let fault = || NoteFault::HeldMore { held: millimetres(held), failed: millimetres(failed) }.at(at);
    (held > failed && number("held-times") >= number("times")).then(fault)
}
