//! Readings of a print against what was foretold of them.

use std::fmt::Write;
use std::path::Path;

use serde::Serialize;

use super::json::result_json;
use super::look::Look;
use super::numbers::clean;
use super::table::table;
use crate::learning::forecast::Forecast;
use crate::learning::foretold::{Word, word};
use crate::learning::mistyped::Slip;
use crate::learning::revision::{Drawn, Wanted, chance, next_drawn};
use crate::learning::{foretold, reading};
use crate::lessons::{Entry, Lesson, Lessons, SheetNotes, Worth};
use crate::measures::{Measure, Side};
use crate::quantity::number;
use crate::source::printable;

/// The readings of one sheet, with all that was learnt.
#[derive(Debug)]
#[non_exhaustive]
pub struct Compared<'a> {
    /// The sheet's name.
    pub sheet: String,
    pub(super) rows: Vec<Row<'a>>,
    pub(super) lessons: Vec<&'a Lesson>,
    /// Dimensions of which no one kind of deviation is known.
    apart: Vec<String>,
    originals: Vec<Original>,
    worth: &'a [Worth],
}

/// The least and the most that a dimension may be, in mm.
type Limits = (Option<f64>, Option<f64>);
/// The chance that an object keeps to limits, and these.
type InHand = (f64, Limits);

/// One reading of the sheet.
#[derive(Debug)]
pub(super) struct Row<'a> {
    pub lesson: &'a Lesson,
    pub entry: &'a Entry,
    pub zeta: f64,
    pub word: Word,
    /// The chance that the object keeps to the limits that decide a verdict, and those limits.
    pub in_hand: Option<InHand>,
    pub suspect: bool,
}

/// An original, as the sheet says and as it was read again.
#[derive(Debug)]
struct Original {
    path: String,
    stated: f64,
    again: f64,
    zeta: f64,
}

impl<'a> Compared<'a> {
    /// The readings of the sheet at a full path; `measures` are the dimensions that decide its verdict.
    #[must_use]
    pub fn new(
        name: &str,
        sheet: &Path,
        lessons: &'a Lessons,
        all: &[SheetNotes],
        measures: &[Measure],
        worth: &'a [Worth],
    ) -> Self {
        let is_own = |at: &(usize, usize, usize)| all[at.0].sheet == sheet;
        let mut rows = Vec::new();
        let mut used = Vec::new();
        for lesson in &lessons.lessons {
            let suspect = lesson.suspect.as_ref().map(|suspect| suspect.entry);
            let own = lesson.entries.iter().enumerate().filter(|(_, entry)| is_own(&entry.at));
            let before = rows.len();
            rows.extend(own.map(|(index, entry)| Row {
                lesson,
                entry,
                zeta: entry.left_out.zeta(),
                word: Word::AsForetold,
                in_hand: in_hand(lesson, entry, measures),
                suspect: suspect == Some(index),
            }));
            if rows.len() > before {
                used.push(lesson);
            }
        }
        rows.sort_by_key(|row| row.entry.at);
        let dimensions = rows.len();
        for row in &mut rows {
            row.word = word(row.zeta, dimensions);
        }
        let apart = lessons.apart.iter().filter(|at| is_own(at));
        let apart = apart.map(|at| all[at.0].notes.objects[at.1].came[at.2].path.clone()).collect();
        let own = all.iter().filter(|one| one.sheet == sheet);
        let originals = own.flat_map(|one| originals(one, lessons.scatter)).collect();
        Self { sheet: name.to_owned(), rows, lessons: used, apart, originals, worth }
    }
}

fn originals<'a>(one: &'a SheetNotes, scatter: f64) -> impl Iterator<Item = Original> + 'a {
    one.notes.again.iter().map(move |again| {
        let mean = reading::mean(&again.readings);
        // The sheet's own readings were as many, of the same hand: what the jaws are off cancels.
        let u = reading::own_variance(scatter, again.readings.len(), again.gauge.step).sqrt();
        let zeta = (again.stated - mean) / reading::copy_less_original_u(u, u);
        Original { path: again.path.clone(), stated: again.stated, again: mean, zeta }
    })
}

fn in_hand(lesson: &Lesson, entry: &Entry, measures: &[Measure]) -> Option<InHand> {
    let measure = measures.iter().find(|measure| measure.path == entry.path)?;
    let (low, high) = window(measure)?;
    let here = lesson.here(entry);
    Some((here.within(low.unwrap_or(f64::NEG_INFINITY), high.unwrap_or(f64::INFINITY)), (low, high)))
}

/// Between which readings the dimension serves: where a stop or care says nothing to one side, what is worth a note counts.
fn window(measure: &Measure) -> Option<Limits> {
    let noted = |side: Side| measure.limits.iter().filter(move |limit| limit.side == side).map(|limit| limit.value);
    let (low, high) = measure.go();
    let low = low.or_else(|| noted(Side::AtLeast).reduce(f64::max));
    let high = high.or_else(|| noted(Side::AtMost).reduce(f64::min));
    match (low, high) {
        (None, None) => None,
        (Some(low), Some(high)) if low >= high => Some(measure.go()),
        both => Some(both),
    }
}

/// Hundredths of a millimetre: more no caliper shows.
fn hundredths(length: f64) -> String {
    let rounded = (length * 1e2).round() / 1e2;
    number(if rounded == 0.0 { 0.0 } else { rounded })
}

/// With its sign.
pub(super) fn signed(length: f64) -> String {
    let text = hundredths(length);
    if text.starts_with('-') || text == "0" { text } else { format!("+{text}") }
}

/// `3.4 ± 0.16`: nineteen of twenty lie in it.
fn band(forecast: &Forecast) -> String {
    format!("{} ± {}", hundredths(forecast.mean), hundredths(forecast.quantile(0.975) - forecast.mean))
}

pub(super) fn says(row: &Row) -> &'static str {
    match row.word {
        _ if row.suspect => "mistyped?",
        Word::AsForetold => "as foretold",
        Word::Seldom => "seldom",
        Word::NotByScatter => "not by scatter",
    }
}

/// A chance in per cent; the ends are not promised.
fn per_cent(chance: f64) -> String {
    match chance * 100.0 {
        high if high > 99.0 => "over 99 %".into(),
        low if low < 1.0 => "under 1 %".into(),
        other => format!("{} %", other.round()),
    }
}

/// A heading, and a row for each reading; the objects are named where there are several.
fn readings(compared: &Compared) -> Vec<Vec<String>> {
    let object = |row: &Row| row.entry.object.clone();
    let first = compared.rows.first().map(object);
    let several = compared.rows.iter().any(|row| Some(object(row)) != first);
    let heads = ["dimension", "drawn", "foretold", "came", "off", "", "in hand"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    for row in &compared.rows {
        let entry = row.entry;
        let named = if several { format!("{} of {}", entry.path, entry.object) } else { entry.path.clone() };
        let in_hand = row.in_hand.filter(|_| !row.suspect);
        rows.push(vec![
            named,
            hundredths(entry.drawn),
            band(&entry.foretold()),
            hundredths(entry.came),
            signed(entry.left_out.off),
            says(row).to_owned(),
            in_hand.map_or(String::new(), |(chance, _)| format!("fits: {}", per_cent(chance))),
        ]);
    }
    rows
}

/// A table of the readings, then what follows from them.
#[must_use]
pub fn compare(compared: &Compared, look: Look) -> String {
    let mut out = table(&readings(compared), look);
    out.push_str(&look.paragraph(
        "In mm. Each is foretold from the machine's profile and all other readings, never from itself; 19 of 20 lie within the ±.",
        0,
    ));
    let mut told = Vec::new();
    told.extend(compared.rows.iter().filter(|row| row.suspect).map(mistyped));
    told.extend(compared.originals.iter().map(original));
    told.extend(compared.lessons.iter().map(|lesson| kind(lesson)));
    told.extend(next_prints(compared));
    told.push(next_to_measure(compared.worth));
    if !compared.apart.is_empty() {
        told.push(format!(
            "not compared: {}: no single deviation of the machine is known for it (a tilted face, a spacing, an unknown machine)",
            compared.apart.join(", ")
        ));
    }
    for line in told {
        // Writing to a text cannot fail.
        let _ = write!(out, "\n{}", look.paragraph(&line, 2));
    }
    look.letters(&printable(&out)).into_owned()
}

fn mistyped(row: &Row) -> String {
    let Some(suspect) = &row.lesson.suspect else { return String::new() };
    let entry = row.entry;
    let written = number(suspect.written);
    let meant = match &suspect.slip {
        Some((slip, meant)) => {
            let how = match slip {
                Slip::Swapped => "two digits swapped",
                Slip::PointMoved => "the point one place off",
                Slip::Inches => "read in inches",
                Slip::Digit => "one digit another",
            };
            format!("{} was probably meant ({how})", number(*meant))
        }
        None => "no usual slip explains it: read it again".to_owned(),
    };
    format!(
        "mistyped? {} of {}: {written} is {} off what was foretold; {meant}. It teaches nothing until it is read again.",
        entry.path,
        entry.object,
        signed(entry.left_out.off)
    )
}

/// What is worth measuring next, or that nothing is.
fn next_to_measure(worth: &[Worth]) -> String {
    let each = |worth: &Worth| {
        let verdicts = counted(worth.verdicts, "verdict");
        let Worth { what, minutes, .. } = worth;
        if worth.bias {
            format!("read three features of a print for {what} ({minutes} minutes, {verdicts})")
        } else {
            format!("read {what} again, three times ({minutes} minutes, {verdicts})")
        }
    };
    match worth {
        [] => "measure next: nothing is worth it; no verdict would turn".to_owned(),
        all => format!("measure next: {}", all.iter().take(NAMED).map(each).collect::<Vec<_>>().join(", then ")),
    }
}

/// So many are named.
const NAMED: usize = 2;

fn original(original: &Original) -> String {
    let Original { path, stated, again, zeta } = original;
    let says = match zeta.abs() {
        small if small <= foretold::AS_FORETOLD => "the same as far as a caliper tells",
        _ => "not the same: read the original again before anything else is changed",
    };
    format!("{path}: the sheet says {}, read again {}: {says}", hundredths(*stated), hundredths(*again))
}

/// What is known of one kind now.
fn kind(lesson: &Lesson) -> String {
    let (readings, features, jobs) = lesson.counts();
    let (bias, before) = (lesson.learnt.bias(0.0), lesson.learnt.prior());
    let group = &lesson.group;
    let verdict =
        if lesson.is_systematic() { "systematic: the profile is off" } else { "the profile may well be right" };
    let mut text = format!(
        "{} ({} in {}): bias {} ± {} from {}, {}, {}; the profile says {} ± {}; {verdict}; spread {}, the profile's {}",
        group.kind,
        group.machine,
        group.material,
        hundredths(bias.mean),
        hundredths(2.0 * bias.u()),
        counted(readings, "reading"),
        counted(features, "feature"),
        counted(jobs, "job"),
        hundredths(before.bias),
        hundredths(2.0 * before.bias_u),
        hundredths(lesson.learnt.spread()),
        hundredths(before.spread),
    );
    if let Some(scale) = lesson.scale() {
        let _ = write!(
            text,
            "; long dimensions prove a scale: set it to {} % in what prepares the print",
            number(((1.0 + scale.mean).recip() * 1e4).round() / 1e2)
        );
    }
    text
}

fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

/// The value to draw next, and how many of its prints fit; and how many do as it is drawn.
struct Revision {
    drawn: Drawn,
    as_it_is: f64,
}

/// Values are drawn in tenths of a millimetre.
const GRID: f64 = 0.1;
/// Another value must fit in so many more of a hundred prints, or it is better left.
const WORTH_IT: f64 = 0.02;

impl Row<'_> {
    /// From what its own kind, and this dimension of it, foretell of the next print: one reading is never taken out whole.
    fn revision(&self) -> Option<Revision> {
        let (_, (low, high)) = self.in_hand?;
        let (low, high) = (low.unwrap_or(f64::NEG_INFINITY), high.unwrap_or(f64::INFINITY));
        let entry = self.entry;
        let next = self.lesson.next(entry).moved(-entry.drawn);
        let middle = f64::midpoint(low, high);
        let wanted = Wanted { value: if middle.is_finite() { middle } else { entry.drawn }, low, high };
        let best = next_drawn(&wanted, &next, GRID);
        let drawn = if best.chance > SURE { nearest(&wanted, &next, entry.drawn).unwrap_or(best) } else { best };
        Some(Revision { drawn, as_it_is: chance(&wanted, &next, entry.drawn) })
    }
}

/// Where nearly all prints fit, one value is as good as another: the one nearest to what is drawn.
fn nearest(wanted: &Wanted, next: &Forecast, drawn: f64) -> Option<Drawn> {
    let from = (drawn / GRID).round();
    let steps = (0..=STEPS).flat_map(|step| [f64::from(step), -f64::from(step)]);
    let values = steps.map(|step| ((from + step) * GRID * 1e3).round() / 1e3);
    let mut drawn = values.map(|value| Drawn { value, chance: chance(wanted, next, value) });
    drawn.find(|drawn| drawn.chance > SURE)
}

/// More than so many prints of a hundred cannot be told apart.
const SURE: f64 = 0.99;
/// So many steps either way are tried.
const STEPS: u32 = 10;

impl Revision {
    fn is_worth_it(&self) -> bool {
        self.drawn.chance > self.as_it_is + WORTH_IT
    }
}

/// What each dimension comes out as if it is printed again as it was drawn, and what to draw instead.
fn next_prints(compared: &Compared) -> Vec<String> {
    let mut latest: std::collections::BTreeMap<&str, &Row> = std::collections::BTreeMap::new();
    latest.extend(compared.rows.iter().filter(|row| !row.suspect).map(|row| (row.entry.path.as_str(), row)));
    let mut all = Vec::new();
    for row in latest.into_values() {
        let drawn = hundredths(row.entry.drawn);
        let next = band(&row.lesson.next(row.entry));
        let mut text = format!("{}: drawn {drawn} again, the next comes out {next}", row.entry.path);
        if let Some(revision) = row.revision() {
            let _ = write!(text, ", and {} fit; ", per_cent(revision.as_it_is));
            let _ = if revision.is_worth_it() {
                write!(text, "drawn {}, {} do", hundredths(revision.drawn.value), per_cent(revision.drawn.chance))
            } else {
                write!(text, "no other value is better: leave it")
            };
        }
        all.push(text);
    }
    all
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    shape: &'static str,
    sheet: &'a str,
    readings: Vec<ReadingJson<'a>>,
    kinds: Vec<KindJson<'a>>,
    originals: Vec<OriginalJson<'a>>,
    not_compared: &'a [String],
    measure_next: Vec<WorthJson<'a>>,
}

#[derive(Serialize)]
struct WorthJson<'a> {
    what: &'a str,
    bias: bool,
    value: Option<f64>,
    minutes: f64,
    verdicts: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct ReadingJson<'a> {
    dimension: &'a str,
    object: &'a str,
    drawn: Option<f64>,
    came: Option<f64>,
    u: Option<f64>,
    foretold: ForecastJson,
    off: Option<f64>,
    zeta: Option<f64>,
    says: &'static str,
    mistyped: Option<MistypedJson>,
    here: ForecastJson,
    in_hand: Option<f64>,
    next: ForecastJson,
    fits: Option<f64>,
    draw: Option<DrawJson>,
}

#[derive(Serialize)]
struct DrawJson {
    value: Option<f64>,
    fits: Option<f64>,
}

#[derive(Serialize)]
struct ForecastJson {
    mean: Option<f64>,
    scale: Option<f64>,
    freedom: Option<f64>,
}

#[derive(Serialize)]
struct MistypedJson {
    chance: Option<f64>,
    written: Option<f64>,
    meant: Option<f64>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct KindJson<'a> {
    machine: &'a str,
    material: &'a str,
    kind: &'a str,
    readings: usize,
    features: usize,
    jobs: usize,
    bias: Option<f64>,
    bias_u: Option<f64>,
    spread: Option<f64>,
    systematic: bool,
    scale: Option<f64>,
}

#[derive(Serialize)]
struct OriginalJson<'a> {
    path: &'a str,
    stated: Option<f64>,
    again: Option<f64>,
    zeta: Option<f64>,
}

fn forecast_json(forecast: &Forecast) -> ForecastJson {
    ForecastJson { mean: clean(forecast.mean), scale: clean(forecast.scale), freedom: clean(forecast.freedom) }
}

fn reading_json<'a>(row: &'a Row) -> ReadingJson<'a> {
    let revision = row.revision();
    let draw = revision.as_ref().filter(|revision| revision.is_worth_it() && !row.suspect);
    ReadingJson {
        dimension: &row.entry.path,
        object: &row.entry.object,
        drawn: clean(row.entry.drawn),
        came: clean(row.entry.came),
        u: clean(row.entry.u),
        foretold: forecast_json(&row.entry.foretold()),
        off: clean(row.entry.left_out.off),
        zeta: clean(row.zeta),
        says: says(row),
        mistyped: row.lesson.suspect.as_ref().filter(|_| row.suspect).map(|suspect| MistypedJson {
            chance: clean(suspect.chance),
            written: clean(suspect.written),
            meant: suspect.slip.and_then(|(_, meant)| clean(meant)),
        }),
        here: forecast_json(&row.lesson.here(row.entry)),
        in_hand: row.in_hand.and_then(|(chance, _)| clean(chance)),
        next: forecast_json(&row.lesson.next(row.entry)),
        fits: revision.as_ref().and_then(|revision| clean(revision.as_it_is)),
        draw: draw.map(|revision| DrawJson { value: clean(revision.drawn.value), fits: clean(revision.drawn.chance) }),
    }
}

fn worth_json(worth: &Worth) -> WorthJson<'_> {
    let Worth { what, bias, value, minutes, verdicts, .. } = worth;
    WorthJson { what, bias: *bias, value: clean(*value), minutes: *minutes, verdicts: *verdicts }
}

/// The same for programs; lengths in mm.
#[must_use]
pub fn compare_json(compared: &Compared) -> String {
    let readings = compared.rows.iter().map(reading_json);
    let kinds = compared.lessons.iter().map(|lesson| {
        let ((readings, features, jobs), bias) = (lesson.counts(), lesson.learnt.bias(0.0));
        KindJson {
            machine: &lesson.group.machine,
            material: &lesson.group.material,
            kind: lesson.group.kind,
            readings,
            features,
            jobs,
            bias: clean(bias.mean),
            bias_u: clean(bias.u()),
            spread: clean(lesson.learnt.spread()),
            systematic: lesson.is_systematic(),
            scale: lesson.scale().and_then(|scale| clean(scale.mean)),
        }
    });
    let originals = compared.originals.iter().map(|original| OriginalJson {
        path: &original.path,
        stated: clean(original.stated),
        again: clean(original.again),
        zeta: clean(original.zeta),
    });
    result_json(&Document {
        shape: "dryfit-compare/1",
        sheet: &compared.sheet,
        readings: readings.collect(),
        kinds: kinds.collect(),
        originals: originals.collect(),
        not_compared: &compared.apart,
        measure_next: compared.worth.iter().map(worth_json).collect(),
    })
}
