//! What was learnt from the notes of a project, and what it changes.

use std::fmt::Write;

use super::Counts;
use super::look::Look;
use super::table::table;
use crate::lessons::{FrictionLesson, Lesson, Lessons, SheetNotes, StrainLesson};
use crate::quantity::{number, number_to};
use crate::rules::Verdict;
use crate::source::printable;

/// A verdict with what makes it.
pub type Standing = (Verdict, Counts);

fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

fn thousandths(length: f64) -> String {
    number((length * 1e3).round() / 1e3)
}

fn percent(strain: f64) -> String {
    format!("{} %", number_to(strain * 100.0, 3))
}

fn row(lesson: &Lesson) -> Vec<String> {
    let (readings, features, jobs) = lesson.counts();
    let (group, bias, before) = (&lesson.group, lesson.learnt.bias(0.0), lesson.learnt.prior());
    vec![
        format!("{} in {}", group.machine, group.material),
        group.kind.to_owned(),
        format!("{readings} / {features} / {jobs}"),
        format!("{} ± {}", thousandths(bias.mean), thousandths(2.0 * bias.u())),
        format!("{} ± {}", thousandths(before.bias), thousandths(2.0 * before.bias_u)),
        thousandths(lesson.learnt.spread()),
        thousandths(before.spread),
    ]
}

/// What was learnt, kind by kind, and every verdict that is another one by it.
#[must_use]
pub fn learnt(
    lessons: &Lessons,
    all: &[SheetNotes],
    (strains, frictions): (&[StrainLesson], &[FrictionLesson]),
    verdicts: &[(&str, Standing, Standing)],
    look: Look,
) -> String {
    let mut out = String::new();
    if !lessons.lessons.is_empty() {
        let heads = ["machine", "kind", "readings / features / jobs", "bias", "profile", "spread", "profile"];
        let mut rows = vec![heads.map(str::to_owned).to_vec()];
        rows.extend(lessons.lessons.iter().map(row));
        out.push_str(&table(&rows, look));
        out.push_str(&look.paragraph("In mm; ± is two standard uncertainties. A machine twice as wild as its profile is found out slowly: ranges that should hold nine prints of ten hold under eight after five readings, under nine after twenty (simulated).", 0));
    }
    let mut told = Vec::new();
    for lesson in &lessons.lessons {
        if let Some(suspect) = &lesson.suspect {
            let entry = &lesson.entries[suspect.entry];
            let name = &all[entry.at.0].name;
            told.push(format!(
                "left out: {} of {} in {name}, {} mm, probably mistyped",
                entry.path,
                entry.object,
                number(suspect.written)
            ));
        }
    }
    for lesson in strains {
        let (arms, failed) = lesson.arms;
        if arms > 0 {
            told.push(format!(
                "{}: {} tried, {failed} failed: one arm in twenty fails at {} strain; the profile says {}",
                lesson.material,
                counted(arms, "arm"),
                percent(lesson.once()),
                percent(lesson.stated.0)
            ));
        }
        told.extend(lesson.apart.iter().map(|(arm, why)| format!("left out: the trial of {arm}: {why}")));
    }
    for lesson in frictions {
        told.push(format!(
            "{}: friction {} ± {} from {}; the profile says {}",
            lesson.material,
            number_to(lesson.friction.median, 2),
            number_to(2.0 * lesson.friction.ln_u * lesson.friction.median, 2),
            counted(lesson.hooks, "hook"),
            number_to(lesson.stated.0, 2)
        ));
    }
    let others = verdicts.iter().filter(|(_, before, after)| before != after);
    let changes: Vec<String> =
        others.map(|(name, before, after)| format!("{name}: {}, was {}", standing(after), standing(before))).collect();
    told.push(if changes.is_empty() {
        format!("no verdict of {} changes", counted(verdicts.len(), "sheet"))
    } else {
        "what changes:".to_owned()
    });
    told.extend(changes);
    for line in told {
        // Writing to a text cannot fail.
        let _ = write!(out, "{}", look.paragraph(&line, 2));
    }
    look.letters(&printable(&out)).into_owned()
}

fn standing((verdict, counts): &Standing) -> String {
    let words = counts.words();
    if words.is_empty() { verdict.to_string() } else { format!("{verdict} ({words})") }
}
