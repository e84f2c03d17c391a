//! What was learnt in numbers, for programs.

use serde::Serialize;

use super::Standing;
use crate::lessons::{BondLesson, FrictionLesson, Lesson, PrintingLesson, SheetNotes, StrainLesson, Taught};
use crate::quantity::Dimension;
use crate::report::Counts;
use crate::report::json::result_json;
use crate::report::numbers::clean;
use crate::rules::Verdict;

#[derive(Serialize)]
struct Document<'a> {
    shape: &'static str,
    values: Vec<Figure<'a>>,
    left_out: Vec<LeftOut>,
    sheets: Vec<Changed<'a>>,
}

/// A figure that the pack has over a profile's own.
#[derive(Serialize)]
struct Figure<'a> {
    /// The machine that it is a figure of, in the material; null for a figure of the material itself.
    machine: Option<&'a str>,
    material: &'a str,
    field: String,
    /// In `unit`, as are its standard uncertainty, null where there is none, and what the profile says.
    value: Option<f64>,
    uncertainty: Option<f64>,
    profile: Option<f64>,
    /// Empty for bare numbers and shares.
    unit: &'static str,
    from: Vec<Counted>,
}

/// What the notes say and was not learnt from.
#[derive(Serialize)]
struct LeftOut {
    what: String,
    why: &'static str,
}

/// So many of something that it was learnt from.
#[derive(Serialize)]
struct Counted {
    count: usize,
    of: &'static str,
}

/// What is found on a sheet, and what was found before.
#[derive(Serialize)]
struct Changed<'a> {
    name: &'a str,
    before: Found,
    now: Found,
}

#[derive(Serialize)]
struct Found {
    verdict: Verdict,
    counts: Counts,
}

impl Found {
    fn of((verdict, counts): Standing) -> Self {
        Self { verdict, counts }
    }
}

fn from<const N: usize>(all: [(usize, &'static str); N]) -> Vec<Counted> {
    all.into_iter().filter(|(count, _)| *count > 0).map(|(count, of)| Counted { count, of }).collect()
}

/// What was learnt, and every sheet with its verdict before and now.
#[must_use]
pub fn learnt_json(taught: &Taught, all: &[SheetNotes], verdicts: &[(&str, Standing, Standing)]) -> String {
    let read = taught.lessons.lessons.iter().filter(|lesson| !lesson.learnt.readings().is_empty());
    let mut values: Vec<Figure> = read.flat_map(of_readings).collect();
    values.extend(taught.printings.iter().map(of_printing));
    values.extend(taught.strains.iter().filter(|lesson| lesson.is_taught()).flat_map(of_strains));
    values.extend(taught.bonds.iter().filter(|lesson| lesson.is_proven).map(of_bond));
    values.extend(taught.frictions.iter().map(of_friction));
    let sheets =
        verdicts.iter().map(|(name, before, now)| Changed { name, before: Found::of(*before), now: Found::of(*now) });
    let left_out = left_out(taught, all);
    result_json(&Document { shape: "dryfit-learn/1", values, left_out, sheets: sheets.collect() })
}

fn left_out(taught: &Taught, all: &[SheetNotes]) -> Vec<LeftOut> {
    let mistyped = taught.lessons.lessons.iter().filter_map(|lesson| {
        let entry = &lesson.entries[lesson.suspect.as_ref()?.entry];
        let what = format!("{} of {} in {}", entry.path, entry.object, all[entry.at.0].name);
        Some(LeftOut { what, why: "probably mistyped" })
    });
    let trials = taught.strains.iter().flat_map(|lesson| &lesson.apart);
    let trials = trials.map(|(arm, why)| LeftOut { what: format!("the trial of {arm}"), why: super::untaught(*why) });
    mistyped.chain(trials).collect()
}

fn of_readings(lesson: &Lesson) -> [Figure<'_>; 2] {
    let (readings, features, jobs) = lesson.counts();
    let (bias, before) = (lesson.learnt.bias(0.0), lesson.learnt.prior());
    let one = |figure: &str, (value, u): (f64, Option<f64>), profile: f64| Figure {
        machine: Some(&lesson.group.machine),
        material: &lesson.group.material,
        field: format!("{}-{figure}", lesson.group.kind),
        value: clean(value),
        uncertainty: u.and_then(clean),
        profile: clean(profile),
        unit: "mm",
        from: from([(readings, "reading"), (features, "feature"), (jobs, "job")]),
    };
    [
        one("bias", (bias.mean, Some(bias.u())), before.bias),
        one("spread", (lesson.learnt.spread(), None), before.spread),
    ]
}

fn of_printing(lesson: &PrintingLesson) -> Figure<'_> {
    let (unit, shown): (_, fn(f64) -> f64) = match lesson.dimension {
        Dimension::ANGLE => ("deg", f64::to_degrees),
        _ => ("mm", |length| length),
    };
    Figure {
        machine: Some(&lesson.machine),
        material: &lesson.material,
        field: lesson.figure.into(),
        value: clean(shown(lesson.value)),
        uncertainty: clean(shown(lesson.u)),
        profile: clean(shown(lesson.stated)),
        unit,
        from: from([lesson.from]),
    }
}

/// A figure of a material, a bare number.
fn of_material<'a>(material: &'a str, field: &str, (value, u): (f64, Option<f64>), profile: f64) -> Figure<'a> {
    Figure {
        machine: None,
        material,
        field: field.into(),
        value: clean(value),
        uncertainty: u.and_then(clean),
        profile: clean(profile),
        unit: "",
        from: Vec::new(),
    }
}

fn of_strains(lesson: &StrainLesson) -> Vec<Figure<'_>> {
    let (once, often) = lesson.stated;
    let tried = || from([(lesson.arms.0, "arm"), (lesson.strips.0, "strip")]);
    let figure = |field: &str, profile: f64| Figure {
        from: tried(),
        ..of_material(&lesson.material, field, (lesson.once() * profile / once, None), profile)
    };
    let often = often.map(|often| figure("flex-repeated", often));
    std::iter::once(figure("flex-once", once)).chain(often).collect()
}

fn of_bond(lesson: &BondLesson) -> Figure<'_> {
    let value = of_material(&lesson.material, "bond", (lesson.bond, Some(lesson.u)), lesson.stated);
    Figure { from: from([(lesson.strips.0, "strip")]), ..value }
}

fn of_friction(lesson: &FrictionLesson) -> Figure<'_> {
    let friction = lesson.friction;
    let u = friction.ln_u * friction.median;
    let value = of_material(&lesson.material, "friction", (friction.median, Some(u)), lesson.stated.0);
    Figure { from: from([(lesson.hooks, "hook"), (lesson.slides, "slide")]), ..value }
}
