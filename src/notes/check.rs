//! What is wrong with notes beyond what is wrong with any text: days, values of another revision, dimensions that nobody prints.

use super::reader::{FAILED, Reader};
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
            "strip" => faults.extend(lengths(model, id, "strip", "thickness", &["from"]).or_else(|| strip(model, id))),
            "sag" => faults.extend(lengths(model, id, "sag", "span", &["from", "reading"])),
            "flare" => faults.extend(lengths(model, id, "flare", "dimension", &["low", "high"])),
            "ramp" => faults.extend(ramp(model, id)),
            "slope" => faults.extend(slope(model, id)),
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

fn is_length(value: &Value) -> bool {
    matches!(value, Value::Quantity(found) if found.dimension == Dimension::LENGTH)
}

/// The fault of a line that names a dimension and says lengths of it.
fn lengths(model: &Model, id: FeatureId, word: &str, named: &str, others: &[&str]) -> Option<Fault> {
    let (value, at) = written(model, id, named)?;
    if dimension(model, id, named).is_none() || !is_length(&value) {
        return Some(NoteFault::NoDimension { word: word.into(), found: value.describe().clone() }.at(at));
    }
    let mut others = others.iter().filter_map(|name| written(model, id, name));
    let (found, at) = others.find(|(value, _)| !is_length(value))?;
    Some(NoteFault::NoLength { word: word.into(), found: found.describe().clone() }.at(at))
}

fn came(model: &Model, id: FeatureId) -> Option<Fault> {
    if let Some(fault) = lengths(model, id, "came", "dimension", &["from", "reading"]) {
        return Some(fault);
    }
    let ((path, of), (_, at)) = (dimension(model, id, "dimension")?, written(model, id, "dimension")?);
    let (Value::Quantity(from), from_at) = written(model, id, "from")? else { return None };
    if model.made(of.0, &model.feature(of.0).fields[of.1], of.2, from.value).is_none() {
        return Some(NoteFault::NotPrinted { path }.at(at));
    }
    another_revision(model, id, path, (from.value, now(model, of)?, from_at))
}

/// Half a hundredth of a millimetre: what follows from readings has more digits than anybody writes down.
pub(crate) const ROUNDED: f64 = 0.005 + 1e-9;

/// A drawn value that is not the sheet's, though the object says that it was printed from this revision.
fn another_revision(model: &Model, id: FeatureId, path: String, (from, now, at): (f64, f64, Span)) -> Option<Fault> {
    let (Value::Text(printed), _) = written(model, model.feature(id).parent?, "revision")? else { return None };
    let (Value::Text(revision), _) = written(model, Model::SHEET, "revision")? else { return None };
    let is_other = *printed == *revision && (from - now).abs() > ROUNDED;
    let (from, now, revision) = (millimetres(from), millimetres(now), revision.to_string());
    is_other.then(|| NoteFault::OtherRevision { path, revision, now, from }.at(at))
}

fn trial(model: &Model, id: FeatureId) -> Option<Fault> {
    let number = |name: &str| Reader { model }.number(id, name);
    let (held, failed) = outcome(model, id);
    let at = model.feature(id).span;
    if held.is_none() && failed.is_none() {
        return Some(NoteFault::NoOutcome {}.at(at));
    }
    let (held, failed) = held.zip(failed)?;
    let fault = || NoteFault::HeldMore { held: millimetres(held), failed: millimetres(failed) }.at(at);
    (held > failed && number("held-times") >= number("times")).then(fault)
}

/// What became of an arm or strip: the openings or radii that it held, and failed at.
fn outcome(model: &Model, id: FeatureId) -> (Option<f64>, Option<f64>) {
    let number = |name: &str| Reader { model }.number(id, name);
    (number("held"), FAILED.into_iter().find_map(number))
}

fn strip(model: &Model, id: FeatureId) -> Option<Fault> {
    let at = model.feature(id).span;
    match outcome(model, id) {
        (None, None) => Some(NoteFault::NoStripOutcome {}.at(at)),
        (Some(held), Some(failed)) if failed > held => {
            Some(NoteFault::HeldTighter { held: millimetres(held), failed: millimetres(failed) }.at(at))
        }
        _ => None,
    }
}

fn ramp(model: &Model, id: FeatureId) -> Option<Fault> {
    for name in ["length", "rise"] {
        let (found, at) = written(model, id, name)?;
        if !is_length(&found) {
            return Some(NoteFault::NoLength { word: "ramp".into(), found: found.describe().clone() }.at(at));
        }
    }
    let reader = Reader { model };
    let (ramp, (_, at)) = (reader.ramp(id)?, written(model, id, "rise")?);
    let high = ramp.rises.iter().copied().find(|rise| *rise >= ramp.length)?;
    Some(NoteFault::RiseBeyond { rise: millimetres(high), length: millimetres(ramp.length) }.at(at))
}

fn slope(model: &Model, id: FeatureId) -> Option<Fault> {
    let (Value::Feature(face), at) = written(model, id, "face")? else { return None };
    let kind = &model.feature(face).block.name;
    model.field(face, "faces").is_none().then(|| NoteFault::NoFace { found: format!("a {kind}") }.at(at))
}
