//! Strips that were wrapped around ever tighter arcs: the strain limit without a root, a length or a modulus in it, and across the
//! layers the bond of these.

use std::collections::BTreeMap;

use super::trials::{StrainLesson, Untaught, before, objects};
use super::{SheetNotes, StrainLesson as Edge};
use crate::learning::figures::Figures;
use crate::learning::reading;
use crate::learning::specimen::arc_strain;
use crate::learning::strain_limit::{self, Opening, StrainLimit};
use crate::notes::{Printed, Strip};

/// What strips that bend across their layers say of a material's bond.
#[derive(Debug)]
#[non_exhaustive]
pub struct BondLesson {
    /// The material's profile.
    pub material: String,
    /// What the profile states.
    pub stated: f64,
    /// How many strips bent across their layers, and how many of these failed.
    pub strips: (usize, usize),
    /// The last day.
    pub until: Option<String>,
    /// The share of the strain limit that is left across the layers.
    pub bond: f64,
    /// Its standard uncertainty.
    pub u: f64,
    /// Whether strips failed both ways: only then it is more than the profile's.
    pub is_proven: bool,
}

/// A strip as a trial: the outer fibre's strain around the last arc that it bore and around the one at which it failed.
pub(super) fn as_trial(
    one: &SheetNotes,
    object: &Printed,
    strip: &Strip,
    figures: &Figures,
) -> Result<strain_limit::Trial, Untaught> {
    if !one.is_of_revision(object) {
        return Err(Untaught::OtherArcs);
    }
    let read = object.came.iter().find(|came| came.path == strip.path).map(|came| reading::mean(&came.readings));
    let thick = read.unwrap_or(strip.drawn);
    let opening = |radius: f64| Opening { strain: arc_strain(thick, radius), times: 1.0 };
    let u = if read.is_some() { figures.strain_u_read } else { figures.strain_u_drawn };
    Ok(strain_limit::Trial { held: strip.held.map(opening), failed: strip.failed.map(opening), u })
}

/// The bond of each material whose strips were bent across their layers; `strains` is what is known along them.
#[must_use]
pub fn bonds(all: &[SheetNotes], strains: &[StrainLesson], figures: &Figures) -> Vec<BondLesson> {
    let mut found: BTreeMap<String, (BondLesson, StrainLimit, f64)> = BTreeMap::new();
    for (one, object) in objects(all) {
        for strip in object.strips.iter().filter(|strip| strip.across_layers) {
            let Ok(trial) = as_trial(one, object, strip, figures) else { continue };
            if !found.contains_key(&object.material) {
                let Some(stated) = one.model.stated("materials", &object.material, "bond") else { continue };
                let known = strains.iter().find(|lesson| lesson.material == object.material);
                let fresh = before(one.model, &object.material, figures);
                let Some(along) = known.or(fresh.as_ref()) else { continue };
                let (lesson, limit, median) = begin(along, stated.value, figures);
                found.insert(object.material.clone(), (lesson, limit, median));
            }
            if let Some((lesson, limit, _)) = found.get_mut(&object.material) {
                *limit = limit.after(&trial);
                lesson.strips.0 += 1;
                lesson.strips.1 += usize::from(trial.failed.is_some());
                lesson.until = lesson.until.take().max(object.on.clone());
            }
        }
    }
    let ended = |(lesson, limit, along): (BondLesson, StrainLimit, f64)| {
        let bond = limit.quantile(0.5) / along;
        let is_proven = lesson.is_proven && lesson.strips.1 > 0;
        BondLesson { bond, u: bond * limit.ln_u(), is_proven, ..lesson }
    };
    found.into_values().map(ended).collect()
}

/// Before any strip across the layers: the limit along them times the profile's bond, as sure as both are.
fn begin(along: &Edge, stated: f64, figures: &Figures) -> (BondLesson, StrainLimit, f64) {
    let median = along.limit.quantile(0.5);
    let variation = figures.bond_scatter.hypot(along.limit.ln_u()).powi(2).exp_m1().sqrt();
    let limit = StrainLimit::new(median * stated, variation, figures.arms_scatter, 0.0);
    let material = along.material.clone();
    let is_proven = along.strips.1 > 0;
    let lesson = BondLesson { material, stated, strips: (0, 0), until: None, bond: stated, u: 0.0, is_proven };
    (lesson, limit, median)
}
