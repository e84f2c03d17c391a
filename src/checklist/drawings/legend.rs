//! What the numbers stand for, with every drawn dimension.

use maud::{Markup, html};

use crate::checklist::PartPage;
use crate::checklist::page::safe;
use crate::checklist::part::joins;
use crate::checklist::row::shown;
use crate::model::{FeatureId, Model, Value};
use crate::quantity::Dimension;
use crate::rules::Mark;
use crate::vocabulary::Act;

/// A feature with its number and its dimensions.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    number: usize,
    name: String,
    kind: String,
    dimensions: String,
    height: String,
    watch: String,
}

impl Entry {
    pub(super) fn of(model: &Model, id: FeatureId, number: usize, marks: &[(FeatureId, Mark)]) -> Self {
        let feature = model.feature(id);
        let path = model.path(id);
        let marks = marks.iter().filter(|(marked, _)| *marked == id).map(|(_, mark)| mark.word());
        Self {
            number,
            name: path.split_once('.').map_or(path.clone(), |(_, inner)| inner.to_owned()),
            kind: feature.block.name.to_string(),
            dimensions: dimensions(model, id),
            height: model.height(id).map_or(String::new(), reach),
            watch: marks.collect::<Vec<_>>().join(", "),
        }
    }
}

/// `4.0 to 12.0 mm`; one height of what has no thickness that the sheet gives.
fn reach((low, high): (f64, f64)) -> String {
    let [low, high] = [low, high].map(|height| format!("{height:.1}"));
    if low == high { format!("{low} mm") } else { format!("{low} to {high} mm") }
}

/// What is drawn in a part, what is in other features included, in the order of the sheet.
pub(super) fn features(model: &Model, part: FeatureId) -> Vec<FeatureId> {
    let is_in = |id: FeatureId| id != part && model.outward(id).any(|outer| outer == part);
    let is_drawn = |id: FeatureId| {
        let block = &model.feature(id).block;
        block.profile.is_none() && block.act == Act::Holds && !dimensions(model, id).is_empty()
    };
    model.ids().map(|(id, _)| id).filter(|id| is_in(*id) && is_drawn(*id)).collect()
}

/// The blocks at the top of the sheet that bring something of the part together with something else and have a drawing.
pub(super) fn joints(model: &Model, part: &PartPage) -> Vec<FeatureId> {
    let is_joint = |id: FeatureId| model.feature(id).block.detail.is_some() && joins(model, id, part.feature);
    model.ids().map(|(id, _)| id).filter(|id| is_joint(*id)).collect()
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
            Value::Quantity(quantity) if field.name == "count" => {
                // A place is one place: where the others are, the sheet does not say.
                let one_of =
                    if quantity.value > 1.0 && model.place(id).is_some() { " (one of them is drawn)" } else { "" };
                Some(format!("count {}{one_of}", quantity.text()))
            }
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
    let watched = entries.iter().any(|entry| !entry.watch.is_empty());
    html! {
        table.legend {
            thead { tr { th scope="col" { "No." } th scope="col" { "Feature" } th scope="col" { "Drawn" } @if placed { th scope="col" { "Over the bed" } } @if watched { th scope="col" { "Watch" } } } }
            tbody {
                @for entry in entries {
                    tr {
                        td { (entry.number) }
                        th scope="row" { (safe(&entry.name)) " (" (safe(&entry.kind)) ")" }
                        td { (safe(&entry.dimensions)) }
                        @if placed { td { (entry.height) } }
                        @if watched { td { (entry.watch) } }
                    }
                }
            }
        }
    }
}
