//! From notes to readings by kind.

use std::collections::{BTreeMap, BTreeSet};

use super::comb;
use super::lesson::lesson;
use super::pairs::gap;
use super::prior::prior;
use super::{Group, Lesson, Read, SheetNotes};
use crate::learning::deviations::{Deviation, Prior};
use crate::learning::figures::Figures;
use crate::learning::reading;
use crate::model::Model;
use crate::notes::{Came, Printed, Went};

/// All that the notes of a project teach.
#[derive(Debug)]
#[non_exhaustive]
pub struct Lessons {
    /// By machine, material and kind, in that order.
    pub lessons: Vec<Lesson>,
    /// The figures that it was learnt by.
    pub figures: Figures,
    /// The scatter of repeats at this bench, in mm.
    pub scatter: f64,
    /// Readings of dimensions of which no one kind of deviation is known, or no machine: which notes, object and dimension.
    pub apart: Vec<(usize, usize, usize)>,
}

/// A reading, or what says as much.
pub(super) struct Reading {
    pub deviation: Deviation,
    /// What a caliper read; none of a pair that went together or did not.
    pub read: Option<Read>,
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
struct Gathering {
    figures: Figures,
    scatter: f64,
    readings: BTreeMap<Group, Vec<Reading>>,
    priors: BTreeMap<Group, Prior>,
    numbers: [Numbers; 3],
    apart: Vec<(usize, usize, usize)>,
}

impl Gathering {
    fn new(figures: &Figures, scatter: f64) -> Self {
        let (readings, priors, numbers, apart) = Default::default();
        Self { figures: *figures, scatter, readings, priors, numbers, apart }
    }

    fn prior(&mut self, model: &Model, group: &Group) -> Option<Prior> {
        if let Some(known) = self.priors.get(group) {
            return Some(*known);
        }
        let prior = prior(model, group, &self.figures)?;
        self.priors.insert(group.clone(), prior);
        Some(prior)
    }

    fn came(&mut self, one: &SheetNotes, at: (usize, usize, usize)) {
        let object = &one.notes.objects[at.1];
        let came = &object.came[at.2];
        let taken = one.taken(object, came).filter(|(group, _)| self.prior(one.model, group).is_some());
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
        let limit_u = self.figures.fit_limit_u;
        let Some(gap) = gap(one, object, went, limit_u, |group| self.prior(one.model, group)) else { return };
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
    pub fn of(all: &[SheetNotes], figures: &Figures) -> Self {
        let sets = all.iter().flat_map(|one| &one.notes.objects).flat_map(|object| &object.came);
        let agree = |came: &&Came| reading::range(&came.readings) <= figures.repeats_disagree * figures.repeat_scatter;
        let sets = sets.filter(agree).map(|came| came.readings.as_slice());
        let scatter = reading::repeat_scatter(sets, figures.repeat_scatter, figures.repeat_counts);
        let mut gathering = Gathering::new(figures, scatter);
        for (at, one) in all.iter().enumerate() {
            for (object_at, object) in one.notes.objects.iter().enumerate() {
                for came_at in 0..object.came.len() {
                    gathering.came(one, (at, object_at, came_at));
                }
                // Of a pair that was noted twice the first counts; a comb's answer is a drawn width, and says nothing of a bias.
                let combed = comb::fits(one, object, figures);
                let mut counted = BTreeSet::new();
                for went in object.went.iter().filter(|went| !combed.contains(&went.fit)) {
                    if counted.insert(went.fit) {
                        gathering.went(one, (at, object_at), went);
                    }
                }
            }
        }
        let Gathering { readings, priors, apart, .. } = gathering;
        let lessons = readings.into_iter().filter_map(|(group, readings)| {
            let prior = *priors.get(&group)?;
            Some(lesson(group, prior, readings, figures))
        });
        Self { lessons: lessons.collect(), figures: *figures, scatter, apart }
    }
}
