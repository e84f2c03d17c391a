//! Every rule with its numbers, for checking the arithmetic by hand.

use super::chance;
use super::engine::{applies, margin_note};
use super::finding::{InputNote, Level, MarginNote};
use super::inputs::Inputs;
use super::library::Library;
use super::locals::RuleLocals;
use super::rule::Rule;
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::source::Span;

/// What one rule worked out for one feature.
#[derive(Debug)]
pub struct LedgerEntry {
    /// The rule.
    pub rule: String,
    /// The feature.
    pub about: String,
    /// Each named step with its formula and value, in the rule's order.
    pub steps: Vec<LedgerStep>,
    /// Each comparison, worst level first.
    pub comparisons: Vec<Comparison>,
    /// What the sheet states of it: place and text.
    pub stated: Vec<(Span, String)>,
    /// What it does not: profiles, defaults, limits.
    pub inputs: Vec<InputNote>,
    /// Why it could not be worked out, where it could not.
    pub trouble: Option<String>,
}

/// A named step of a rule.
#[derive(Debug)]
pub struct LedgerStep {
    /// Its name.
    pub name: String,
    /// Its formula.
    pub formula: String,
    /// Its value with its standard uncertainty.
    pub value: String,
}

/// A comparison of a rule.
#[derive(Debug)]
pub struct Comparison {
    /// The level if it fails.
    pub level: Level,
    /// Its formula.
    pub formula: String,
    /// Whether it holds.
    pub holds: bool,
    /// Its numbers, where it compares quantities.
    pub margin: Option<MarginNote>,
}

/// The ledger of a sheet: for one feature and what is in it, or for all.
#[must_use]
pub fn ledger(library: &Library, model: &Model, only: Option<FeatureId>) -> Vec<LedgerEntry> {
    let mut entries = Vec::new();
    for (id, feature) in model.ids() {
        if only.is_some_and(|only| !model.outward(id).any(|outer| outer == only)) {
            continue;
        }
        for rule in &library.rules {
            if rule.about.contains(&feature.block.name) {
                entries.extend(entry(rule, model, id));
            }
        }
    }
    entries
}

/// `None` where the rule does not apply: its condition is not met, or something it needs is not given.
fn entry(rule: &Rule, model: &Model, id: FeatureId) -> Option<LedgerEntry> {
    let locals = RuleLocals::new(rule, model, id);
    let evaluation = locals.evaluation();
    let mut entry = LedgerEntry {
        rule: rule.name.to_string(),
        about: model.path(id),
        steps: Vec::new(),
        comparisons: Vec::new(),
        stated: Vec::new(),
        inputs: Vec::new(),
        trouble: None,
    };
    match applies(rule, &evaluation) {
        Ok(true) => {}
        Ok(false) => return None,
        Err(failure) => return troubled(entry, failure),
    }
    for (level, formula) in &rule.holds {
        let expr = formula.expr().ok()?;
        let value = match evaluation.value(expr) {
            Ok(value) => value,
            Err(failure) => return troubled(entry, failure),
        };
        let margin = match &value {
            Value::Margin(margin) => Some(margin_note(margin, chance::of(&evaluation, expr, &value))),
            _ => None,
        };
        let holds = value.holds()?;
        entry.comparisons.push(Comparison { level: *level, formula: formula.text.to_string(), holds, margin });
        let inputs = Inputs::of(rule, expr, &evaluation);
        add_new(&mut entry.stated, inputs.stated);
        add_new(&mut entry.inputs, inputs.notes);
    }
    entry.steps = steps(rule, &evaluation);
    Some(entry)
}

fn troubled(entry: LedgerEntry, failure: Failure) -> Option<LedgerEntry> {
    match failure {
        Failure::Fault(fault) if fault.name != "unknown-name" => {
            Some(LedgerEntry { trouble: Some(fault.message), ..entry })
        }
        _ => None,
    }
}

fn steps(rule: &Rule, evaluation: &Evaluation) -> Vec<LedgerStep> {
    let step = |(name, formula): &(crate::pack::Words, crate::pack::Formula)| {
        let value = match evaluation.value(formula.expr().ok()?).ok()? {
            Value::Quantity(quantity) => quantity.text_with_uncertainty(),
            other => other.text(),
        };
        Some(LedgerStep { name: name.to_string(), formula: formula.text.to_string(), value })
    };
    rule.steps.iter().filter_map(step).collect()
}

fn add_new<T: PartialEq>(list: &mut Vec<T>, more: Vec<T>) {
    for item in more {
        if !list.contains(&item) {
            list.push(item);
        }
    }
}
