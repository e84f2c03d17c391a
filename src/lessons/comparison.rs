//! One sheet's readings against what was foretold of them, and what follows for its next revision.

use std::collections::BTreeMap;
use std::path::Path;

use super::blame::{Blame, blame};
use super::copy::{Original, originals as originals_of};
use super::revision::{Limits, Revision, revisions};
use super::{CombLesson, Entry, Lesson, Lessons, SheetNotes, StrainLesson, Worth, combs, next, strains};
use crate::inspect::Analysis;
use crate::learning::conformity::{Conformity, Plan};
use crate::learning::figures::Figures;
use crate::learning::foretold::{Word, word};
use crate::learning::specimen::{pair_line_excess, pair_scale};
use crate::measures::{Measure, Side, measures};
use crate::notes::ROUNDED;
use crate::vocabulary::StepOf;

/// The readings of one sheet, with all that was learnt.
#[derive(Debug)]
#[non_exhaustive]
pub struct Comparison<'a> {
    /// The sheet's name.
    pub sheet: String,
    /// Its readings, in the order of the notes.
    pub rows: Vec<Row<'a>>,
    /// The kinds of deviation that they are of.
    pub lessons: Vec<&'a Lesson>,
    /// Dimensions of which no one kind of deviation is known.
    pub apart: Vec<String>,
    /// Originals that were read again.
    pub originals: Vec<Original>,
    /// What could be wrong where the machine does not explain what came.
    pub blame: Option<Blame>,
    /// What to draw next.
    pub revisions: Vec<Revision>,
    /// Outsides and gaps of one length.
    pub lines: Vec<Lines>,
    /// What its combs say.
    pub combs: Vec<CombLesson>,
    /// What its arms and strips say of their materials.
    pub strains: Vec<StrainLesson>,
    /// What to measure next.
    pub worth: Vec<Worth>,
    /// The figures that all of it was worked out by.
    pub figures: Figures,
}

/// One reading of the sheet.
#[derive(Debug)]
#[non_exhaustive]
pub struct Row<'a> {
    /// Its kind.
    pub lesson: &'a Lesson,
    /// The reading.
    pub entry: &'a Entry,
    /// Its score against all others.
    pub zeta: f64,
    /// The word for it.
    pub word: Word,
    /// Whether the object serves, where the dimension decides a verdict.
    pub in_hand: Option<InHand>,
    /// Whether it was probably mistyped.
    pub suspect: bool,
}

/// An object against the limits of a dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct InHand {
    /// The chance that this object keeps to them.
    pub fits: f64,
    /// What that says of it.
    pub says: Conformity,
    /// The limits in mm; infinite where a side is free.
    pub limits: Limits,
    /// The chance that the next print is bad, and one reading with this instrument passes it.
    pub bad_accepted: f64,
    /// The chance that it is good, and the reading rejects it.
    pub good_rejected: f64,
}

/// An outside and a gap of one drawn length on one object.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Lines {
    /// Their paths.
    pub paths: [String; 2],
    /// The object.
    pub object: String,
    /// What both are drawn as, in mm.
    pub drawn: f64,
    /// By how much a pair of lines is wider than drawn, in mm.
    pub excess: f64,
    /// What is left for the scale, a plain number.
    pub scale: f64,
}

impl<'a> Comparison<'a> {
    /// The readings of the sheet at a full path, which was read as `analysis`; `mended` is what the mends that go by these
    /// readings draw otherwise, in mm by name.
    #[must_use]
    pub fn of(
        sheet: &Path,
        analysis: &Analysis,
        lessons: &'a Lessons,
        all: &[SheetNotes],
        mended: &BTreeMap<String, f64>,
    ) -> Self {
        let (library, model, figures) = (analysis.library, &analysis.model, lessons.figures);
        let rows = rows(lessons, |at| all[at.0].sheet == sheet, &measures(library, model));
        let mut used: Vec<&Lesson> = Vec::new();
        for lesson in lessons.lessons.iter().filter(|lesson| rows.iter().any(|row| std::ptr::eq(row.lesson, *lesson))) {
            used.push(lesson);
        }
        let is_own = |one: &&SheetNotes| one.sheet == *sheet;
        let apart = lessons.apart.iter().filter(|at| all[at.0].sheet == sheet);
        let apart = apart.map(|at| all[at.0].notes.objects[at.1].came[at.2].path.clone()).collect();
        let read: Vec<(&Lesson, &Entry)> =
            rows.iter().filter(|row| !row.suspect).map(|row| (row.lesson, row.entry)).collect();
        let originals = all.iter().filter(is_own);
        let originals = originals.flat_map(|one| originals_of(model, one, &read, lessons.scatter, &figures)).collect();
        // Of each dimension the latest; what was drawn otherwise then says nothing of the numbers that draw it now.
        let latest: BTreeMap<&str, (&Lesson, &Entry)> =
            read.iter().map(|(lesson, entry)| (entry.path.as_str(), (*lesson, *entry))).collect();
        let now: Vec<(&Lesson, &Entry)> = latest.into_values().filter(|(_, entry)| is_drawn_so(model, entry)).collect();
        // One number that explains all is the better reason for a reading that seems mistyped.
        let all_read: BTreeMap<&str, (&Lesson, &Entry)> =
            rows.iter().map(|row| (row.entry.path.as_str(), (row.lesson, row.entry))).collect();
        let all_now: Vec<(&Lesson, &Entry)> =
            all_read.into_values().filter(|(_, entry)| is_drawn_so(model, entry)).collect();
        let one_cause = blame(model, &all_now, &figures).filter(|blame| blame.is_one);
        let limited: Vec<(&Lesson, &Entry, Limits)> = (rows.iter().filter(|row| !row.suspect))
            .filter_map(|row| Some((row.lesson, row.entry, row.in_hand?.limits)))
            .collect();
        let grid = library.vocabulary.step(StepOf::Length).map_or(GRID, |step| step.value);
        let mut strains = strains(all, &figures);
        let worth = next(&[analysis], &strains, &figures);
        let tried = all.iter().filter(is_own).flat_map(|one| &one.notes.objects);
        let tried = tried.filter(|object| !object.trials.is_empty() || !object.strips.is_empty());
        let tried: Vec<&str> = tried.map(|object| object.material.as_str()).collect();
        strains.retain(|lesson| tried.contains(&lesson.material.as_str()));
        Self {
            sheet: analysis.sources.get(crate::source::SourceId(0)).name.clone(),
            originals,
            blame: one_cause.or_else(|| blame(model, &now, &figures)),
            revisions: revisions(model, &limited, grid, &figures, mended),
            lines: lines(&read),
            combs: combs(all, &figures).into_iter().filter(|lesson| lesson.sheet == sheet).collect(),
            worth,
            strains,
            rows,
            lessons: used,
            apart,
            figures,
        }
    }
}

/// Where packs give no step of lengths, in mm.
const GRID: f64 = 0.1;

fn rows<'a>(
    lessons: &'a Lessons,
    is_own: impl Fn(&(usize, usize, usize)) -> bool,
    measures: &[Measure],
) -> Vec<Row<'a>> {
    let mut rows = Vec::new();
    for lesson in &lessons.lessons {
        let suspect = lesson.suspect.as_ref().map(|suspect| suspect.entry);
        let own = lesson.entries.iter().enumerate().filter(|(_, entry)| is_own(&entry.at));
        rows.extend(own.map(|(index, entry)| Row {
            lesson,
            entry,
            zeta: entry.left_out.zeta(),
            word: Word::AsForetold,
            in_hand: in_hand(lesson, entry, measures, &lessons.figures),
            suspect: suspect == Some(index),
        }));
    }
    rows.sort_by_key(|row| row.entry.at);
    let dimensions = rows.len();
    for row in &mut rows {
        row.word = word(row.zeta, dimensions, &lessons.figures);
    }
    rows
}

fn in_hand(lesson: &Lesson, entry: &Entry, measures: &[Measure], figures: &Figures) -> Option<InHand> {
    let limits = window(measures.iter().find(|measure| measure.path == entry.path)?)?;
    let next = lesson.next(entry);
    let plan = Plan { mean: next.mean, spread: next.u(), measuring_u: entry.u, limits, accepted: limits };
    let fits = lesson.here(entry).within(limits.0, limits.1);
    let says = Conformity::of(fits, figures.proven_from);
    Some(InHand { fits, says, limits, bad_accepted: plan.bad_accepted(), good_rejected: plan.good_rejected() })
}

/// Between which readings the dimension serves: where a stop or care says nothing to one side, what is worth a note counts.
fn window(measure: &Measure) -> Option<Limits> {
    let noted = |side: Side| measure.limits.iter().filter(move |limit| limit.side == side).map(|limit| limit.value);
    let (low, high) = measure.go();
    let wide =
        (low.or_else(|| noted(Side::AtLeast).reduce(f64::max)), high.or_else(|| noted(Side::AtMost).reduce(f64::min)));
    let (low, high) = match wide {
        (None, None) => return None,
        (Some(least), Some(most)) if least >= most => (low, high),
        both => both,
    };
    Some((low.unwrap_or(f64::NEG_INFINITY), high.unwrap_or(f64::INFINITY)))
}

/// Whether the sheet still draws a dimension as it was drawn when it was read.
fn is_drawn_so(model: &crate::model::Model, entry: &Entry) -> bool {
    let now = crate::window::field_at(model, &entry.path).and_then(|found| super::numbers::length(model, &found));
    now.is_some_and(|now| (now - entry.drawn).abs() < ROUNDED)
}

/// An outside and a gap of the same drawn length: half their difference is the line's, half their sum the scale's.
fn lines(read: &[(&Lesson, &Entry)]) -> Vec<Lines> {
    let of =
        |kind: &'static str| read.iter().filter(move |(lesson, _)| lesson.group.kind == kind).map(|(_, entry)| *entry);
    let mut all = Vec::new();
    for outside in of("outside") {
        let same = |inside: &&Entry| {
            (inside.drawn - outside.drawn).abs() < 1e-6 && (inside.at.0, inside.at.1) == (outside.at.0, outside.at.1)
        };
        // The nearest by name: of two frames each tab goes with its own notch.
        let near = |inside: &&Entry| common(&inside.path, &outside.path);
        if let Some(inside) = of("inside").filter(same).max_by_key(near) {
            all.push(Lines {
                paths: [outside.path.clone(), inside.path.clone()],
                object: outside.object.clone(),
                drawn: outside.drawn,
                excess: pair_line_excess(outside.came, inside.came),
                scale: pair_scale(outside.came, inside.came, outside.drawn),
            });
        }
    }
    all
}

/// How many letters two paths begin with alike.
fn common(one: &str, other: &str) -> usize {
    one.bytes().zip(other.bytes()).take_while(|(a, b)| a == b).count()
}
