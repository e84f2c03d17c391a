//! What to measure next: which reading saves most, over all verdicts that could still turn.

use std::collections::BTreeMap;

use crate::learning::deviations::{Deviation, Learnt, PRIOR_FREEDOM, Prior, SHARES};
use crate::learning::reading;
use crate::learning::worth::{FAR, LEAST, LOSSES, of_measuring, removed};
use crate::model::Model;
use crate::quantity::{InputKind, Quantity};
use crate::rules::{Closeness, Level, Library, judge};
use crate::source::Span;

/// Something that could be measured, and what that would be worth.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Worth {
    /// What it is: the label of an input.
    pub what: String,
    /// Whether it is the machine's bias, which readings of prints teach; else something bought, which is read again.
    pub bias: bool,
    /// The loss that it saves on the mean, in changes of a drawing.
    pub value: f64,
    /// How long it takes with a caliper, in minutes; judgement.
    pub minutes: f64,
    /// How many verdicts it bears on.
    pub verdicts: usize,
}

/// Three repeats with a caliper, in mm.
const AGAIN: (usize, f64, f64) = (3, 0.01, 0.03);
/// Features of one print that teach a bias.
const FEATURES: usize = 3;
/// Reading one bought dimension again, and three features of a print, with what it takes to note them; judgement.
const MINUTES: (f64, f64) = (3.0, 8.0);

/// One input, or several that one reading takes the place of.
struct Source {
    label: String,
    kind: InputKind,
    amount: f64,
    standard: f64,
}

/// What could be measured for a sheet, most worth first; nothing that is worth less than it takes to name it.
#[must_use]
pub fn next(library: &Library, model: &Model) -> Vec<Worth> {
    let mut found: BTreeMap<String, Worth> = BTreeMap::new();
    for (id, feature) in model.ids() {
        for rule in library.rules.iter().filter(|rule| rule.about.contains(&feature.block.name)) {
            let judgement = judge(library, rule, model, id, Closeness::Plain);
            let decisive = judgement.comparisons.iter().filter(|comparison| comparison.level > Level::Note);
            // Of several comparisons of a rule the nearest decides.
            let rooms = decisive.filter_map(|comparison| comparison.margin.as_ref().map(|margin| &margin.room));
            let near = |room: &&Quantity| room.uncertainty() > 0.0 && (room.value / room.uncertainty()).abs() < FAR;
            let nearest = rooms.filter(near).min_by(|a, b| share(a).total_cmp(&share(b)));
            for worth in nearest.into_iter().flat_map(|room| of_room(model, room)) {
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
    let mut all: Vec<Worth> = found.into_values().filter(|worth| worth.value >= LEAST).collect();
    all.sort_by(|a, b| (b.value / b.minutes).total_cmp(&(a.value / a.minutes)).then_with(|| a.what.cmp(&b.what)));
    all
}

fn share(room: &Quantity) -> f64 {
    (room.value / room.uncertainty()).abs()
}

fn of_room(model: &Model, room: &Quantity) -> Vec<Worth> {
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
    sources.into_values().filter_map(|source| of_source(&source, room)).collect()
}

fn of_source(source: &Source, room: &Quantity) -> Option<Worth> {
    let bias = match source.kind {
        InputKind::Readings | InputKind::Instrument | InputKind::Bounds => false,
        InputKind::Profile if source.label.ends_with("-bias") => true,
        _ => return None,
    };
    let slope = source.amount / source.standard;
    let moved = if bias {
        slope * (source.standard.powi(2) - after(source.standard).powi(2)).max(0.0).sqrt()
    } else {
        let (repeats, step, limit) = AGAIN;
        let new = reading::u(reading::REPEAT_SCATTER, repeats, reading::Instrument { step, limit });
        removed(slope, source.standard, new)
    };
    let value = of_measuring(room.value, room.uncertainty(), moved, LOSSES);
    let minutes = if bias { MINUTES.1 } else { MINUTES.0 };
    Some(Worth { what: source.label.clone(), bias, value, minutes, verdicts: 1 })
}

/// The uncertainty that a bias has left after one print of some features; a profile's is its spread.
fn after(bias_u: f64) -> f64 {
    let prior = Prior { bias: 0.0, bias_u, spread: bias_u, scale_u: 0.0, freedom: PRIOR_FREEDOM, shares: SHARES };
    let (repeats, step, limit) = AGAIN;
    let variance = reading::own_variance(reading::REPEAT_SCATTER, repeats, step);
    let one = |feature| Deviation { feature, job: 0, object: 0, jaws: Some(0), length: 0.0, value: 0.0, variance };
    let learnt = Learnt::new(prior, (0..FEATURES).map(one).collect(), &[reading::shared_u(limit)]);
    learnt.planned_bias_u(0.0)
}
