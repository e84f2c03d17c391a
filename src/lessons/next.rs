//! What to measure next: which reading saves most, over all verdicts that could still turn.

use std::collections::BTreeMap;

use super::StrainLesson;
use super::trials::before;
use crate::gauge::{Kind, OPENINGS, gauge};
use crate::learning::deviations::{Deviation, Learnt, Prior};
use crate::learning::figures::Figures;
use crate::learning::reading;
use crate::learning::worth::{of_measuring, of_trial, removed};
use crate::model::{FeatureId, Model};
use crate::notes::profile_of;
use crate::quantity::{InputKind, Quantity, Unit};
use crate::rules::{Closeness, Level, Library, derived, judge};
use crate::source::Span;

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
    /// What it is: the label of an input, or an arm.
    pub what: String,
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
}

/// Three repeats with a caliper, in mm.
const AGAIN: (usize, f64, f64) = (3, 0.01, 0.03);
/// Features of one print that teach a bias.
const FEATURES: usize = 3;

/// One input, or several that one reading takes the place of.
struct Source {
    label: String,
    kind: InputKind,
    amount: f64,
    standard: f64,
}

/// What could be measured for a sheet, most worth first; nothing that is worth less than it takes to name it.
#[must_use]
pub fn next(library: &Library, model: &Model, strains: &[StrainLesson], figures: &Figures) -> Vec<Worth> {
    let mut found: BTreeMap<String, Worth> = BTreeMap::new();
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
            for worth in nearest.into_iter().flat_map(|room| of_room(model, room, figures)) {
                let known = found.entry(worth.what.clone()).or_insert_with(|| Worth {
                    value: 0.0,
                    verdicts: 0,
                    ..worth.clone()
                });
                known.value += worth.value;
                known.verdicts += 1;
            }
        }
    }
    let trials = model.ids().filter(|(_, feature)| &*feature.block.name == "arm" && !feature.imported);
    let trials = trials.filter_map(|(id, _)| of_arm(model, id, strains, figures));
    let all = found.into_values().chain(trials).filter(|worth| worth.value >= figures.worth_least);
    let mut all: Vec<Worth> = all.map(|worth| Worth { grams: grams(library, model, &worth), ..worth }).collect();
    all.sort_by(|a, b| (b.value / b.minutes).total_cmp(&(a.value / a.minutes)).then_with(|| a.what.cmp(&b.what)));
    all
}

fn share(room: &Quantity) -> f64 {
    (room.value / room.uncertainty()).abs()
}

fn of_room(model: &Model, room: &Quantity, figures: &Figures) -> Vec<Worth> {
    let mut sources: BTreeMap<(Option<Span>, String), Source> = BTreeMap::new();
    for term in &room.terms {
        let Some(input) = model.input(term.input) else { continue };
        // The scatter, the jaws and the step of one set of readings go together: they are read again together.
        let label = input.label.rsplit(" of ").next().unwrap_or(&input.label).to_owned();
        let fresh = || Source { label: label.clone(), kind: input.kind, amount: 0.0, standard: 0.0 };
        let source = sources.entry((input.at, label.clone())).or_insert_with(fresh);
        source.amount = source.amount.hypot(term.amount);
        source.standard = source.standard.hypot(input.standard);
    }
    sources.into_values().filter_map(|source| of_source(&source, room, figures)).collect()
}

fn of_source(source: &Source, room: &Quantity, figures: &Figures) -> Option<Worth> {
    let bias = match source.kind {
        InputKind::Readings | InputKind::Instrument | InputKind::Bounds => false,
        InputKind::Profile if source.label.ends_with("-bias") => true,
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
    let (how, minutes) = if bias {
        let kind = if source.label.ends_with("hole-bias") { Kind::Holes } else { Kind::Frames };
        (How::Print(kind), figures.minutes_print)
    } else {
        (How::Again, figures.minutes_again)
    };
    Some(Worth { what: source.label.clone(), how, value, minutes, grams: None, verdicts: 1 })
}

/// What a trial of an arm of this kind is worth for its own verdict, at the opening that is worth most.
fn of_arm(model: &Model, arm: FeatureId, strains: &[StrainLesson], figures: &Figures) -> Option<Worth> {
    if derived(model, arm, "leans").is_some_and(|leans| leans.value > figures.in_layers) {
        return None;
    }
    let material = profile_of(model, "material");
    let known = strains.iter().find(|lesson| lesson.material == material);
    let fresh = if known.is_none() { before(model, &material, figures) } else { None };
    let limit = &known.or(fresh.as_ref())?.limit;
    let needed = derived(model, arm, "strain").filter(|strain| strain.value > 0.0)?.value;
    let worth = |share: f64| (share, of_trial(limit, needed, share * needed, figures.losses()));
    let (share, value) = OPENINGS.into_iter().map(worth).max_by(|a, b| a.1.total_cmp(&b.1))?;
    let what = model.path(arm);
    Some(Worth { what, how: How::Trial(share), value, minutes: figures.minutes_trial, grams: None, verdicts: 1 })
}

/// What the piece that measures it weighs, printed solid; none where the sheet's machine cannot print it.
fn grams(library: &Library, model: &Model, worth: &Worth) -> Option<f64> {
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
