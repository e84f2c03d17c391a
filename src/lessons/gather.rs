//! From notes to readings by kind.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::pairs::gap;
use super::{Entry, Group, Lesson, Suspect};
use crate::learning::deviations::{Deviation, LENGTHS_APART, Learnt, PRIOR_FREEDOM, Prior, SCALE_U, SHARES};
use crate::learning::mistyped::{self, suspicion};
use crate::learning::reading;
use crate::model::{Field, Model, Value};
use crate::notes::{Came, Notes, Printed, Went};

/// A sheet by its full path.
pub type Sheet = PathBuf;

/// Notes with the sheet that they are on, as it is now.
#[derive(Debug)]
pub struct SheetNotes<'m, 'v> {
    /// The name of the notes' file.
    pub name: String,
    /// The sheet.
    pub sheet: Sheet,
    /// The notes' text as meant, the sheet in it.
    pub model: &'m Model<'v>,
    /// What they say.
    pub notes: Notes,
}

/// All that the notes of a project teach.
#[derive(Debug)]
#[non_exhaustive]
pub struct Lessons {
    /// By machine, material and kind, in that order.
    pub lessons: Vec<Lesson>,
    /// The scatter of repeats at this bench, in mm.
    pub scatter: f64,
    /// Readings of dimensions of which no one kind of deviation is known, or no machine: which notes, object and dimension.
    pub apart: Vec<(usize, usize, usize)>,
}

/// Repeats that differ by so much more than they usually do are no scatter of reading.
const DISAGREES: f64 = 10.0;

struct Reading {
    deviation: Deviation,
    /// What a caliper read; none of a pair that went together or did not.
    read: Option<Read>,
}

struct Read {
    at: (usize, usize, usize),
    path: String,
    object: String,
    drawn: f64,
    unbiased: f64,
    came: f64,
    gauge: String,
    limit: f64,
    readings: Vec<f64>,
}

/// Numbers given to names in the order in which they come.
#[derive(Default)]
struct Numbers(BTreeMap<Vec<String>, usize>);

impl Numbers {
    fn of(&mut self, key: Vec<String>) -> usize {
        let next = self.0.len();
        *self.0.entry(key).or_insert(next)
    }
}

/// What is gathered note by note.
#[derive(Default)]
struct Gathering {
    scatter: f64,
    readings: BTreeMap<Group, Vec<Reading>>,
    priors: BTreeMap<Group, Prior>,
    numbers: [Numbers; 3],
    apart: Vec<(usize, usize, usize)>,
}

impl Gathering {
    fn prior(&mut self, model: &Model, group: &Group) -> Option<Prior> {
        if let Some(known) = self.priors.get(group) {
            return Some(*known);
        }
        let prior = prior(model, group)?;
        self.priors.insert(group.clone(), prior);
        Some(prior)
    }

    fn came(&mut self, one: &SheetNotes, at: (usize, usize, usize)) {
        let object = &one.notes.objects[at.1];
        let came = &object.came[at.2];
        let taken = taken(one, object, came).filter(|(group, _)| self.prior(one.model, group).is_some());
        let Some((group, unbiased)) = taken else {
            self.apart.push(at);
            return;
        };
        let mean = reading::mean(&came.readings) + one.chord(came);
        let variance = reading::own_variance(self.scatter, came.readings.len(), came.gauge.step);
        let deviation = self.deviation(one, object, (&came.path, came.drawn), (mean - unbiased, variance));
        let read = Read {
            at,
            path: came.path.clone(),
            object: object.object.clone(),
            drawn: came.drawn,
            unbiased,
            came: mean,
            gauge: came.gauge.name.clone(),
            limit: came.gauge.limit,
            readings: came.readings.clone(),
        };
        self.readings.entry(group).or_default().push(Reading { deviation, read: Some(read) });
    }

    fn went(&mut self, one: &SheetNotes, at: (usize, usize), went: &Went) {
        let object = &one.notes.objects[at.1];
        let Some(gap) = gap(one, object, went, |group| self.prior(one.model, group)) else { return };
        let deviation = self.deviation(one, object, (&gap.path, gap.drawn), (gap.deviation, gap.variance));
        self.readings.entry(gap.group).or_default().push(Reading { deviation, read: None });
    }

    fn deviation(
        &mut self,
        one: &SheetNotes,
        object: &Printed,
        (path, length): (&str, f64),
        (value, variance): (f64, f64),
    ) -> Deviation {
        let sheet = one.sheet.display().to_string();
        let day = object.on.clone().unwrap_or_default();
        let job = match &object.plate {
            Some(plate) if object.on.is_some() => vec![object.machine.clone(), plate.clone(), day],
            // Without its day, a plate's name says nothing outside of its own notes.
            Some(plate) => vec![one.name.clone(), plate.clone()],
            None => vec![one.name.clone(), object.object.clone(), day, String::new()],
        };
        let own = [one.name.clone(), object.object.clone()].into_iter().chain(job.clone()).collect();
        let [features, jobs, objects] = &mut self.numbers;
        Deviation {
            feature: features.of(vec![sheet, path.to_owned()]),
            job: jobs.of(job),
            object: objects.of(own),
            jaws: None,
            length,
            value,
            variance,
        }
    }
}

impl Lessons {
    /// Gathers the readings of all notes of a project.
    #[must_use]
    pub fn of(all: &[SheetNotes]) -> Self {
        let sets = all.iter().flat_map(|one| &one.notes.objects).flat_map(|object| &object.came);
        let agree = |came: &&Came| spread(&came.readings) <= DISAGREES * reading::REPEAT_SCATTER;
        let sets = sets.filter(agree).map(|came| came.readings.as_slice());
        let scatter = reading::repeat_scatter(sets, reading::REPEAT_SCATTER, reading::REPEAT_FREEDOM);
        let mut gathering = Gathering { scatter, ..Gathering::default() };
        for (at, one) in all.iter().enumerate() {
            for (object_at, object) in one.notes.objects.iter().enumerate() {
                for came_at in 0..object.came.len() {
                    gathering.came(one, (at, object_at, came_at));
                }
                for went in &object.went {
                    gathering.went(one, (at, object_at), went);
                }
            }
        }
        let Gathering { readings, priors, apart, .. } = gathering;
        let lessons = readings.into_iter().filter_map(|(group, readings)| {
            let prior = *priors.get(&group)?;
            Some(lesson(group, prior, readings))
        });
        Self { lessons: lessons.collect(), scatter, apart }
    }
}

fn spread(readings: &[f64]) -> f64 {
    let (low, high) =
        readings.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(*one), high.max(*one)));
    (high - low).max(0.0)
}

/// The group of a dimension, and what a machine without bias makes of it.
fn taken(one: &SheetNotes, object: &Printed, came: &Came) -> Option<(Group, f64)> {
    let (id, index, axis) = came.of;
    let field: &Field = one.model.feature(id).fields.get(index)?;
    let made = one.model.made(id, field, axis, came.drawn)?;
    let group = Group { machine: object.machine.clone(), material: object.material.clone(), kind: made.kind? };
    Some((group, made.length))
}

/// What is known of a kind before any reading: the machine's own values in the sheet, else its profile's as it was published.
fn prior(model: &Model, group: &Group) -> Option<Prior> {
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
        freedom: PRIOR_FREEDOM,
        shares: SHARES,
    })
}

impl SheetNotes<'_, '_> {
    /// Whether a group is of the machine and the material that the sheet names now.
    #[must_use]
    pub fn is_current(&self, group: &Group) -> bool {
        let named = |kind: &str| crate::notes::profile_of(self.model, kind);
        named("machine") == group.machine && named("material") == group.material
    }

    /// Whether an object is of the revision that the sheet is at; where one of them says none, they are taken for the same.
    #[must_use]
    pub fn is_of_revision(&self, object: &Printed) -> bool {
        let model = self.model;
        let now = model.field(Model::SHEET, "revision").and_then(|field| model.value_of(Model::SHEET, field).ok());
        match (&object.revision, now) {
            (Some(printed), Some(Value::Text(now))) => **printed == *now,
            _ => true,
        }
    }

    /// What inside jaws lost in a round hole, where the notes say how wide their lands are.
    fn chord(&self, came: &Came) -> f64 {
        let (id, index, _) = came.of;
        let is_hole = self.model.feature(id).fields[index].about.makes == Some(crate::vocabulary::Makes::Hole);
        let land = self.notes.land.filter(|_| is_hole && came.gauge.name == "caliper");
        land.map_or(0.0, |land| reading::chord_loss(reading::mean(&came.readings), land))
    }
}

fn lesson(group: Group, prior: Prior, mut readings: Vec<Reading>) -> Lesson {
    // What was read first: only a number can be mistyped.
    readings.sort_by_key(|reading| reading.read.is_none());
    let lengths = || readings.iter().map(|reading| reading.deviation.length);
    let scaled = lengths().fold(0.0, f64::max) >= LENGTHS_APART * lengths().fold(f64::INFINITY, f64::min);
    let prior = Prior { scale_u: if scaled { SCALE_U } else { 0.0 }, ..prior };
    let shared = give_jaws(&mut readings, scaled);
    let learn = |without: Option<usize>| {
        let kept = readings.iter().enumerate().filter(|(index, _)| Some(*index) != without);
        Learnt::new(prior, kept.map(|(_, reading)| reading.deviation).collect(), &shared)
    };
    let all = learn(None);
    let suspicion = suspicion(&all, mistyped::SELDOM, mistyped::HALF_WIDTH);
    let wild = suspicion.reported().filter(|at| readings[*at].read.is_some());
    let rest = wild.map(|_| learn(wild));
    // The suspect is held against the others, and they against each other.
    let left_out = |index: usize| match (&rest, wild) {
        (Some(rest), Some(wild)) if index != wild => rest.left_out(index - usize::from(index > wild)),
        _ => all.left_out(index),
    };
    let read =
        readings.iter().enumerate().filter_map(|(index, reading)| Some((index, reading, reading.read.as_ref()?)));
    let entries: Vec<Entry> = read
        .filter_map(|(index, reading, read)| {
            let Deviation { feature, job, object, length, variance, .. } = reading.deviation;
            Some(Entry {
                at: read.at,
                path: read.path.clone(),
                object: read.object.clone(),
                drawn: read.drawn,
                unbiased: read.unbiased,
                came: read.came,
                numbers: (feature, job, object),
                length,
                u: variance.sqrt().hypot(reading::shared_u(read.limit)),
                left_out: left_out(index)?,
            })
        })
        .collect();
    let suspect = wild.and_then(|at| {
        let read = readings[at].read.as_ref()?;
        Some(Suspect::of(at, suspicion.each[at], entries.get(at)?, &read.readings))
    });
    Lesson { group, entries, suspect, learnt: rest.unwrap_or(all) }
}

/// Gives each reading the number of its jaws, and takes its length away where no scale is asked for; the standard uncertainties that the
/// jaws share. The same instrument with another stated limit is another one.
fn give_jaws(readings: &mut [Reading], scaled: bool) -> Vec<f64> {
    let mut jaws: Vec<(String, f64)> = Vec::new();
    for reading in readings {
        if !scaled {
            reading.deviation.length = 0.0;
        }
        let Some(read) = &reading.read else { continue };
        let key = (read.gauge.clone(), read.limit);
        reading.deviation.jaws = Some(jaws.iter().position(|known| *known == key).unwrap_or_else(|| {
            jaws.push(key);
            jaws.len() - 1
        }));
    }
    jaws.iter().map(|(_, limit)| reading::shared_u(*limit)).collect()
}
