//! What the numbers stand for, with every drawn dimension.

use maud::{Markup, html};

use crate::checklist::PartPage;
use crate::checklist::page::safe;
use crate::checklist::row::shown;
use crate::model::{FeatureId, Model, Value};
use crate::quantity::Dimension;
use crate::vocabulary::Act;

/// A feature with its number and its dimensions.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    number: usize,
    name: String,
    kind: String,
    dimensions: String,
    height: String,
}

impl Entry {
    pub(super) fn of(model: &Model, id: FeatureId, number: usize) -> Self {
        let feature = model.feature(id);
        let path = model.path(id);
        Self {
            number,
            name: path.split_once('.').map_or(path.clone(), |(_, inner)| inner.to_owned()),
            kind: feature.block.name.to_string(),
            dimensions: dimensions(model, id),
            height: model.height(id).map_or(String::new(), |(low, high)| format!("{low:.1} to {high:.1} mm")),
        }
    }
}

/// What is drawn in a part, what stands in other features included, in the order of the sheet.
pub(super) fn features(model: &Model, part: FeatureId) -> Vec<FeatureId> {
    let is_in = |id: FeatureId| id != part && model.outward(id).any(|outer| outer == part);
    let is_drawn = |id: FeatureId| {
        let block = &model.feature(id).block;
        block.profile.is_none() && block.act == Act::Holds && !dimensions(model, id).is_empty()
    };
    model.ids().map(|(id, _)| id).filter(|id| is_in(*id) && is_drawn(*id)).collect()
}

/// The blocks at the top of the sheet that bring two dimensions together, as far as the part is in it.
pub(super) fn fits(model: &Model, part: &PartPage) -> Vec<FeatureId> {
    let names = ["inside", "outside"];
    let is_fit =
        |id: FeatureId| names.iter().all(|name| model.field(id, name).is_some_and(|field| field.written.is_some()));
    let is_named = |id: FeatureId| super::super::part::joins(model, id, part.feature);
    model.ids().map(|(id, _)| id).filter(|id| is_fit(*id) && is_named(*id)).collect()
}

/// `length 18 mm, thickness 1.80 mm`
fn dimensions(model: &Model, id: FeatureId) -> String {
    let of = |field: &crate::model::Field| {
        field.written.as_ref()?;
        match model.value_of(id, field).ok()? {
            Value::Quantity(quantity) if quantity.dimension == Dimension::LENGTH => {
                Some(format!("{} {}", field.name, shown(quantity.value, quantity.shown_unit())))
            }
            Value::Quantity(quantity) if quantity.dimension == Dimension::ANGLE => {
                Some(format!("{} {}", field.name, quantity.text()))
            }
            Value::Quantity(quantity) if field.name == "count" => Some(format!("count {}", quantity.text())),
            Value::Direction(_) | Value::Place(_) => {
                Some(format!("{} {}", field.name, model.value_of(id, field).ok()?.text()))
            }
            _ => None,
        }
    };
    model.feature(id).fields.iter().filter_map(of).collect::<Vec<_>>().join(", ")
}

pub(super) fn markup(entries: &[Entry]) -> Markup {
    let placed = entries.iter().any(|entry| !entry.height.is_empty());
    html! {
        table.legend {
            thead { tr { th scope="col" { "No." } th scope="col" { "Feature" } th scope="col" { "Drawn" } @if placed { th scope="col" { "Over the bed" } } } }
            tbody {
                @for entry in entries {
                    tr {
                        td { (entry.number) }
                        th scope="row" { (safe(&entry.name)) " (" (safe(&entry.kind)) ")" }
                        td { (safe(&entry.dimensions)) }
                        @if placed { td { (entry.height) } }
                    }
                }
            }
        }
    }
}
