//! Rules over a model: findings out.

use std::collections::HashMap;

use super::authors_unit::margin_in_authors_unit;
use super::finding::{Finding, Level, MarginNote, UncheckedNote};
use super::inputs::Inputs;
use super::library::Library;
use super::merge::merge;
use super::permits::Permits;
use super::rule::Rule;
use super::scope::RuleScope;
use super::uncertainty::{self, Chance};
use crate::fault::Fault;
use crate::model::{Evaluation, Failure, FeatureId, Margin, Model, Value};
use crate::syntax::tree::Expr;
use crate::vocabulary::Act;

/// Every finding on a sheet: its text's and its model's faults, then what the rules say, in the
/// order of the text.
#[must_use]
pub fn findings(library: &Library, model: &Model, text_faults: Vec<Fault>) -> Vec<Finding> {
    let by_kind = features_by_kind(model);
    let mut findings = Vec::new();
    let is_permit = |rule: &&Rule| is_about_permits(library, rule);
    for rule in library.rules.iter().filter(|rule| !is_permit(rule)) {
        run(library, rule, model, &by_kind, &mut findings);
    }
    let mut permits = Permits::of(library, model);
    permits.apply(library, model, &mut findings);
    for rule in library.rules.iter().filter(is_permit) {
        run(library, rule, model, &by_kind, &mut findings);
    }
    permits.point_out(model, &mut findings);
    let findings = merge(library, findings);
    let mut all: Vec<Finding> = text_faults
        .into_iter()
        .chain(permits.faults)
        .chain(model.take_faults())
        .map(|fault| from_fault(library, fault))
        .collect();
    all.extend(findings.into_iter().map(|(_, finding)| finding));
    all.sort_by(|a, b| (a.at, &a.rule, &a.about).cmp(&(b.at, &b.rule, &b.about)));
    all
}

/// Whether a rule looks at permits, which are spent only once all others have run.
pub(super) fn is_about_permits(library: &Library, rule: &Rule) -> bool {
    let acts = |kind: &str| library.vocabulary.block(kind).map(|block| block.act);
    rule.about.iter().any(|kind| acts(kind) == Some(Act::Permits))
}

pub(super) type ByKind<'a> = HashMap<&'a str, Vec<FeatureId>>;

pub(super) fn features_by_kind<'a>(model: &'a Model) -> ByKind<'a> {
    let mut by_kind = ByKind::new();
    for (id, feature) in model.ids() {
        by_kind.entry(&feature.block.name).or_default().push(id);
    }
    by_kind
}

fn run(library: &Library, rule: &Rule, model: &Model, by_kind: &ByKind, findings: &mut Vec<(FeatureId, Finding)>) {
    if rule.most.is_none() && !rule.caution {
        return;
    }
    for kind in &rule.about {
        for id in by_kind.get(kind.as_str()).into_iter().flatten() {
            let locals = RuleScope::new(rule, model, *id);
            if let Some(finding) = check(library, rule, &locals.evaluation()) {
                findings.push((*id, finding));
            }
        }
    }
}

/// Runs one rule on one feature: the worst that fails, or that is likely enough to.
pub(super) fn check(library: &Library, rule: &Rule, evaluation: &Evaluation) -> Option<Finding> {
    match applies(rule, evaluation) {
        Ok(true) => {}
        Ok(false) => return None,
        Err(failure) => return could_not(rule, evaluation, failure),
    }
    let mut likely: Option<Finding> = None;
    for (level, formula) in &rule.holds {
        let expr = formula.expr().ok()?;
        let value = match evaluation.value(expr) {
            Ok(value) => value,
            Err(failure) => return could_not(rule, evaluation, failure),
        };
        let chance = uncertainty::of(evaluation, expr, &value);
        let finding = |reported, chance| finding(rule, (*level, reported), expr, &value, chance, evaluation);
        if value.holds() == Some(false) {
            let failed = finding(rule.level(*level)?, chance);
            return Some(likely.filter(|likely| likely.level > failed.level).unwrap_or(failed));
        }
        let Some(chance) = chance else { continue };
        let Some(reported) = library.level_of_chance(*level, chance.failing) else { continue };
        if likely.as_ref().is_none_or(|known| known.level < reported) {
            let mut found = Finding { likely: true, ..finding(rule.level(reported)?, Some(chance)) };
            if let Some(doubts) = rule.doubts.at(*level) {
                found.message = sentence(&doubts.fill(evaluation, None));
            }
            likely = Some(found);
        }
    }
    likely
}

/// Whether a rule's condition is met.
pub(super) fn applies(rule: &Rule, evaluation: &Evaluation) -> Result<bool, Failure> {
    let Some(when) = &rule.when else { return Ok(true) };
    match when.expr() {
        Ok(expr) => evaluation.condition(expr),
        Err(_) => Ok(false),
    }
}

fn finding(
    rule: &Rule,
    (missed, level): (Level, Level),
    expr: &Expr,
    value: &Value,
    chance: Option<Chance>,
    evaluation: &Evaluation,
) -> Finding {
    let inputs = Inputs::of(rule, expr, evaluation);
    let feature = evaluation.model.feature(evaluation.feature);
    let mut stated = inputs.stated.into_iter();
    let (at, label) = stated.next().unwrap_or((feature.name_span, feature.block.name.to_string()));
    let margin = match value {
        Value::Margin(margin) => Some(margin_in_authors_unit(margin, evaluation)),
        _ => None,
    };
    let compared = margin.as_ref();
    Finding {
        rule: rule.name.to_string(),
        level,
        about: evaluation.model.path(evaluation.feature),
        at,
        label,
        message: rule.says.at(missed).map_or_else(String::new, |says| sentence(&says.fill(evaluation, compared))),
        missed: Some(missed),
        likely: false,
        others: stated.collect(),
        margin: compared.map(|margin| margin_note(margin, chance)),
        inputs: inputs.notes,
        help: rule.help.at(missed).map(|help| help.fill(evaluation, compared)),
        sources: rule.sources.iter().map(ToString::to_string).collect(),
        permitted: None,
        acknowledged: None,
        undated: false,
        advice: None,
        unchecked: None,
    }
}

/// Findings are single sentences without a full stop, whatever the pack's writer did.
fn sentence(text: &str) -> String {
    text.trim().trim_end_matches('.').to_owned()
}

/// A margin in the unit that it is shown in.
pub(super) fn margin_note(margin: &Margin, chance: Option<Chance>) -> MarginNote {
    let unit = margin.left.shown_unit().or_else(|| margin.right.shown_unit());
    let shift = |value: f64| value / unit.map_or(1.0, |unit| unit.factor);
    MarginNote {
        comparison: margin.text(),
        left: margin.left.clone(),
        comparator: margin.comparator,
        room: shift(margin.room.value),
        uncertainty: shift(margin.room.uncertainty()),
        unit: unit.map_or(String::new(), |unit| unit.name.to_owned()),
        share: margin.share(),
        chance: chance.as_ref().map(|chance| chance.failing),
        causes: chance.map(|chance| chance.causes).unwrap_or_default(),
    }
}

/// A rule that meets a value for which its formula does not hold says so instead of keeping silent.
/// What is absent or reported already needs no second word.
fn could_not(rule: &Rule, evaluation: &Evaluation, failure: Failure) -> Option<Finding> {
    let Failure::Fault(fault) = failure else { return None };
    let unchecked = UncheckedNote { rules: vec![rule.name.to_string()], reason: fault.message };
    let at = evaluation.model.feature(evaluation.feature).name_span;
    let told = Fault::new(fault.name, at, unchecked.message()).label("not checked").maybe_help(fault.help);
    Some(Finding {
        rule: rule.name.to_string(),
        about: evaluation.model.path(evaluation.feature),
        unchecked: Some(unchecked),
        ..Finding::of_fault(told, rule.level(Level::Care)?)
    })
}

/// What cannot be read cannot be switched off either: nothing is lost silently.
fn from_fault(library: &Library, fault: Fault) -> Finding {
    let rule = library.rule(fault.name);
    let level = rule.map_or(Some(Level::Stop), |rule| rule.level(rule.reading.unwrap_or(Level::Stop)));
    Finding::of_fault(fault, level.unwrap_or(Level::Note))
}
