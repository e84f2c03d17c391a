//! What was learnt as a pack: values over the profiles of machines and materials, each with where it comes from.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::{angle_or_length, percent, thousandths};
use crate::learning::figures::{Figures, at_least};
use crate::lessons::{BondLesson, FrictionLesson, Lesson, PrintingLesson, SheetNotes, StrainLesson, Taught};
use crate::quantity::{counted, listed, number, number_to};

const HEAD: &str = "\
# Learnt from this project's notes by `dryfit learn`, which writes this file anew: the same notes give the same file.
# A machine's values hold in one material; a ± is two standard uncertainties.

learnt:
";

/// The pack's text; `None` where there is nothing to learn from.
#[must_use]
pub fn learnt_pack(taught: &Taught, all: &[SheetNotes]) -> Option<String> {
    let figures = &taught.lessons.figures;
    let mut machines: BTreeMap<(&str, &str), String> = BTreeMap::new();
    for lesson in taught.lessons.lessons.iter().filter(|lesson| !lesson.learnt.readings().is_empty()) {
        let group = &lesson.group;
        machine_values(machines.entry((&group.machine, &group.material)).or_default(), lesson, all, figures);
    }
    for lesson in taught.printings {
        printing_value(machines.entry((&lesson.machine, &lesson.material)).or_default(), lesson);
    }
    let mut materials: BTreeMap<&str, String> = BTreeMap::new();
    for lesson in taught.strains.iter().filter(|lesson| lesson.is_taught()) {
        strain_values(materials.entry(&lesson.material).or_default(), lesson, figures);
    }
    for lesson in taught.bonds.iter().filter(|lesson| lesson.is_proven) {
        bond_value(materials.entry(&lesson.material).or_default(), lesson, figures);
    }
    for lesson in taught.frictions {
        friction_value(materials.entry(&lesson.material).or_default(), lesson, figures);
    }
    let mut out = String::from(HEAD);
    for ((machine, material), values) in &machines {
        // Writing to a text cannot fail.
        let _ = write!(
            out,
            "  {machine} in {material}:\n    machine: {machine}\n    material: {material}\n    values:\n{values}"
        );
    }
    for (material, values) in &materials {
        let _ = write!(out, "  {material}:\n    material: {material}\n    values:\n{values}");
    }
    (!machines.is_empty() || !materials.is_empty()).then_some(out)
}

/// One value, as packs write it.
fn value(out: &mut String, name: &str, text: &str, source: &str, sure: &str) {
    let _ = write!(
        out,
        "      {name}:\n        value: {text}\n        source: \"{source}\"\n        basis: derived\n        sure: {sure}\n"
    );
}

/// How sure a figure is that nobody else's prints prove.
fn sure(count: usize, enough: f64) -> &'static str {
    if at_least(count, enough) { "medium" } else { "low" }
}

fn until(day: Option<&String>) -> String {
    day.map_or(String::new(), |day| format!(", until {day}"))
}

fn machine_values(out: &mut String, lesson: &Lesson, all: &[SheetNotes], figures: &Figures) {
    let (readings, features, jobs) = lesson.counts();
    let suspect = lesson.suspect.as_ref().map(|suspect| suspect.entry);
    let used = lesson.entries.iter().enumerate().filter(|(index, _)| Some(*index) != suspect);
    let day = used.filter_map(|(_, entry)| all[entry.at.0].notes.objects[entry.at.1].on.as_ref()).max();
    let counts =
        [counted(readings, "reading"), counted(features, "feature"), counted(jobs, "job")].join(", ") + &until(day);
    let enough = |count| at_least(count, figures.sure_features);
    let sure = match (enough(features), enough(jobs)) {
        (true, true) => "high",
        (false, false) => "low",
        _ => "medium",
    };
    let (kind, bias, before) = (lesson.group.kind, lesson.learnt.bias(0.0), lesson.learnt.prior());
    let text = format!("{} mm ± {} mm", thousandths(bias.mean), thousandths(2.0 * bias.u()));
    // Bias and scale both put right would be one correction too many: the scale has its place elsewhere.
    let scale = lesson.scale().map_or(String::new(), |scale| {
        let percent = number(((1.0 + scale.mean).recip() * 1e4).round() / 1e2);
        format!("; besides, set the scale to {percent} % in what prepares the print")
    });
    let source = format!("{counts}; the profile says {} mm{scale}", thousandths(before.bias));
    value(out, &format!("{kind}-bias"), &text, &source, sure);
    let source = format!("{counts}; the profile says {} mm", thousandths(before.spread));
    value(out, &format!("{kind}-spread"), &format!("{} mm", thousandths(lesson.learnt.spread())), &source, sure);
}

/// `2 arms, 3 strips, 4 of them failed, until 2027-02-11`
fn tried(lesson: &StrainLesson) -> String {
    let kinds = listed([(lesson.arms.0, "arm"), (lesson.strips.0, "strip")], ", ");
    format!("{}, {} of them failed{}", kinds, lesson.failed(), until(lesson.until.as_ref()))
}

fn strain_values(out: &mut String, lesson: &StrainLesson, figures: &Figures) {
    let counts = tried(lesson);
    let sure = sure(lesson.failed(), figures.sure_failures);
    let (once, often) = lesson.stated;
    let learnt = lesson.once();
    let source = format!(
        "{counts}; the strain at which {} % of arms fail; the profile says {}",
        number_to(lesson.failing * 100.0, 3),
        percent(once)
    );
    value(out, "flex-once", &percent(learnt), &source, sure);
    if let Some(often) = often {
        let source =
            format!("{counts}; the profile's share of the strain for one opening; the profile says {}", percent(often));
        value(out, "flex-repeated", &percent(learnt * often / once), &source, sure);
    }
}

fn bond_value(out: &mut String, lesson: &BondLesson, figures: &Figures) {
    let (all, failed) = lesson.strips;
    let source = format!(
        "{} across the layers, {failed} of them failed{}; the profile says {}",
        counted(all, "strip"),
        until(lesson.until.as_ref()),
        percent(lesson.stated)
    );
    let text = format!("{} % ± {} %", number_to(lesson.bond * 100.0, 2), number_to(lesson.u * 200.0, 2));
    value(out, "bond", &text, &source, sure(failed, figures.sure_failures));
}

fn friction_value(out: &mut String, lesson: &FrictionLesson, figures: &Figures) {
    let friction = lesson.friction;
    let text = format!("{} ± {}", number_to(friction.median, 3), number_to(2.0 * friction.ln_u * friction.median, 2));
    let kinds = listed([(lesson.hooks, "hook"), (lesson.slides, "slide")], ", ");
    let source =
        format!("{}{}; the profile says {}", kinds, until(lesson.until.as_ref()), number_to(lesson.stated.0, 3));
    value(out, "friction", &text, &source, sure(lesson.hooks + lesson.slides, figures.sure_slides));
}

fn printing_value(out: &mut String, lesson: &PrintingLesson) {
    let of = |value: f64| angle_or_length(lesson.dimension, value);
    let (count, what) = lesson.from;
    let text = format!("{} ± {}", of(lesson.value), of(2.0 * lesson.u));
    let source =
        format!("{}{}; the profile says {}", counted(count, what), until(lesson.until.as_ref()), of(lesson.stated));
    value(out, lesson.figure, &text, &source, "medium");
}
