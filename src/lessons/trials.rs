//! What arms and strips held and broke at: the shop's own strain limit.

use std::collections::BTreeMap;

use super::SheetNotes;
use super::numbers::plain;
use super::strips::as_trial;
use crate::learning::figures::Figures;
use crate::learning::strain_limit::{self, Opening, StrainLimit};
use crate::model::{FeatureId, Model, Value, Variation};
use crate::notes::{Printed, Trial};
use crate::rules::{derived, derived_with};

/// What trials say of a material.
#[derive(Debug)]
#[non_exhaustive]
pub struct StrainLesson {
    /// The material's profile.
    pub material: String,
    /// The strain for one opening that the profile states, and the one for many.
    pub stated: (f64, Option<f64>),
    /// How many arms it is from, and how many of them failed.
    pub arms: (usize, usize),
    /// How many strips that bent along their layers, and how many of them failed.
    pub strips: (usize, usize),
    /// Arms that teach nothing here, each with why.
    pub apart: Vec<(String, Untaught)>,
    /// The last day of its trials.
    pub until: Option<String>,
    /// What is known now.
    pub limit: StrainLimit,
    /// The share of arms that a sheet's limit lets fail.
    pub failing: f64,
}

/// Why a trial teaches nothing of a strain limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Untaught {
    /// The arm was of another revision, and the notes do not say how it was drawn then.
    OtherRevision,
    /// The strip was of another revision of its piece, whose arcs are not known any more.
    OtherArcs,
    /// It bends across its layers.
    AcrossLayers,
    /// Its strain cannot be worked out.
    NoStrain,
    /// It was opened more often than any figure of fatigue is good for.
    TooOften,
}

/// Each material's trials.
#[must_use]
pub fn strains(all: &[SheetNotes], figures: &Figures) -> Vec<StrainLesson> {
    let mut lessons: BTreeMap<String, StrainLesson> = BTreeMap::new();
    for (one, object) in objects(all) {
        let along = || object.strips.iter().filter(|strip| !strip.across_layers);
        if object.trials.is_empty() && along().next().is_none() {
            continue;
        }
        if !lessons.contains_key(&object.material) {
            let Some(lesson) = before(one.model, &object.material, figures) else { continue };
            lessons.insert(object.material.clone(), lesson);
        }
        let Some(lesson) = lessons.get_mut(&object.material) else { continue };
        for trial in &object.trials {
            let known = as_strains(one, object, trial, figures);
            lesson.take(known, one.model.path(trial.arm), object.on.as_ref(), |lesson| &mut lesson.arms);
        }
        for strip in along() {
            let known = as_trial(one, object, strip, figures);
            lesson.take(known, strip.path.clone(), object.on.as_ref(), |lesson| &mut lesson.strips);
        }
    }
    lessons.into_values().collect()
}

pub(super) fn objects<'a>(
    all: &'a [SheetNotes<'a, 'a>],
) -> impl Iterator<Item = (&'a SheetNotes<'a, 'a>, &'a Printed)> {
    all.iter().flat_map(|one| one.notes.objects.iter().map(move |object| (one, object)))
}

/// What a profile says, before any trial.
pub(super) fn before(model: &Model, material: &str, figures: &Figures) -> Option<StrainLesson> {
    let once = model.stated("materials", material, "flex-once")?.value;
    let often = model.stated("materials", material, "flex-repeated").map(|often| often.value);
    let median =
        strain_limit::median_of_sheet_limit(once, figures.limits_vary, figures.arms_scatter, figures.arms_failing);
    let limit = StrainLimit::new(median, figures.limits_vary, figures.arms_scatter, 0.0);
    let material = material.to_owned();
    Some(StrainLesson {
        material,
        stated: (once, often),
        arms: (0, 0),
        strips: (0, 0),
        apart: Vec::new(),
        until: None,
        limit,
        failing: figures.arms_failing,
    })
}

impl StrainLesson {
    fn take(
        &mut self,
        known: Result<strain_limit::Trial, Untaught>,
        path: String,
        on: Option<&String>,
        counts: fn(&mut Self) -> &mut (usize, usize),
    ) {
        match known {
            Ok(known) => {
                self.limit = self.limit.after(&known);
                let (all, failed) = counts(self);
                *all += 1;
                *failed += usize::from(known.failed.is_some());
                self.until = self.until.take().max(on.cloned());
            }
            Err(why) => self.apart.push((path, why)),
        }
    }

    /// How many arms and strips failed.
    #[must_use]
    pub fn failed(&self) -> usize {
        self.arms.1 + self.strips.1
    }

    /// Whether any arm or strip says something.
    #[must_use]
    pub fn is_taught(&self) -> bool {
        self.arms.0 + self.strips.0 > 0
    }

    /// The strain for one opening that a sheet should go by now.
    #[must_use]
    pub fn once(&self) -> f64 {
        self.limit.for_sheet(self.failing)
    }
}

/// The openings of a trial as strains at one opening, by the program's own formula for that arm as it was drawn then.
fn as_strains(
    one: &SheetNotes,
    object: &Printed,
    trial: &Trial,
    figures: &Figures,
) -> Result<strain_limit::Trial, Untaught> {
    let stated = [("length", trial.drawn[0]), ("thickness", trial.drawn[1])];
    if !one.is_of_revision(object) && stated.iter().any(|(_, drawn)| drawn.is_none()) {
        return Err(Untaught::OtherRevision);
    }
    let leans = derived(one.model, trial.arm, "leans").map_or(0.0, |leans| leans.value);
    if leans > figures.in_layers {
        return Err(Untaught::AcrossLayers);
    }
    as_drawn(one.model, trial.arm, &stated, |model| openings(model, trial, figures))
}

fn openings(model: &Model, trial: &Trial, figures: &Figures) -> Result<strain_limit::Trial, Untaught> {
    let strain = |opening: f64| derived_with(model, trial.arm, "strain", ("deflection", opening));
    let mut u: f64 = 0.0;
    let mut at = |(opening, times): (f64, f64)| {
        let strain = strain(opening).filter(|strain| strain.value > 0.0).ok_or(Untaught::NoStrain)?;
        if times > figures.cycles_most {
            return Err(Untaught::TooOften);
        }
        u = u.max(strain.uncertainty() / strain.value);
        // What it bore so often, it would have borne once at a higher strain.
        let strain = strain.value / strain_limit::cycles_factor(figures.cycles_power, times);
        Ok(Opening { strain, times: 1.0 })
    };
    // Held: the least that the count is worth. Failed: a count is sure to a factor of two at best, taken against the arm.
    let held = trial.held.map(&mut at).transpose()?;
    let failed = trial.failed.map(|(opening, times)| at((opening, (times / 2.0).max(1.0)))).transpose()?;
    let (Some(bore), Some(gave), Some((opening, times))) = (held, failed, trial.failed) else {
        return Ok(strain_limit::Trial { held, failed, u });
    };
    // It held for more than half of the count at which it failed: it failed somewhere between that half and the whole.
    let (held, failed) = if bore.strain < gave.strain { (bore, gave) } else { (gave, at((opening, times))?) };
    Ok(strain_limit::Trial { held: Some(held), failed: Some(failed), u })
}

/// Looks at the sheet with the arm as it was drawn when it was tried.
fn as_drawn<T>(model: &Model, arm: FeatureId, stated: &[(&str, Option<f64>)], look: impl FnOnce(&Model) -> T) -> T {
    let differs = |(name, drawn): &(&str, Option<f64>)| {
        let (index, drawn) = (model.feature(arm).fields.iter().position(|field| field.name == *name)?, (*drawn)?);
        let Value::Quantity(now) = model.value_of(arm, &model.feature(arm).fields[index]).ok()? else { return None };
        ((now.value - drawn).abs() > 1e-9).then_some((index, drawn))
    };
    let changed: Vec<(usize, f64)> = stated.iter().filter_map(differs).collect();
    if changed.is_empty() {
        return look(model);
    }
    let mut then = model.untouched();
    then.follow();
    let says =
        changed.into_iter().flat_map(|(index, drawn)| then.says(arm, index, plain(drawn, then.feature(arm).span)));
    let says: Vec<Variation> = says.collect();
    then.varied(&says, |model| look(model))
}
