//! What was learnt as a pack: values over the profiles of machines and materials, each with where it comes from.

use std::fmt::Write;

use super::{FrictionLesson, Lesson, Lessons, SheetNotes, StrainLesson};
use crate::quantity::{number, number_to};

const HEAD: &str = "\
# Learnt from this project's notes by `dryfit learn`, which writes this file anew: the same notes give the same file.
# A machine's values hold in one material; a ± is two standard uncertainties.

learnt:
";

/// The pack's text; `None` where there is nothing to learn from.
#[must_use]
pub fn pack(
    lessons: &Lessons,
    all: &[SheetNotes],
    strains: &[StrainLesson],
    frictions: &[FrictionLesson],
) -> Option<String> {
    let mut out = String::from(HEAD);
    let mut last = None;
    for lesson in lessons.lessons.iter().filter(|lesson| !lesson.learnt.readings().is_empty()) {
        let group = &lesson.group;
        let key = (&group.machine, &group.material);
        if last != Some(key) {
            let (machine, material) = key;
            // Writing to a text cannot fail.
            let _ = write!(
                out,
                "  {machine} in {material}:\n    machine: {machine}\n    material: {material}\n    values:\n"
            );
            last = Some(key);
        }
        machine_values(&mut out, lesson, all);
    }
    let mut materials: Vec<&str> =
        strains.iter().filter(|lesson| lesson.arms.0 > 0).map(|lesson| lesson.material.as_str()).collect();
    materials.extend(frictions.iter().map(|lesson| lesson.material.as_str()));
    materials.sort_unstable();
    materials.dedup();
    for material in &materials {
        let _ = write!(out, "  {material}:\n    material: {material}\n    values:\n");
        for lesson in strains.iter().filter(|lesson| lesson.material == *material && lesson.arms.0 > 0) {
            strain_values(&mut out, lesson);
        }
        for lesson in frictions.iter().filter(|lesson| lesson.material == *material) {
            friction_value(&mut out, lesson);
        }
    }
    (out != HEAD).then_some(out)
}

/// One value, as packs write it.
fn value(out: &mut String, name: &str, text: &str, source: &str, sure: &str) {
    let _ = write!(
        out,
        "      {name}:\n        value: {text}\n        source: \"{source}\"\n        basis: derived\n        sure: {sure}\n"
    );
}

fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

fn until(day: Option<&String>) -> String {
    day.map_or(String::new(), |day| format!(", until {day}"))
}

/// Thousandths of a millimetre.
fn thousandths(length: f64) -> String {
    number((length * 1e3).round() / 1e3)
}

fn machine_values(out: &mut String, lesson: &Lesson, all: &[SheetNotes]) {
    let (readings, features, jobs) = lesson.counts();
    let suspect = lesson.suspect.as_ref().map(|suspect| suspect.entry);
    let used = lesson.entries.iter().enumerate().filter(|(index, _)| Some(*index) != suspect);
    let day = used.filter_map(|(_, entry)| all[entry.at.0].notes.objects[entry.at.1].on.as_ref()).max();
    let counts =
        [counted(readings, "reading"), counted(features, "feature"), counted(jobs, "job")].join(", ") + &until(day);
    let sure = match (features, jobs) {
        (3.., 3..) => "high",
        (3.., _) | (_, 3..) => "medium",
        _ => "low",
    };
    let (kind, bias, before) = (lesson.group.kind, lesson.learnt.bias(0.0), lesson.learnt.prior());
    let text = format!("{} mm ± {} mm", thousandths(bias.mean), thousandths(2.0 * bias.u()));
    let source = format!("{counts}; the profile says {} mm", thousandths(before.bias));
    value(out, &format!("{kind}-bias"), &text, &source, sure);
    let source = format!("{counts}; the profile says {} mm", thousandths(before.spread));
    value(out, &format!("{kind}-spread"), &format!("{} mm", thousandths(lesson.learnt.spread())), &source, sure);
}

/// A strain in per cent, to three digits.
fn percent(strain: f64) -> String {
    number_to(strain * 100.0, 3)
}

fn strain_values(out: &mut String, lesson: &StrainLesson) {
    let (arms, failed) = lesson.arms;
    let counts = format!("{}, {failed} of them failed{}", counted(arms, "arm"), until(lesson.until.as_ref()));
    let sure = if failed >= 3 { "medium" } else { "low" };
    let (once, often) = lesson.stated;
    let learnt = lesson.once();
    let source = |stated: f64| {
        format!("{counts}; the strain at which 1 arm in 20 fails; the profile says {} %", percent(stated))
    };
    value(out, "flex-once", &format!("{} %", percent(learnt)), &source(once), sure);
    if let Some(often) = often {
        let source = format!(
            "{counts}; the profile's share of the strain for one opening; the profile says {} %",
            percent(often)
        );
        value(out, "flex-repeated", &format!("{} %", percent(learnt * often / once)), &source, sure);
    }
}

fn friction_value(out: &mut String, lesson: &FrictionLesson) {
    let friction = lesson.friction;
    let text = format!("{} ± {}", number_to(friction.median, 3), number_to(2.0 * friction.ln_u * friction.median, 2));
    let source = format!(
        "{}{}; the profile says {}",
        counted(lesson.hooks, "hook"),
        until(lesson.until.as_ref()),
        number_to(lesson.stated.0, 3)
    );
    value(out, "friction", &text, &source, if lesson.hooks >= 5 { "medium" } else { "low" });
}
