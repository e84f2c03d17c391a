//! What arms held and broke at, and what hooks were pushed and pulled with: the shop's own strain limit and friction.

use std::collections::BTreeMap;

use super::SheetNotes;
use crate::learning::friction::{self, Friction};
use crate::learning::strain_limit::{
    self, CYCLES_POWER, CYCLES_POWERS, Opening, StrainLimit, VARIATION, WITHIN, Within,
};
use crate::model::{FeatureId, Model, Value};
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
    /// Arms that teach nothing here, each with why.
    pub apart: Vec<(String, &'static str)>,
    /// The last day of its trials.
    pub until: Option<String>,
    /// What is known now.
    pub limit: StrainLimit,
}

/// What pushes and pulls say of a material's friction on itself.
#[derive(Debug)]
#[non_exhaustive]
pub struct FrictionLesson {
    /// The material's profile.
    pub material: String,
    /// What the profile states, with its standard uncertainty.
    pub stated: (f64, f64),
    /// How many hooks it is from.
    pub hooks: usize,
    /// The last day.
    pub until: Option<String>,
    /// What is known now.
    pub friction: Friction,
}

/// An arm that leans out of the layers by more bends across them: its limit is another one.
const IN_LAYERS: f64 = 10.0;

/// Each material's trials.
#[must_use]
pub fn strains(all: &[SheetNotes]) -> Vec<StrainLesson> {
    let mut lessons: BTreeMap<String, StrainLesson> = BTreeMap::new();
    for (one, object) in objects(all) {
        for trial in &object.trials {
            if !lessons.contains_key(&object.material) {
                let Some(lesson) = before(one.model, &object.material) else { continue };
                lessons.insert(object.material.clone(), lesson);
            }
            if let Some(lesson) = lessons.get_mut(&object.material) {
                lesson.take(one, object, trial);
            }
        }
    }
    lessons.into_values().collect()
}

fn objects<'a>(all: &'a [SheetNotes<'a, 'a>]) -> impl Iterator<Item = (&'a SheetNotes<'a, 'a>, &'a Printed)> {
    all.iter().flat_map(|one| one.notes.objects.iter().map(move |object| (one, object)))
}

fn before(model: &Model, material: &str) -> Option<StrainLesson> {
    let once = model.stated("materials", material, "flex-once")?.value;
    let often = model.stated("materials", material, "flex-repeated").map(|often| often.value);
    let median = strain_limit::median_of_sheet_limit(once, VARIATION, WITHIN);
    let limit = StrainLimit::new(median, VARIATION, Within::Known(WITHIN), 0.0);
    let material = material.to_owned();
    Some(StrainLesson { material, stated: (once, often), arms: (0, 0), apart: Vec::new(), until: None, limit })
}

impl StrainLesson {
    fn take(&mut self, one: &SheetNotes, object: &Printed, trial: &Trial) {
        match as_strains(one, object, trial) {
            Ok(known) => {
                self.limit = self.limit.after(&known);
                self.arms.0 += 1;
                self.arms.1 += usize::from(known.failed.is_some());
                self.until = self.until.take().max(object.on.clone());
            }
            Err(why) => self.apart.push((one.model.path(trial.arm), why)),
        }
    }

    /// The strain for one opening that a sheet should go by now.
    #[must_use]
    pub fn once(&self) -> f64 {
        self.limit.for_sheet(strain_limit::FAILING)
    }
}

/// The openings of a trial as strains at one opening, by the program's own formula for that arm.
fn as_strains(one: &SheetNotes, object: &Printed, trial: &Trial) -> Result<strain_limit::Trial, &'static str> {
    let model = one.model;
    if !one.is_of_revision(object) {
        return Err("it was of another revision, whose arm is not known any more");
    }
    let leans = derived(model, trial.arm, "leans").map_or(0.0, |leans| leans.value.to_degrees());
    if leans > IN_LAYERS {
        return Err("it bends across its layers");
    }
    let strain = |opening: f64| derived_with(model, trial.arm, "strain", ("deflection", opening));
    let mut u: f64 = 0.0;
    let mut at = |(opening, times): (f64, f64), power: f64| {
        let strain = strain(opening).filter(|strain| strain.value > 0.0).ok_or("its strain cannot be worked out")?;
        if times > strain_limit::MOST_CYCLES {
            return Err("no figure is honest beyond a thousand openings");
        }
        u = u.max(strain.uncertainty() / strain.value);
        // What it bore so often, it would have borne once at a higher strain.
        Ok(Opening { strain: strain.value / strain_limit::cycles_factor(power, times), times: 1.0 })
    };
    // Held: the least that the count is worth. Failed: a count is sure to a factor of two at best, taken against the arm.
    let held = trial.held.map(|held| at(held, CYCLES_POWERS.0)).transpose()?;
    let failed =
        trial.failed.map(|(opening, times)| at((opening, (times / 2.0).max(1.0)), CYCLES_POWER)).transpose()?;
    Ok(strain_limit::Trial { held, failed, u })
}

/// Each material's pushes and pulls.
#[must_use]
pub fn frictions(all: &[SheetNotes]) -> Vec<FrictionLesson> {
    let mut found: BTreeMap<String, (FrictionLesson, Vec<f64>)> = BTreeMap::new();
    for (one, object) in objects(all) {
        for force in object.forces.iter().filter(|_| one.is_of_revision(object)) {
            let mean = crate::learning::reading::mean(&force.forces);
            let Some(reading) = coefficient(one.model, force.hook, force.pulled, mean) else { continue };
            let Some(stated) = one.model.stated("materials", &object.material, "friction") else { continue };
            let stated = (stated.value, stated.uncertainty().max(LEAST_SHARE * stated.value));
            let friction = Friction::stated(stated.0, stated.1);
            let material = object.material.clone();
            let fresh = || (FrictionLesson { material, stated, hooks: 0, until: None, friction }, Vec::new());
            let (lesson, readings) = found.entry(object.material.clone()).or_insert_with(fresh);
            readings.push(reading);
            lesson.hooks += 1;
            lesson.until = lesson.until.take().max(object.on.clone());
        }
    }
    let learnt = |(lesson, readings): (FrictionLesson, Vec<f64>)| {
        let friction = lesson.friction.after(&readings, friction::SCATTER);
        FrictionLesson { friction, ..lesson }
    };
    found.into_values().map(learnt).collect()
}

/// No friction of a profile is sure to less than a tenth of it; judgement.
const LEAST_SHARE: f64 = 0.1;

/// The friction that a push or pull on one hook tells; none where the hook slides on steel or the arm's force is not known.
fn coefficient(model: &Model, hook: FeatureId, pulled: bool, force: f64) -> Option<f64> {
    let arm = model.feature(hook).parent?;
    let word = |name: &str| match model.value_of(arm, model.field(arm, name)?).ok()? {
        Value::Text(text) => Some(text.to_string()),
        _ => None,
    };
    if word("rubs-on").is_some_and(|on| on == "steel") {
        return None;
    }
    let number = |id: FeatureId, name: &str| match model.value_of(id, model.field(id, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    };
    let aside = derived(model, arm, "aside")?.value;
    let angle = number(hook, if pulled { "return" } else { "lead-in" })?;
    let coefficient = friction::of_push(force / aside, angle);
    (coefficient > 0.0 && coefficient.is_finite()).then_some(coefficient)
}
