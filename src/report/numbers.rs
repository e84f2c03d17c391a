//! The numbers of a finding as programs read them: without the residue of their arithmetic.

use serde::Serialize;

use crate::quantity::Quantity;
use crate::rules::{Cause, InputNote, MarginNote, StatedNote};

/// So many digits count: the last few of a double are residue of its arithmetic.
const DIGITS: usize = 12;

/// So many of an uncertainty, a share of it or a chance: the slopes that these go by are worked out numerically.
const UNCERTAIN_DIGITS: usize = 6;

/// A number, or null where it is beyond what a double can hold.
pub(super) fn clean(number: f64) -> Option<f64> {
    to_digits(number, DIGITS)
}

/// An uncertainty, or a share of its square.
fn uncertain(number: f64) -> Option<f64> {
    to_digits(number, UNCERTAIN_DIGITS)
}

/// A chance: as many digits of what it lacks to certainty, where that is less.
fn chance(chance: f64) -> Option<f64> {
    if chance > 0.5 { uncertain(1.0 - chance).and_then(|other| clean(1.0 - other)) } else { uncertain(chance) }
}

fn to_digits(number: f64, digits: usize) -> Option<f64> {
    let after = digits - 1;
    let rounded: f64 = format!("{number:.after$e}").parse().ok()?;
    // No zero has a sign.
    rounded.is_finite().then_some(if rounded == 0.0 { 0.0 } else { rounded })
}

#[derive(Serialize)]
pub(super) struct Margin<'a> {
    comparison: &'a str,
    value: Option<f64>,
    comparator: &'a str,
    limit: Option<f64>,
    room: Option<f64>,
    uncertainty: Option<f64>,
    unit: &'a str,
    share: Option<f64>,
    chance: Option<f64>,
    causes: Vec<(&'a str, Option<f64>)>,
    doubts: Vec<Doubt<'a>>,
}

#[derive(Serialize)]
struct Doubt<'a> {
    name: &'a str,
    share: Option<f64>,
    kind: crate::quantity::InputKind,
    own: bool,
}

pub(super) fn margin<'a>(margin: &'a MarginNote) -> Margin<'a> {
    let doubt =
        |cause: &'a Cause| Doubt { name: &cause.name, share: uncertain(cause.share), kind: cause.kind, own: cause.own };
    Margin {
        comparison: &margin.comparison,
        value: clean(shown(&margin.left)),
        comparator: margin.comparator.symbol(),
        limit: clean(shown(&margin.right)),
        room: clean(margin.room),
        uncertainty: uncertain(margin.uncertainty),
        unit: &margin.unit,
        share: super::share(margin).and_then(clean),
        chance: margin.chance.and_then(chance),
        causes: margin.causes.iter().map(|cause| (cause.name.as_str(), uncertain(cause.share))).collect(),
        doubts: margin.causes.iter().map(doubt).collect(),
    }
}

fn shown(quantity: &Quantity) -> f64 {
    quantity.shown_unit().map_or(quantity.value, |unit| unit.show(quantity.value))
}

/// A number with its unit and standard uncertainty; nulls for what is none.
#[derive(Serialize, Default)]
pub(super) struct Number {
    #[serde(rename = "number")]
    value: Option<f64>,
    uncertainty: Option<f64>,
    unit: Option<&'static str>,
}

impl Number {
    pub(super) fn of(quantity: Option<&Quantity>) -> Self {
        let Some(quantity) = quantity else { return Self::default() };
        let unit = quantity.shown_unit();
        let factor = unit.map_or(1.0, |unit| unit.factor);
        Self {
            value: clean(shown(quantity)),
            uncertainty: uncertain(quantity.uncertainty() / factor),
            unit: Some(unit.map_or("", |unit| unit.name)),
        }
    }
}

#[derive(Serialize)]
pub(super) struct Input<'a> {
    name: &'a str,
    value: &'a str,
    from: &'a str,
    #[serde(flatten)]
    number: Number,
}

pub(super) fn input(note: &InputNote) -> Input<'_> {
    Input { name: &note.name, value: &note.value, from: &note.from, number: Number::of(note.quantity.as_ref()) }
}

#[derive(Serialize)]
pub(super) struct Stated<'a> {
    name: &'a str,
    byte: u32,
    #[serde(flatten)]
    number: Number,
}

pub(super) fn stated(note: &StatedNote) -> Stated<'_> {
    Stated { name: &note.name, byte: note.at.start, number: Number::of(note.quantity.as_ref()) }
}
