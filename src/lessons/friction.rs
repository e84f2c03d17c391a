//! What pushes and pulls on hooks, and slides down a ramp, say of a material's friction on itself.

use std::collections::BTreeMap;

use super::SheetNotes;
use super::trials::objects;
use crate::learning::figures::Figures;
use crate::learning::friction::{self, Friction, Read};
use crate::learning::reading;
use crate::model::{Model, Value};
use crate::notes::{HookForce, Printed, Ramp};
use crate::rules::derived;

/// What is known of a material's friction on itself.
#[derive(Debug)]
#[non_exhaustive]
pub struct FrictionLesson {
    /// The material's profile.
    pub material: String,
    /// What the profile states, with its standard uncertainty.
    pub stated: (f64, f64),
    /// How many hooks it is from.
    pub hooks: usize,
    /// How many slides down a ramp.
    pub slides: usize,
    /// The last day.
    pub until: Option<String>,
    /// What is known now.
    pub friction: Friction,
}

/// What is gathered of one material.
struct Gathered {
    lesson: FrictionLesson,
    read: Vec<Read>,
}

/// Each material's pushes, pulls and slides.
#[must_use]
pub fn frictions(all: &[SheetNotes], figures: &Figures) -> Vec<FrictionLesson> {
    let mut found: BTreeMap<String, Gathered> = BTreeMap::new();
    for (one, object) in objects(all) {
        let of_hooks = object.forces.iter().filter(|_| one.is_of_revision(object));
        let of_hooks: Vec<Read> = of_hooks.filter_map(|force| of_hook(one.model, force)).collect();
        let slides: Vec<Read> = object.ramps.iter().flat_map(|ramp| of_ramp(ramp, figures)).collect();
        if of_hooks.is_empty() && slides.is_empty() {
            continue;
        }
        let Some(gathered) = gathered(&mut found, one.model, object, figures) else { continue };
        gathered.lesson.hooks += of_hooks.len();
        gathered.lesson.slides += slides.len();
        gathered.read.extend(of_hooks.into_iter().chain(slides));
        gathered.lesson.until = gathered.lesson.until.take().max(object.on.clone());
    }
    let learnt = |Gathered { lesson, read }: Gathered| {
        let friction = lesson.friction.after(&read, figures.friction_scatter);
        FrictionLesson { friction, ..lesson }
    };
    found.into_values().map(learnt).collect()
}

fn gathered<'f>(
    found: &'f mut BTreeMap<String, Gathered>,
    model: &Model,
    object: &Printed,
    figures: &Figures,
) -> Option<&'f mut Gathered> {
    if !found.contains_key(&object.material) {
        let stated = model.stated("materials", &object.material, "friction")?;
        let stated = (stated.value, stated.uncertainty().max(figures.friction_least_u * stated.value));
        let friction = Friction::stated(stated.0, stated.1);
        let material = object.material.clone();
        let lesson = FrictionLesson { material, stated, hooks: 0, slides: 0, until: None, friction };
        found.insert(object.material.clone(), Gathered { lesson, read: Vec::new() });
    }
    found.get_mut(&object.material)
}

/// The friction that a push or pull on one hook tells; none where the hook slides on steel or the arm's force is not known.
fn of_hook(model: &Model, force: &HookForce) -> Option<Read> {
    let arm = model.feature(force.hook).parent?;
    let word = |name: &str| match model.value_of(arm, model.field(arm, name)?).ok()? {
        Value::Text(text) => Some(text.to_string()),
        _ => None,
    };
    if word("rubs-on").is_some_and(|on| on == "steel") {
        return None;
    }
    let slope = if force.pulled { "return" } else { "lead-in" };
    let Value::Quantity(angle) = model.value_of(force.hook, model.field(force.hook, slope)?).ok()? else { return None };
    let aside = derived(model, arm, "aside")?;
    let (mean, ratio) = (reading::mean(&force.forces), reading::mean(&force.forces) / aside.value);
    let u = (reading::shared_u(force.gauge.limit) / mean).hypot(aside.uncertainty() / aside.value);
    let value = friction::of_push(ratio, angle.value);
    let u = friction::of_push_u(ratio, angle.value, ratio * u, angle.uncertainty());
    (value > 0.0 && value.is_finite()).then_some(Read { value, u })
}

/// The friction that each slide down a ramp tells.
fn of_ramp<'r>(ramp: &'r Ramp, figures: &'r Figures) -> impl Iterator<Item = Read> + 'r {
    let length_u = reading::shared_u(ramp.gauge.limit);
    ramp.rises.iter().filter(|rise| (0.0..ramp.length).contains(*rise)).map(move |rise| Read {
        value: friction::of_ramp(*rise, ramp.length),
        u: friction::of_ramp_u(*rise, ramp.length, figures.rise_u, length_u),
    })
}
