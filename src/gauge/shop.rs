//! What a piece is made for: the machine, its nozzle and bed, and the material.

use std::fmt::Write;

use super::Refusal;
use crate::geometry::Vector;
use crate::learning::figures::Figures;
use crate::learning::reading::Instrument;
use crate::model::{FeatureId, Model, Value};
use crate::quantity::{Quantity, number_to};

/// The machine and the material of a sheet. Lengths in mm, angles in radians.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Shop {
    /// The two blocks as a sheet states them.
    pub words: String,
    /// Width of a line.
    pub line: f64,
    /// Height of a layer.
    pub layer: f64,
    /// What can be printed, the margin of the bed taken off.
    pub room: Vector,
    /// How far from vertical an underside may lean.
    pub overhang: f64,
    /// The span that it bridges cleanly.
    pub bridge: f64,
    /// The smallest hole that comes out round.
    pub hole: f64,
    /// Straight pieces of a circle.
    pub facets: u32,
    /// The bias of gaps: its standard uncertainty.
    pub gap_u: f64,
    /// How far gaps scatter from print to print.
    pub gap_spread: f64,
    /// The strain that the material may be bent to once.
    pub flex_once: f64,
    /// What learning goes by.
    pub figures: Figures,
    /// What a caliper shows, and the most that it is off.
    pub caliper: Instrument,
}

/// Digits of a number that is written into a sheet.
const DIGITS: usize = 8;

impl Shop {
    /// Of a sheet's machine and material.
    ///
    /// # Errors
    /// [`Refusal`] where the sheet names none, or lacks one of their values.
    pub fn of(model: &Model) -> Result<Self, Refusal> {
        let (machine, material) = (block(model, "machine")?, block(model, "material")?);
        let needed = |id: FeatureId, field: &'static str| {
            let kind = || model.feature(id).block.name.to_string();
            quantity(model, id, field).ok_or_else(|| Refusal::NotStated { kind: kind(), of: model.path(id), field })
        };
        let value = |name: &'static str| needed(machine, name).map(|quantity| quantity.value);
        let Some(Value::Size(volume)) = value_of(model, machine, "volume") else {
            return Err(Refusal::NoVolume);
        };
        let margin = quantity(model, machine, "bed-margin").map_or(0.0, |margin| margin.value);
        let [x, y, z] = volume.each_ref().map(|side| side.value);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between these")]
        let facets = value("facets")?.clamp(12.0, 360.0).round() as u32;
        let caliper = |name: &str| model.stated("instruments", "caliper", name).map_or(0.0, |quantity| quantity.value);
        Ok(Self {
            caliper: Instrument { step: caliper("step"), limit: caliper("limit") },
            words: words(model, machine) + &words(model, material),
            line: value("line")?,
            layer: value("layer")?,
            room: [x - 2.0 * margin, y - 2.0 * margin, z],
            overhang: value("overhang")?,
            bridge: value("bridge-clean")?,
            hole: value("hole-least")?,
            facets,
            gap_u: needed(machine, "inside-bias")?.uncertainty(),
            gap_spread: value("inside-spread")?,
            flex_once: needed(material, "flex-once")?.value,
            figures: model.vocabulary.figures().ok_or(Refusal::NoFigures)?,
        })
    }

    /// A height as whole layers, at least one.
    #[must_use]
    pub fn layers(&self, height: f64) -> f64 {
        (height / self.layer).round().max(1.0) * self.layer
    }
}

fn block(model: &Model, kind: &'static str) -> Result<FeatureId, Refusal> {
    let found = model.ids().find(|(_, feature)| &*feature.block.name == kind);
    found.map(|(id, _)| id).ok_or(Refusal::NoBlock(kind))
}

/// A block with what it states besides its profile, as one line of a sheet.
fn words(model: &Model, id: FeatureId) -> String {
    let feature = model.feature(id);
    let name = feature.profile.as_deref().unwrap_or(&feature.name);
    let mut out = format!("{} {name}", feature.block.name);
    let own: Vec<String> = feature
        .fields
        .iter()
        .filter_map(|field| {
            field.written.as_ref()?;
            Some(format!("{} {}", field.name, in_words(&model.value_of(id, field).ok()?)))
        })
        .collect();
    if !own.is_empty() {
        // Writing to a text cannot fail.
        let _ = write!(out, " {{ {} }}", own.join("; "));
    }
    out + "\n"
}

/// A value as a sheet would state it, with a tolerance of two standard deviations where it is uncertain.
fn in_words(value: &Value) -> String {
    match value {
        Value::Quantity(quantity) => {
            let u = quantity.uncertainty();
            let text = in_unit(quantity, quantity.value);
            if u > 0.0 { format!("{text} ± {}", in_unit(quantity, 2.0 * u)) } else { text }
        }
        other => other.text(),
    }
}

fn in_unit(quantity: &Quantity, value: f64) -> String {
    quantity.shown_unit().map_or_else(
        || number_to(value, DIGITS),
        |unit| format!("{} {}", number_to(unit.show(value), DIGITS), unit.name),
    )
}

pub(super) fn value_of(model: &Model, id: FeatureId, name: &str) -> Option<Value> {
    model.value_of(id, model.field(id, name)?).ok()
}

pub(super) fn quantity(model: &Model, id: FeatureId, name: &str) -> Option<Quantity> {
    match value_of(model, id, name)? {
        Value::Quantity(quantity) => Some(quantity),
        _ => None,
    }
}
