//! What the notes of a project teach: readings gathered by machine, material and kind, and what each kind then foretells.

mod blame;
mod comb;
mod comparison;
mod copy;
mod friction;
mod gather;
mod lesson;
mod next;
mod numbers;
mod pairs;
mod printing;
mod prior;
mod revision;
mod sheet_notes;
mod strips;
mod suspect;
mod taught;
mod trials;

pub use blame::{Blame, Suspected};
pub use comb::{CombLesson, combs};
pub use comparison::{Comparison, InHand, Lines, Row};
pub use copy::{Copy, First, Original};
pub use friction::{FrictionLesson, frictions};
pub use gather::Lessons;
pub use next::{How, Worth, next};
pub use printing::{PrintingLesson, printings};
pub use revision::Revision;
pub use sheet_notes::{Sheet, SheetNotes};
pub use strips::{BondLesson, bonds};
pub use suspect::Suspect;
pub use taught::Taught;
pub use trials::{StrainLesson, Untaught, strains};

use std::collections::BTreeMap;
use std::ops::Deref;

use crate::learning::deviations::{Learnt, LeftOut};
use crate::learning::forecast::Forecast;
use crate::learning::reading;
use crate::vocabulary::Foretold;

/// What is learnt together: the deviations of one kind, of one machine, in one material.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub struct Group {
    /// The machine's profile.
    pub machine: String,
    /// The material's profile.
    pub material: String,
    /// `outside`, `inside`, `hole` or `height`.
    pub kind: &'static str,
}

/// What was read, as it was written down.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Read {
    /// Which notes, which object in them, which of its dimensions.
    pub at: (usize, usize, usize),
    /// The dimension's path.
    pub path: String,
    /// The object.
    pub object: String,
    /// What was drawn, in mm.
    pub drawn: f64,
    /// What a machine without bias makes of it, in mm.
    pub unbiased: f64,
    /// The mean of the readings, in mm.
    pub came: f64,
    /// What it was read with.
    pub gauge: String,
    /// The most that that is off, in mm.
    pub limit: f64,
    /// Its repeats, in mm.
    pub readings: Vec<f64>,
}

/// A reading with its places in what is learnt.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Entry {
    /// The reading.
    pub read: Read,
    /// The numbers of feature, job and object.
    pub numbers: (usize, usize, usize),
    /// Its length as the scale counts it; zero where no scale is asked for.
    pub length: f64,
    /// The standard uncertainty of the reading as such, in mm.
    pub u: f64,
    /// How far it is from what the profile and all other readings foretell.
    pub left_out: LeftOut,
}

impl Read {
    /// How far its repeats are apart, in mm.
    #[must_use]
    pub fn apart(&self) -> f64 {
        reading::range(&self.readings)
    }
}

impl Deref for Entry {
    type Target = Read;

    fn deref(&self) -> &Read {
        &self.read
    }
}

impl Entry {
    /// What was foretold of it without itself, in mm: the mean, and the standard uncertainty with the reading's own.
    #[must_use]
    pub fn foretold(&self) -> Forecast {
        let mean = self.came - self.left_out.off;
        Forecast { mean, scale: self.left_out.scale, freedom: self.left_out.freedom }
    }
}

/// What the readings of a sheet's dimensions foretell of their next prints, by their paths, where machine and material are
/// those that the sheet names now.
#[must_use]
pub fn forecasts(lessons: &Lessons, all: &[SheetNotes], sheet: &std::path::Path) -> BTreeMap<String, Foretold> {
    let mut found = BTreeMap::new();
    for lesson in &lessons.lessons {
        for entry in lesson.entries.iter().filter(|entry| all[entry.at.0].sheet == sheet) {
            let notes = &all[entry.at.0];
            if !notes.is_current(&lesson.group) || lesson.learnt.readings().is_empty() {
                continue;
            }
            let next = lesson.learnt.next(entry.numbers.0, entry.length);
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "six and the number of readings"
            )]
            let freedom = next.freedom as u32;
            found.insert(entry.path.clone(), Foretold { deviation: next.mean, scale: next.scale, freedom });
        }
    }
    found
}

/// One group with its readings.
#[derive(Debug)]
#[non_exhaustive]
pub struct Lesson {
    /// What it is of.
    pub group: Group,
    /// All of its readings.
    pub entries: Vec<Entry>,
    /// The reading that was probably mistyped: it teaches nothing.
    pub suspect: Option<Suspect>,
    /// The least that anything that it was read with is off, in mm.
    pub limit: f64,
    /// What the others teach.
    pub learnt: Learnt,
}

impl Lesson {
    /// How many features, and how many jobs, its readings are of; the suspect apart.
    #[must_use]
    pub fn counts(&self) -> (usize, usize, usize) {
        let readings = self.learnt.readings();
        let distinct = |of: fn(&crate::learning::deviations::Deviation) -> usize| {
            readings.iter().map(of).collect::<std::collections::BTreeSet<_>>().len()
        };
        (readings.len(), distinct(|reading| reading.feature), distinct(|reading| reading.job))
    }

    /// What the next print of a reading's feature comes out as, drawn as it was, in mm.
    #[must_use]
    pub fn next(&self, entry: &Entry) -> Forecast {
        self.learnt.next(entry.numbers.0, entry.length).moved(entry.unbiased)
    }

    /// What the dimension in hand truly is, in mm; without its own reading where that was mistyped.
    #[must_use]
    pub fn here(&self, entry: &Entry) -> Forecast {
        let (feature, job, object) = entry.numbers;
        self.learnt.here(feature, job, object, entry.length).moved(entry.unbiased)
    }

    /// Whether the bias has left what the profile said of it: its 95 % interval no longer holds it.
    #[must_use]
    pub fn is_systematic(&self) -> bool {
        let (bias, before) = (self.learnt.bias(0.0), self.learnt.prior().bias);
        before < bias.quantile(0.025) || before > bias.quantile(0.975)
    }

    /// The scale, where two lengths prove one: over two of its standard uncertainties.
    #[must_use]
    pub fn scale(&self) -> Option<Forecast> {
        let scale = self.learnt.scale();
        (self.learnt.prior().scale_u > 0.0 && scale.mean.abs() > 2.0 * scale.u()).then_some(scale)
    }
}
