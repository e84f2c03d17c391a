//! Every rule with its numbers, for checking the arithmetic by hand.

mod steps;
#[cfg(test)]
mod tests;

use std::collections::HashMap;

use super::authors_unit::margin_in_authors_unit;
use super::engine::{Findings, margin_note};
use super::finding::{Acceptance, Finding, InputNote, Level, MarginNote};
use super::inputs::Inputs;
use super::judge::{Applies, Closeness, Comparison, judged};
use super::library::Library;
use super::rule::Rule;
use super::scope::RuleScope;
use crate::model::{Evaluation, FeatureId, Margin, Model, Value};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Operator};
use steps::steps;

/// What one rule worked out for one feature.
#[derive(Debug)]
#[non_exhaustive]
pub struct LedgerEntry {
    /// The rule.
    pub rule: String,
    /// The feature.
    pub about: String,
    /// Each named step with its formula and value, in the rule's order.
    pub steps: Vec<LedgerStep>,
    /// Each comparison, worst level first.
    pub comparisons: Vec<LedgerComparison>,
    /// What the sheet states of it: place and text.
    pub stated: Vec<(Span, String)>,
    /// What it does not: profiles, defaults, limits.
    pub inputs: Vec<InputNote>,
    /// Why it could not be worked out, where it could not.
    pub trouble: Option<String>,
    /// The permit that accepts what it finds.
    pub permitted: Option<Acceptance>,
    /// What the sheet says to it, where it is a caution.
    pub acknowledged: Option<Acceptance>,
}

impl LedgerEntry {
    /// Whether a comparison of it does not hold, or it could not be worked out.
    #[must_use]
    pub fn is_failing(&self) -> bool {
        self.trouble.is_some() || self.comparisons.iter().any(|comparison| !comparison.holds)
    }
}

/// A named step of a rule.
#[derive(Debug)]
#[non_exhaustive]
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
#[non_exhaustive]
pub struct LedgerComparison {
    /// The level if it fails.
    pub level: Level,
    /// Its formula.
    pub formula: String,
    /// What it compares, where that has a name: `thickness` in `solid or thickness >= least`.
    pub name: Option<String>,
    /// Whether it holds on the mean.
    pub holds: bool,
    /// The level at which it is reported, as the project and the sheet's permits have it; `None` where it is not.
    pub reported: Option<Level>,
    /// Its numbers, where it compares quantities.
    pub margin: Option<MarginNote>,
}

/// What the ledger is drawn from.
struct Sheet<'a, 'v> {
    library: &'a Library,
    model: &'a Model<'v>,
    /// What was found, by rule and feature: permits and what is told elsewhere are seen to there.
    found: HashMap<(&'a str, FeatureId), &'a Finding>,
    /// How often each permit is needed.
    uses: &'a HashMap<FeatureId, usize>,
}

impl<'a, 'v> Sheet<'a, 'v> {
    fn of(library: &'a Library, model: &'a Model<'v>, findings: &'a Findings) -> Self {
        let found = findings.list.iter().zip(&findings.features);
        let found = found.filter_map(|(finding, id)| Some(((finding.rule.as_str(), (*id)?), finding)));
        Self { library, model, found: found.collect(), uses: &findings.uses }
    }
}

/// The ledger of a sheet: for one feature and what is in it, or for all.
pub(crate) fn ledger(
    library: &Library,
    model: &Model,
    findings: &Findings,
    only: Option<FeatureId>,
) -> Vec<LedgerEntry> {
    let sheet = Sheet::of(library, model, findings);
    let is_meant = |id: FeatureId| only.is_none_or(|only| model.outward(id).any(|outer| outer == only));
    model.ids().filter(|(id, _)| is_meant(*id)).flat_map(|(id, _)| entries(&sheet, id)).collect()
}

/// The ledger of one feature without what is in it.
pub(crate) fn ledger_of(library: &Library, model: &Model, findings: &Findings, id: FeatureId) -> Vec<LedgerEntry> {
    entries(&Sheet::of(library, model, findings), id)
}

fn entries(sheet: &Sheet, id: FeatureId) -> Vec<LedgerEntry> {
    let kind = &sheet.model.feature(id).block.name;
    let about = sheet.library.rules.iter().filter(|rule| rule.about.contains(kind));
    about.filter_map(|rule| entry(sheet, rule, id)).collect()
}

/// `None` where the rule does not apply: its condition is not met, or something it needs is not given.
fn entry(sheet: &Sheet, rule: &Rule, id: FeatureId) -> Option<LedgerEntry> {
    let locals = RuleScope::new(rule, sheet.model, id).used(sheet.uses.get(&id).copied());
    let evaluation = locals.evaluation();
    let found = sheet.found.get(&(rule.name.as_str(), id)).copied();
    let mut entry = LedgerEntry {
        rule: rule.name.to_string(),
        about: sheet.model.path(id),
        steps: Vec::new(),
        comparisons: Vec::new(),
        stated: Vec::new(),
        inputs: Vec::new(),
        trouble: None,
        permitted: found.and_then(|finding| finding.permitted.clone()),
        acknowledged: found.and_then(|finding| finding.acknowledged.clone()),
    };
    let judgement = judged(sheet.library, rule, &evaluation, Closeness::Told);
    match judgement.applies {
        Applies::Yes => {}
        Applies::Trouble(fault) => entry.trouble = Some(fault.message()),
        Applies::No | Applies::NotGiven(_) | Applies::AtFault => return None,
    }
    for comparison in judgement.comparisons {
        let (level, formula) = rule.holds.get(comparison.index)?;
        let expr = formula.expr().ok()?;
        let inputs = Inputs::of(rule, expr, &evaluation);
        add_new(&mut entry.stated, inputs.stated.into_iter().map(|stated| (stated.at, stated.label)).collect());
        add_new(&mut entry.inputs, inputs.notes);
        let reported = reported(&comparison, found);
        let chance = comparison.chance;
        entry.comparisons.push(LedgerComparison {
            level: *level,
            formula: formula.text.to_string(),
            name: comparison.margin.as_ref().and_then(|margin| compared(expr, margin, &evaluation)),
            holds: comparison.holds,
            reported,
            margin: comparison
                .margin
                .as_ref()
                .map(|margin| margin_note(&margin_in_authors_unit(margin, &evaluation), chance)),
        });
    }
    entry.steps = steps(rule, &evaluation);
    Some(entry)
}

/// The name on the left side of a margin; of several comparisons in a formula, of the one that decided.
fn compared(expr: &Expr, margin: &Margin, evaluation: &Evaluation) -> Option<String> {
    match &expr.kind {
        ExprKind::Binary { operator: Operator::And | Operator::Or, left, right } => {
            compared(left, margin, evaluation).or_else(|| compared(right, margin, evaluation))
        }
        ExprKind::Binary { operator: Operator::Compare(by), left, .. } if *by == margin.comparator => {
            let ExprKind::Path(path) = &left.kind else { return None };
            let Ok(Value::Quantity(value)) = evaluation.value(left) else { return None };
            value.value.total_cmp(&margin.left.value).is_eq().then(|| path.text())
        }
        _ => None,
    }
}

/// The level at which an inspection tells of a comparison: an acknowledged caution is a note, and what may only fail is
/// left to a rule that tells the cause.
fn reported(comparison: &Comparison, found: Option<&Finding>) -> Option<Level> {
    match found {
        None if comparison.is_likely() => None,
        Some(finding) if finding.acknowledged.is_some() => comparison.reported.map(|level| level.min(finding.level)),
        _ => comparison.reported,
    }
}

fn add_new<T: PartialEq>(list: &mut Vec<T>, more: Vec<T>) {
    for item in more {
        if !list.contains(&item) {
            list.push(item);
        }
    }
}
