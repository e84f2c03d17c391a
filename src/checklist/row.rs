//! A line of the table that the pencil fills in.

use serde::Serialize;

use crate::measures::{Limit, Measure, Side};
use crate::model::{FeatureId, Model, Value};
use crate::quantity::{Quantity, Unit};
use crate::rules::{Level, Library};

/// A dimension to measure, with its figures as text in the author's own unit.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Row {
    /// Its path.
    pub path: String,
    /// How many alike there are.
    pub count: usize,
    /// What is drawn.
    pub drawn: String,
    /// What it is expected to come out as.
    pub expected: String,
    /// How far off that may be: two standard uncertainties.
    pub within: String,
    /// The same without its unit, for a place that has given the unit already.
    #[serde(skip)]
    pub(super) within_number: String,
    /// The least reading that is a go; empty without one.
    pub least: String,
    /// The largest.
    pub most: String,
    /// What it is measured with.
    pub with: &'static str,
    /// What is wrong with a reading beyond its limits, nearest first.
    pub bounds: Vec<Bound>,
}

/// A limit of a reading in words.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Bound {
    /// On which side of it the reading must be.
    pub side: Side,
    /// The reading, with its unit.
    pub value: String,
    /// What a reading beyond it is.
    pub level: Level,
    /// The rule.
    pub rule: String,
    /// What it is about.
    pub about: String,
    /// What is wrong then: `a fit that comes out too tight`.
    pub means: String,
}

impl Row {
    pub(super) fn of(library: &Library, model: &Model, measure: &Measure) -> Self {
        let unit = measure.drawn.shown_unit();
        let in_unit = |value: f64| shown(value, unit);
        let (least, most) = measure.go();
        let with_notes = !measure.limits.iter().any(Limit::decides);
        let told = measure.limits.iter().filter(|limit| limit.decides() || with_notes);
        Self {
            path: measure.path.clone(),
            count: alike(model, measure.feature),
            drawn: measured(&measure.drawn),
            expected: in_unit(measure.expected.value),
            within: in_unit(2.0 * measure.expected.uncertainty()),
            within_number: number(2.0 * measure.expected.uncertainty(), unit),
            least: least.map_or(String::new(), in_unit),
            most: most.map_or(String::new(), in_unit),
            with: measure.jaws.words(),
            bounds: told.map(|limit| bound(library, limit, unit)).collect(),
        }
    }
}

fn bound(library: &Library, limit: &Limit, unit: Option<&'static Unit>) -> Bound {
    Bound {
        side: limit.side,
        value: shown(limit.value, unit),
        level: limit.level,
        rule: limit.rule.clone(),
        about: limit.about.clone(),
        means: library.rule(&limit.rule).map_or(String::new(), |rule| rule.title.to_string()),
    }
}

/// How many are alike, as the feature says, or what it is in.
pub(super) fn alike(model: &Model, id: FeatureId) -> usize {
    let counted = model.outward(id).find_map(|outer| model.value_of(outer, model.field(outer, "count")?).ok());
    match counted {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small whole number")]
        Some(Value::Quantity(count)) => (count.value.round() as usize).max(1),
        _ => 1,
    }
}

/// A length with its unit.
pub(super) fn shown(value: f64, unit: Option<&'static Unit>) -> String {
    let number = number(value, unit);
    unit.map_or_else(|| number.clone(), |unit| format!("{number} {}", unit.name))
}

/// To the hundredth of a millimetre or the thousandth of an inch, which is as fine as a caliper reads.
fn number(value: f64, unit: Option<&'static Unit>) -> String {
    let digits = if unit.is_some_and(Unit::is_customary) { 3 } else { 2 };
    let text = format!("{:.digits$}", unit.map_or(value, |unit| unit.show(value)));
    match text.strip_prefix('-') {
        Some(zero) if zero.chars().all(|c| matches!(c, '0' | '.')) => zero.to_owned(),
        _ => text,
    }
}

fn measured(quantity: &Quantity) -> String {
    shown(quantity.value, quantity.shown_unit())
}
