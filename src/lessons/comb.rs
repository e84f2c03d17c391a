//! A comb of slots or holes around one bought part: which drawn width that part needs.

use std::collections::{BTreeMap, BTreeSet};

use super::pairs::tried;
use super::prior::prior;
use super::{Group, SheetNotes};
use crate::learning::comb::{Slot, needed};
use crate::learning::figures::{Figures, at_least};
use crate::learning::forecast::Forecast;
use crate::model::{FeatureId, Model};
use crate::notes::{Printed, dimension};

/// What a comb says of a bought part: drawn widths, with the machine's bias and the part's true size in them.
#[derive(Debug)]
#[non_exhaustive]
pub struct CombLesson {
    /// The piece's sheet.
    pub sheet: super::Sheet,
    /// The part that was tried in it.
    pub original: String,
    /// What printed it: machine, material and kind.
    pub group: Group,
    /// How many openings were tried.
    pub marks: usize,
    /// The narrowest and the widest of them as drawn, in mm.
    pub tried: (f64, f64),
    /// The drawn width from which the part goes in, in mm.
    pub enters: Forecast,
    /// The one from which it rattles.
    pub rattles: Forecast,
}

impl CombLesson {
    /// The width to draw: midway between what jams and what rattles, but none that was not tried, in mm.
    #[must_use]
    pub fn draw(&self) -> f64 {
        f64::midpoint(self.enters.mean, self.rattles.mean).clamp(self.tried.0, self.tried.1)
    }
}

/// The teeth of an object, by the part that was tried in them.
fn teeth(model: &Model, object: &Printed, figures: &Figures) -> BTreeMap<String, BTreeSet<FeatureId>> {
    let mut by_part: BTreeMap<String, BTreeSet<FeatureId>> = BTreeMap::new();
    for went in &object.went {
        if let Some((part, _)) = dimension(model, went.fit, "outside") {
            by_part.entry(part).or_default().insert(went.fit);
        }
    }
    by_part.retain(|_, fits| at_least(fits.len(), figures.comb_teeth));
    by_part
}

/// The fits of an object that are teeth of a comb.
pub(super) fn fits(one: &SheetNotes, object: &Printed, figures: &Figures) -> BTreeSet<FeatureId> {
    teeth(one.model, object, figures).into_values().flatten().collect()
}

/// What is gathered of one comb before it is worked out.
struct Marks {
    slots: Vec<Slot>,
    still: Vec<Slot>,
    spread: f64,
    /// What was expected: the width from which it goes in and the one from which it rattles, and how sure both are.
    expected: (f64, f64, f64),
}

/// What all combs of a project say; copies and prints of one piece count together, each with its own marks.
#[must_use]
pub fn combs(all: &[SheetNotes], figures: &Figures) -> Vec<CombLesson> {
    let mut found: BTreeMap<(super::Sheet, String, Group), Marks> = BTreeMap::new();
    for one in all {
        for object in one.notes.objects.iter().filter(|object| one.is_of_revision(object)) {
            for (part, fits) in teeth(one.model, object, figures) {
                for went in object.went.iter().filter(|went| fits.contains(&went.fit)) {
                    let Some(tried) = tried(one.model, went) else { continue };
                    let Some(kind) = tried.kind else { continue };
                    let group = Group { machine: object.machine.clone(), material: object.material.clone(), kind };
                    let Some(prior) = prior(one.model, &group, figures) else { continue };
                    let least = tried.drawn - tried.foretold.mean;
                    let u = (tried.foretold.u.powi(2) - prior.spread.powi(2)).max(0.0).sqrt().max(figures.fit_limit_u);
                    let expected = (least + tried.jams, least + tried.felt, u.hypot(figures.fit_limit_u));
                    let key = (one.sheet.clone(), part.clone(), group);
                    let fresh = || Marks { slots: Vec::new(), still: Vec::new(), spread: prior.spread, expected };
                    let marks = found.entry(key).or_insert_with(fresh);
                    marks.slots.push(Slot { drawn: tried.drawn, goes: went.how != "too-tight" });
                    marks.still.push(Slot { drawn: tried.drawn, goes: went.how == "rattles" });
                }
            }
        }
    }
    let lesson = |((sheet, original, group), marks): ((super::Sheet, String, Group), Marks)| {
        let Marks { slots, still, spread, expected: (enters, rattles, u) } = marks;
        CombLesson {
            sheet,
            original,
            group,
            marks: slots.len(),
            tried: slots.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), slot| {
                (low.min(slot.drawn), high.max(slot.drawn))
            }),
            enters: needed(&slots, spread, (enters, u)),
            rattles: needed(&still, spread, (rattles, u)),
        }
    };
    found.into_iter().map(lesson).collect()
}
