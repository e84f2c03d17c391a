//! What was learnt from the notes of a project, and what it changes.

mod json;
mod pack;

use std::fmt::Write;

use super::Counts;
use super::look::Look;
use super::table::table;
use crate::learning::figures::Figures;
use crate::learning::forecast::Forecast;
use crate::learning::prints::{for_bias, for_spread};
use crate::lessons::{
    BondLesson, FrictionLesson, Lesson, Lessons, PrintingLesson, SheetNotes, StrainLesson, Taught, Untaught,
};
use crate::quantity::{Dimension, counted, listed, number, number_to};
use crate::rules::Verdict;
use crate::source::printable;

pub use json::learnt_json;
pub use pack::learnt_pack;

/// A verdict with what makes it.
pub type Standing = (Verdict, Counts);

/// Thousandths of a millimetre.
fn thousandths(length: f64) -> String {
    number((length * 1e3).round() / 1e3)
}

/// A strain in per cent, to three digits.
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

/// What a scale comes to for whoever prepares the print; nowhere else, since bias and scale both put right are one too many.
pub(super) fn scale(scale: &Forecast) -> String {
    let percent = number(((1.0 + scale.mean).recip() * 1e4).round() / 1e2);
    format!(
        "long dimensions prove a scale: set it to {percent} % in what prepares the print, and do not draw by it too"
    )
}

/// Why a trial teaches nothing of a strain limit.
pub(super) fn untaught(why: Untaught) -> &'static str {
    match why {
        Untaught::OtherRevision => "it was of another revision: add the `length` and `thickness` that were drawn then",
        Untaught::OtherArcs => "it was of another revision of the piece, whose arcs are not known any more",
        Untaught::AcrossLayers => "it bends across its layers",
        Untaught::NoStrain => "its strain cannot be worked out",
        Untaught::TooOften => "it was opened more often than any figure of fatigue is good for",
    }
}

/// What arms and strips say of a material; nothing where none says anything.
pub(super) fn strain(lesson: &StrainLesson) -> Option<String> {
    let kinds = listed([(lesson.arms.0, "arm"), (lesson.strips.0, "strip")], " and ");
    lesson.is_taught().then(|| {
        format!(
            "{}: {} tried, {} failed: {} % of arms fail at {} strain, opened once; the profile says {}",
            lesson.material,
            kinds,
            lesson.failed(),
            number_to(lesson.failing * 100.0, 3),
            percent(lesson.once()),
            percent(lesson.stated.0)
        )
    })
}

/// How many prints would make a bias twice as sure.
fn prints(lesson: &Lesson, limit: f64) -> String {
    let (bias, prior) = (lesson.learnt.bias(0.0), lesson.learnt.prior());
    let name = format!("{}.{}-bias in {}", lesson.group.machine, lesson.group.kind, lesson.group.material);
    let half = bias.u() / 2.0;
    let wanted = thousandths(2.0 * half);
    for_bias(half, lesson.learnt.spread(), prior.bias_u, limit, 0.0).map_or_else(
        || format!("{name}: ± {wanted} mm is out of reach at any number of prints with what it was read with: check that on something of known size first"),
        |count| format!("{name}: ± {wanted} mm takes about {} in all, each of its own feature and on a plate of its own", counted(count as usize, "print")),
    )
}

/// How far the spread is known is a matter of counts alone.
fn spreads(figures: &Figures) -> Option<String> {
    let Figures { spread_within, spread_sure, .. } = *figures;
    let count = for_spread(spread_within, spread_sure)?;
    Some(format!(
        "a spread is known to {} ({} of the time) from {count} prints on",
        percent(spread_within),
        percent(spread_sure)
    ))
}

/// Every verdict that is another one by what was learnt.
fn changed(verdicts: &[(&str, Standing, Standing)], look: Look) -> String {
    let others = || verdicts.iter().filter(|(_, before, after)| before != after);
    let sheets = counted(verdicts.len(), "sheet");
    let mut out = match others().count() {
        0 => look.paragraph(&format!("no verdict of {sheets} changes"), 0),
        count => look.paragraph(&format!("what is found changes on {count} of {sheets}:"), 0),
    };
    for (name, before, after) in others() {
        out.push_str(&look.paragraph(&format!("{name}: {}, was {}", standing(after), standing(before)), 2));
    }
    out.push('\n');
    out
}

/// Every verdict that is another one by what was learnt, and what that is, kind by kind.
#[must_use]
pub fn learnt(taught: &Taught, all: &[SheetNotes], verdicts: &[(&str, Standing, Standing)], look: Look) -> String {
    let mut out = changed(verdicts, look);
    let lessons = taught.lessons;
    if !lessons.lessons.is_empty() {
        let heads = ["machine", "kind", "readings / features / jobs", "bias", "profile", "spread", "profile"];
        let mut rows = vec![heads.map(str::to_owned).to_vec()];
        rows.extend(lessons.lessons.iter().map(row));
        out.push_str(&table(&rows, look));
        out.push_str(&look.paragraph("In mm; ± is two standard uncertainties. A machine twice as wild as its profile is found out slowly: ranges that should hold nine prints of ten hold under eight after five readings, under nine after twenty (simulated).", 0));
    }
    let mut told = of_readings(lessons, all);
    for lesson in taught.strains {
        told.extend(strain(lesson));
        told.extend(lesson.apart.iter().map(|(arm, why)| format!("left out: the trial of {arm}: {}", untaught(*why))));
    }
    told.extend(taught.bonds.iter().map(bond));
    told.extend(taught.frictions.iter().map(friction));
    told.extend(taught.printings.iter().map(printing));
    for line in told {
        // Writing to a text cannot fail.
        let _ = write!(out, "{}", look.paragraph(&line, 2));
    }
    look.letters(&printable(&out)).into_owned()
}

/// What was left out of the readings, scales, and how many prints more would teach.
fn of_readings(lessons: &Lessons, all: &[SheetNotes]) -> Vec<String> {
    let mut told = Vec::new();
    for lesson in &lessons.lessons {
        if let Some(suspect) = &lesson.suspect {
            let entry = &lesson.entries[suspect.entry];
            let name = &all[entry.at.0].name;
            let written = number(suspect.written);
            told.push(format!(
                "left out: {} of {} in {name}, {written} mm, probably mistyped",
                entry.path, entry.object
            ));
        }
        let group = &lesson.group;
        told.extend(lesson.scale().map(|one| format!("{} in {}: {}", group.machine, group.material, scale(&one))));
        told.push(prints(lesson, lesson.limit));
    }
    told.extend(spreads(&lessons.figures).filter(|_| !lessons.lessons.is_empty()));
    told
}

fn bond(lesson: &BondLesson) -> String {
    let proven = if lesson.is_proven { "" } else { "; not written: strips must fail along the layers and across them" };
    format!(
        "{}: {} across the layers, {} failed: {} % ± {} % of the strain is left across them; the profile says {} %{proven}",
        lesson.material,
        counted(lesson.strips.0, "strip"),
        lesson.strips.1,
        number_to(lesson.bond * 100.0, 2),
        number_to(lesson.u * 200.0, 2),
        number_to(lesson.stated * 100.0, 2)
    )
}

fn friction(lesson: &FrictionLesson) -> String {
    let kinds = listed([(lesson.hooks, "hook"), (lesson.slides, "slide")], " and ");
    format!(
        "{}: friction {} ± {} from {}; the profile says {}",
        lesson.material,
        number_to(lesson.friction.median, 2),
        number_to(2.0 * lesson.friction.ln_u * lesson.friction.median, 2),
        kinds,
        number_to(lesson.stated.0, 2)
    )
}

/// A figure of a machine, in degrees or millimetres.
fn angle_or_length(dimension: Dimension, value: f64) -> String {
    match dimension {
        Dimension::ANGLE => format!("{} deg", number((value.to_degrees() * 10.0).round() / 10.0)),
        _ => format!("{} mm", number((value * 100.0).round() / 100.0)),
    }
}

fn printing(lesson: &PrintingLesson) -> String {
    let of = |value: f64| angle_or_length(lesson.dimension, value);
    let (count, what) = lesson.from;
    format!(
        "{} in {}: {} {} ± {} from {}; the profile says {}",
        lesson.machine,
        lesson.material,
        lesson.figure,
        of(lesson.value),
        of(2.0 * lesson.u),
        counted(count, what),
        of(lesson.stated)
    )
}

fn standing((verdict, counts): &Standing) -> String {
    let words = counts.words();
    if words.is_empty() { verdict.to_string() } else { format!("{verdict} ({words})") }
}
