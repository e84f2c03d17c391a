//! Pairs that went together, jammed or rattled, as readings of the gap that the machine made.

use super::{Group, SheetNotes};
use crate::learning::deviations::Prior;
use crate::learning::happened::{Clearance, LIMIT_U, as_reading, rattles, too_tight, went_together};
use crate::model::{Model, Value};
use crate::notes::{Printed, Went, dimension};
use crate::rules::derived;

/// What a pair says of its gap.
pub(super) struct Gap {
    /// The gap's path.
    pub path: String,
    /// Its group.
    pub group: Group,
    /// Its drawn length in mm.
    pub drawn: f64,
    /// The reading that would have said the same: deviation in mm and variance in mm².
    pub deviation: f64,
    pub variance: f64,
}

/// What a pair says of its gap, where the machine made that gap, it is of the revision that the sheet is at, and no caliper has
/// read it on the same object: one thing is not counted twice. `prior` is asked for what is known of a kind.
pub(super) fn gap(
    one: &SheetNotes,
    object: &Printed,
    went: &Went,
    prior: impl FnOnce(&Group) -> Option<Prior>,
) -> Option<Gap> {
    let model = one.model;
    if !one.is_of_revision(object) {
        return None;
    }
    let (path, (id, index, axis)) = dimension(model, went.fit, "inside")?;
    if object.came.iter().any(|came| came.path == path) {
        return None;
    }
    let field = model.feature(id).fields.get(index)?;
    let Value::Quantity(drawn) = model.value_of(id, field).ok()? else { return None };
    let kind = model.made(id, field, axis, drawn.value)?.kind?;
    let group = Group { machine: object.machine.clone(), material: object.material.clone(), kind };
    if !one.is_current(&group) {
        return None;
    }
    let prior = prior(&group)?;
    let sides = quantity(model, went, "sides")?;
    let play = derived(model, went.fit, "play")?;
    let foretold = Clearance { mean: play.value * sides, u: play.uncertainty() * sides };
    let limit = |name: &str| Some(derived(model, went.fit, name)?.value * sides);
    let after = match went.how.as_str() {
        "too-tight" => too_tight(foretold, limit("jams")?, LIMIT_U),
        "rattles" => rattles(foretold, limit("felt")?, LIMIT_U),
        _ => went_together(foretold, limit("jams")?, limit("felt")?),
    };
    let (clearance, variance) = as_reading(foretold, after)?;
    // What goes in is known only so well: that comes on top of what the pair says of the gap.
    let of_gap = prior.bias_u.hypot(prior.spread);
    let of_other = (foretold.u * foretold.u - of_gap * of_gap).max(0.0);
    let deviation = prior.bias + clearance - foretold.mean;
    Some(Gap { path, group, drawn: drawn.value, deviation, variance: variance + of_other })
}

fn quantity(model: &Model, went: &Went, name: &str) -> Option<f64> {
    match model.value_of(went.fit, model.field(went.fit, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    }
}
