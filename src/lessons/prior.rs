//! What is known of a machine before anything was read.

use super::Group;
use crate::learning::deviations::Prior;
use crate::learning::figures::Figures;
use crate::model::{Model, Value};

/// What is known of a kind before any reading: the machine's own values in the sheet, else its profile's as it was published.
pub(super) fn prior(model: &Model, group: &Group, figures: &Figures) -> Option<Prior> {
    let written = |value: &str| {
        let machine = model.ids().find(|(_, feature)| feature.block.profile.as_deref() == Some("machines"))?;
        let field = model.field(machine.0, value).filter(|field| field.written.is_some())?;
        match model.value_of(machine.0, field).ok()? {
            Value::Quantity(quantity) if machine.1.profile.as_deref() == Some(&group.machine) => Some(quantity),
            _ => None,
        }
    };
    let stated = |value: String| written(&value).or_else(|| model.stated("machines", &group.machine, &value));
    let bias = stated(format!("{}-bias", group.kind))?;
    let spread = stated(format!("{}-spread", group.kind))?.value;
    let bias_u = Some(bias.uncertainty()).filter(|u| *u > 0.0).unwrap_or(spread);
    (spread > 0.0).then_some(Prior {
        bias: bias.value,
        bias_u,
        spread,
        scale_u: 0.0,
        freedom: figures.freedom(),
        shares: figures.shares(),
    })
}
