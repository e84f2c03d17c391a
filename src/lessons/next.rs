//! What to measure next: which reading saves most, over all verdicts that could still turn.

use std::collections::BTreeMap;

use super::StrainLesson;
use super::trials::before;
use crate::gauge::{Kind, OPENINGS, gauge};
use crate::inspect::Analysis;
use crate::learning::deviations::{Deviation, Learnt, Prior};
use crate::learning::figures::Figures;
use crate::learning::reading;
use crate::learning::worth::{of_measuring, of_trial, removed};
use crate::model::FeatureId;
use crate::notes::profile_of;
use crate::quantity::{InputKind, Quantity, Unit};
use crate::rules::{Closeness, Level, derived, judge};
use crate::source::{SourceId, Span};

/// How something is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum How {
    /// Something bought is read again.
    Again,
    /// A machine's bias is taught by readings of a print: of the part itself, or of this gauge piece.
    Print(Kind),
    /// An arm is opened step by step; worth most at so many times its need.
    Trial(f64),
}

impl How {
    /// Its word for programs.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Again => "again",
            Self::Print(_) => "print",
            Self::Trial(_) => "trial",
        }
    }
}

/// Something that could be measured, and what that would be worth.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Worth {
    /// What it is: a value that is not exactly known, or an arm, by its path.
    pub what: String,
    /// Of what, where several are called so: the material that is printed, the sheet that states it, the sheet of the arm.
    pub of: String,
    /// How it is measured.
    pub how: How,
    /// The loss that it saves on the mean, in changes of a drawing.
    pub value: f64,
    /// How long it takes at the bench, in minutes.
    pub minutes: f64,
    /// What the gauge piece for it weighs, in g, printed solid; none where nothing is printed for it.
    pub grams: Option<f64>,
    /// How many verdicts it bears on.
    pub verdicts: usize,
    /// The sheets that these are of.
    pub sheets: Vec<String>,
}

/// What tells one thing to measure from another: what it is, how, and where that is (the material that is printed, the sheet that
/// states it, the sheet of the arm).
type Key = (String, &'static str, String);

/// Three repeats with a caliper, in mm.
const AGAIN: (usize, f64, f64) = (3, 0.01, 0.03);
/// Features of one print that teach a bias.
const FEATURES: usize = 3;

/// One input, or several that one reading takes the place of.
struct Source {
    of: String,
    at: Option<Span>,
    kind: InputKind,
    amount: f64,
    standard: f64,
}

/// What could be measured for some sheets, most worth a minute first, over all verdicts of all of them; nothing that is worth
/// less than it takes to name it.
#[must_use]
pub fn next(sheets: &[&Analysis], strains: &[StrainLesson], figures: &Figures) -> Vec<Worth> {
    let mut found: BTreeMap<Key, (Worth, &Analysis)> = BTreeMap::new();
    for analysis in sheets {
        for (key, worth) in of_sheet(analysis, strains, figures) {
            let (known, _) = found
                .entry(key)
                .or_insert_with(|| (Worth { value: 0.0, verdicts: 0, sheets: Vec::new(), ..worth.clone() }, analysis));
            known.value += worth.value;
            known.verdicts += 1;
            known.sheets.extend(worth.sheets);
            known.sheets.dedup();
        }
    }
    let all = found.into_values().filter(|(worth, _)| worth.value >= figures.worth_least);
    let mut all: Vec<Worth> = all.map(|(worth, on)| Worth { grams: grams(on, &worth), ..worth }).collect();
    let rate = |worth: &Worth| worth.value / worth.minutes;
    all.sort_by(|a, b| {
        rate(b).total_cmp(&rate(a)).then_with(|| a.what.cmp(&b.what)).then_with(|| a.sheets.cmp(&b.sheets))
    });
    all
}

/// What measuring is worth to each verdict of a sheet.
fn of_sheet(analysis: &Analysis, strains: &[StrainLesson], figures: &Figures) -> Vec<(Key, Worth)> {
    let (library, model) = (analysis.library, &analysis.model);
    let mut all = Vec::new();
    for (id, feature) in model.ids() {
        for rule in library.rules.iter().filter(|rule| rule.about.contains(&feature.block.name)) {
            let judgement = judge(library, rule, model, id, Closeness::Plain);
            let decisive = judgement.comparisons.iter().filter(|comparison| comparison.level > Level::Note);
            // Of several comparisons of a rule the nearest decides.
            let rooms = decisive.filter_map(|comparison| comparison.margin.as_ref().map(|margin| &margin.room));
            let near = |room: &&Quantity| {
                room.uncertainty() > 0.0 && (room.value / room.uncertainty()).abs() < figures.margin_far
            };
            let nearest = rooms.filter(near).min_by(|a, b| share(a).total_cmp(&share(b)));
            all.extend(nearest.into_iter().flat_map(|room| of_room(analysis, room, figures)));
        }
    }
    let trials = model.ids().filter(|(_, feature)| &*feature.block.name == "arm" && !feature.imported);
    all.extend(trials.filter_map(|(id, _)| of_arm(analysis, id, strains, figures)));
    all
}

fn share(room: &Quantity) -> f64 {
    (room.value / room.uncertainty()).abs()
}

fn of_room(analysis: &Analysis, room: &Quantity, figures: &Figures) -> Vec<(Key, Worth)> {
    let model = &analysis.model;
    let mut sources: BTreeMap<(Option<Span>, String), Source> = BTreeMap::new();
    for term in &room.terms {
        let Some(input) = model.input(term.input) else { continue };
        // The scatter, the jaws and the step of one set of readings go together: they are read again together.
        let of = || input.of.clone();
        let fresh = || Source { of: of(), at: input.at, kind: input.kind, amount: 0.0, standard: 0.0 };
        let source = sources.entry((input.at, of())).or_insert_with(fresh);
        source.amount = source.amount.hypot(term.amount);
        source.standard = source.standard.hypot(input.standard);
    }
    sources.into_values().filter_map(|source| of_source(analysis, &source, room, figures)).collect()
}

fn of_source(analysis: &Analysis, source: &Source, room: &Quantity, figures: &Figures) -> Option<(Key, Worth)> {
    let bias = match source.kind {
        InputKind::Readings | InputKind::Instrument | InputKind::Bounds => false,
        InputKind::Profile if source.of.ends_with("-bias") => true,
        _ => return None,
    };
    let slope = source.amount / source.standard;
    let moved = if bias {
        slope * (source.standard.powi(2) - after(source.standard, figures).powi(2)).max(0.0).sqrt()
    } else {
        let (repeats, step, limit) = AGAIN;
        let new = reading::u(figures.repeat_scatter, repeats, reading::Instrument { step, limit });
        removed(slope, source.standard, new)
    };
    let value = of_measuring(room.value, room.uncertainty(), moved, figures.losses());
    let (how, minutes, place) = if bias {
        let kind = if source.of.ends_with("hole-bias") { Kind::Holes } else { Kind::Frames };
        (How::Print(kind), figures.minutes_print, profile_of(&analysis.model, "material"))
    } else {
        let stated = source.at.map_or(SourceId(0), |at| at.source);
        (How::Again, figures.minutes_again, analysis.sources.get(stated).name.clone())
    };
    Some(worth(analysis, (&source.of, how, place), value, minutes))
}

/// What a trial of an arm of this kind is worth for its own verdict, at the opening that is worth most.
fn of_arm(analysis: &Analysis, arm: FeatureId, strains: &[StrainLesson], figures: &Figures) -> Option<(Key, Worth)> {
    let model = &analysis.model;
    if derived(model, arm, "leans").is_some_and(|leans| leans.value > figures.in_layers) {
        return None;
    }
    let material = profile_of(model, "material");
    let known = strains.iter().find(|lesson| lesson.material == material);
    let fresh = if known.is_none() { before(model, &material, figures) } else { None };
    let limit = &known.or(fresh.as_ref())?.limit;
    let needed = derived(model, arm, "strain").filter(|strain| strain.value > 0.0)?.value;
    let saved = |share: f64| (share, of_trial(limit, needed, share * needed, figures.losses()));
    let (share, value) = OPENINGS.into_iter().map(saved).max_by(|a, b| a.1.total_cmp(&b.1))?;
    let place = analysis.sources.get(SourceId(0)).name.clone();
    Some(worth(analysis, (&model.path(arm), How::Trial(share), place), value, figures.minutes_trial))
}

/// What is worth so much to one verdict of a sheet.
fn worth(analysis: &Analysis, (what, how, place): (&str, How, String), value: f64, minutes: f64) -> (Key, Worth) {
    let sheets = vec![analysis.sources.get(SourceId(0)).name.clone()];
    let worth =
        Worth { what: what.to_owned(), of: place.clone(), how, value, minutes, grams: None, verdicts: 1, sheets };
    ((what.to_owned(), how.word(), place), worth)
}

/// What the piece that measures it weighs, printed solid; none where the sheet's machine cannot print it.
fn grams(analysis: &Analysis, worth: &Worth) -> Option<f64> {
    let (library, model) = (analysis.library, &analysis.model);
    let (kind, on) = match worth.how {
        How::Again => return None,
        How::Print(kind) => (kind, None),
        How::Trial(_) => (Kind::Arm, Some(worth.what.as_str())),
    };
    let density = model.stated("materials", &profile_of(model, "material"), "density")?;
    let piece = gauge(kind, library, model, on).ok()?;
    let volume: f64 = piece.bodies.iter().map(|body| body.solid.volume()).sum();
    Some(volume / 1e3 * Unit::named("g/cm3")?.show(density.value))
}

/// The uncertainty that a bias has left after one print of some features; a profile's is its spread.
fn after(bias_u: f64, figures: &Figures) -> f64 {
    let prior =
        Prior { bias: 0.0, bias_u, spread: bias_u, scale_u: 0.0, freedom: figures.freedom(), shares: figures.shares() };
    let (repeats, step, limit) = AGAIN;
    let variance = reading::own_variance(figures.repeat_scatter, repeats, step);
    let one = |feature| Deviation { feature, job: 0, object: 0, jaws: Some(0), length: 0.0, value: 0.0, variance };
    let learnt = Learnt::new(prior, (0..FEATURES).map(one).collect(), &[reading::shared_u(limit)]);
    learnt.planned_bias_u(0.0)
}
