//! Pairs that went together, jammed or rattled, as readings of the gap that the machine made.

use super::{Group, SheetNotes};
use crate::learning::deviations::Prior;
use crate::learning::happened::{Clearance, as_reading, rattles, too_tight, went_together};
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

/// A pair as it was tried: its gap as drawn, and the clearance that was foretold, in mm.
pub(super) struct Tried {
    /// The gap's path.
    pub path: String,
    /// What of the machine makes it; none where no one kind of deviation does.
    pub kind: Option<&'static str>,
    /// Its drawn length.
    pub drawn: f64,
    /// Its clearance.
    pub foretold: Clearance,
    /// The clearance under which it jams.
    pub jams: f64,
    /// The one from which it is felt to rattle.
    pub felt: f64,
}

/// What was foretold of a pair; `None` where that cannot be worked out.
pub(super) fn tried(model: &Model, went: &Went) -> Option<Tried> {
    let (path, (id, index, axis)) = dimension(model, went.fit, "inside")?;
    let field = model.feature(id).fields.get(index)?;
    let Value::Quantity(drawn) = model.value_of(id, field).ok()? else { return None };
    let kind = model.made(id, field, axis, drawn.value)?.kind;
    let sides = quantity(model, went, "sides")?;
    let play = derived(model, went.fit, "play")?;
    let foretold = Clearance { mean: play.value * sides, u: play.uncertainty() * sides };
    let limit = |name: &str| Some(derived(model, went.fit, name)?.value * sides);
    Some(Tried { path, kind, drawn: drawn.value, foretold, jams: limit("jams")?, felt: limit("felt")? })
}

/// What a pair says of its gap, where the machine made that gap, it is of the revision that the sheet is at, and no caliper has
/// read it on the same object: one thing is not counted twice. `prior` is asked for what is known of a kind.
pub(super) fn gap(
    one: &SheetNotes,
    object: &Printed,
    went: &Went,
    limit_u: f64,
    prior: impl FnOnce(&Group) -> Option<Prior>,
) -> Option<Gap> {
    if !one.is_of_revision(object) {
        return None;
    }
    let Tried { path, kind, drawn, foretold, jams, felt } = tried(one.model, went)?;
    if object.came.iter().any(|came| came.path == path) {
        return None;
    }
    let group = Group { machine: object.machine.clone(), material: object.material.clone(), kind: kind? };
    if !one.is_current(&group) {
        return None;
    }
    let prior = prior(&group)?;
    let after = match went.how.as_str() {
        "too-tight" => too_tight(foretold, jams, limit_u),
        "rattles" => rattles(foretold, felt, limit_u),
        _ => went_together(foretold, jams, felt),
    };
    let (clearance, variance) = as_reading(foretold, after)?;
    // What goes in is known only so well: that comes on top of what the pair says of the gap.
    let of_gap = prior.bias_u.hypot(prior.spread);
    let of_other = (foretold.u * foretold.u - of_gap * of_gap).max(0.0);
    let deviation = prior.bias + clearance - foretold.mean;
    Some(Gap { path, group, drawn, deviation, variance: variance + of_other })
}

fn quantity(model: &Model, went: &Went, name: &str) -> Option<f64> {
    match model.value_of(went.fit, model.field(went.fit, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    }
}
