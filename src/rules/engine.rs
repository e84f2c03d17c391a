//! Rules over a model: findings out.

use std::collections::HashMap;

use super::finding::{Finding, Level, MarginNote};
use super::inputs::Inputs;
use super::library::Library;
use super::locals::RuleLocals;
use super::rule::Rule;
use crate::fault::{Fault, did_you_mean};
use crate::model::{Evaluation, Failure, FeatureId, Margin, Model, Value};
use crate::pack::Formula;
use crate::source::Span;
use crate::vocabulary::Act;

/// Every finding on a sheet: its text's and its model's faults, then what the rules say, in the
/// order of the text.
#[must_use]
pub fn findings(library: &Library, model: &Model, text_faults: Vec<Fault>) -> Vec<Finding> {
    let by_kind = features_by_kind(model);
    let mut findings = Vec::new();
    let is_permit = |rule: &&Rule| {
        let acts = |kind: &String| library.vocabulary.block(kind).map(|block| block.act);
        rule.about.iter().any(|kind| acts(kind) == Some(Act::Permits))
    };
    for rule in library.rules.iter().filter(|rule| !is_permit(rule)) {
        run(rule, model, &by_kind, &mut findings);
    }
    let permits = Permits::of(library, model);
    permits.apply(library, model, &mut findings);
    for rule in library.rules.iter().filter(is_permit) {
        run(rule, model, &by_kind, &mut findings);
    }
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

type ByKind<'a> = HashMap<&'a str, Vec<FeatureId>>;

fn features_by_kind<'a>(model: &'a Model) -> ByKind<'a> {
    let mut by_kind = ByKind::new();
    for (id, feature) in model.ids() {
        by_kind.entry(&feature.block.name).or_default().push(id);
    }
    by_kind
}

fn run(rule: &Rule, model: &Model, by_kind: &ByKind, findings: &mut Vec<(FeatureId, Finding)>) {
    if rule.most.is_none() && !rule.caution {
        return;
    }
    for kind in &rule.about {
        for id in by_kind.get(kind.as_str()).into_iter().flatten() {
            let locals = RuleLocals::new(rule, model, *id);
            if let Some(finding) = check(rule, &locals.evaluation()) {
                findings.push((*id, finding));
            }
        }
    }
}

/// Runs one rule on one feature.
fn check(rule: &Rule, evaluation: &Evaluation) -> Option<Finding> {
    match applies(rule, evaluation) {
        Ok(true) => {}
        Ok(false) => return None,
        Err(failure) => return could_not(rule, evaluation, failure),
    }
    for (level, formula) in &rule.holds {
        let expr = formula.expr().ok()?;
        match evaluation.value(expr) {
            Ok(value) if value.holds() == Some(false) => {
                return failed(rule, rule.level(*level)?, formula, &value, evaluation);
            }
            Ok(_) => {}
            Err(failure) => return could_not(rule, evaluation, failure),
        }
    }
    None
}

fn applies(rule: &Rule, evaluation: &Evaluation) -> Result<bool, Failure> {
    let Some(when) = &rule.when else { return Ok(true) };
    match when.expr() {
        Ok(expr) => evaluation.condition(expr),
        Err(_) => Ok(false),
    }
}

fn failed(rule: &Rule, level: Level, formula: &Formula, value: &Value, evaluation: &Evaluation) -> Option<Finding> {
    let inputs = Inputs::of(rule, formula.expr().ok()?, evaluation);
    let feature = evaluation.model.feature(evaluation.feature);
    let mut stated = inputs.stated.into_iter();
    let (at, label) = stated.next().unwrap_or((feature.name_span, feature.block.name.clone()));
    let margin = match value {
        Value::Margin(margin) => Some(margin_note(margin)),
        _ => None,
    };
    Some(Finding {
        rule: rule.name.clone(),
        level,
        about: evaluation.model.path(evaluation.feature),
        at,
        label,
        message: sentence(&rule.says.fill(evaluation)),
        others: stated.collect(),
        margin,
        inputs: inputs.notes,
        help: rule.help.as_ref().map(|help| help.fill(evaluation)),
        sources: rule.sources.clone(),
        permitted: None,
        acknowledged: None,
    })
}

/// Findings are single sentences without a full stop, whatever the pack's writer did.
fn sentence(text: &str) -> String {
    text.trim().trim_end_matches('.').to_owned()
}

fn margin_note(margin: &Margin) -> MarginNote {
    let unit = margin.left.shown_unit().or_else(|| margin.right.shown_unit());
    let shift = |value: f64| value / unit.map_or(1.0, |unit| unit.factor);
    MarginNote {
        comparison: margin.text(),
        room: shift(margin.room.value),
        uncertainty: shift(margin.room.uncertainty()),
        unit: unit.map_or(String::new(), |unit| unit.name.to_owned()),
        share: margin.share(),
    }
}

/// A rule that meets a value for which its formula does not hold says so instead of keeping silent.
/// What is absent or reported already needs no second word.
fn could_not(rule: &Rule, evaluation: &Evaluation, failure: Failure) -> Option<Finding> {
    let Failure::Fault(fault) = failure else { return None };
    // The sheet has no such block: nothing to check.
    if fault.name == "unknown-name" {
        return None;
    }
    let message = format!("`{}` could not be checked here: {}", rule.name, fault.message);
    let at = evaluation.model.feature(evaluation.feature).name_span;
    let told = Fault::new(fault.name, at, message).label("not checked").maybe_help(fault.help);
    Some(Finding {
        rule: rule.name.clone(),
        about: evaluation.model.path(evaluation.feature),
        ..Finding::of_fault(told, rule.level(Level::Care)?)
    })
}

/// What cannot be read cannot be switched off either: nothing is lost silently.
fn from_fault(library: &Library, fault: Fault) -> Finding {
    let rule = library.rule(fault.name);
    let level = rule.map_or(Some(Level::Stop), |rule| rule.level(rule.reading.unwrap_or(Level::Stop)));
    Finding::of_fault(fault, level.unwrap_or(Level::Note))
}

/// The sheet's permits, by what they accept.
struct Permits {
    list: Vec<Permit>,
    faults: Vec<Fault>,
}

struct Permit {
    id: FeatureId,
    rule: String,
    on: FeatureId,
    reason: String,
}

impl Permits {
    fn of(library: &Library, model: &Model) -> Self {
        let mut permits = Self { list: Vec::new(), faults: Vec::new() };
        for (id, feature) in model.ids().filter(|(_, feature)| feature.block.act == Act::Permits) {
            let value = |name: &str| model.field(id, name).and_then(|field| model.value_of(id, field).ok());
            let (Some(Value::Text(rule)), Some(Value::Feature(on)), Some(Value::Text(reason))) =
                (value("rule"), value("on"), value("reason"))
            else {
                continue;
            };
            let place = model.field(id, "rule").map_or(feature.span, |field| model.place_of(id, field));
            match library.rule(&rule) {
                None => permits.faults.push(unknown_rule(library, &rule, place)),
                Some(known) if known.reading.is_some() => permits.faults.push(not_permissible(&rule, place)),
                Some(_) => permits.list.push(Permit { id, rule: rule.to_string(), on, reason: reason.to_string() }),
            }
        }
        permits
    }

    fn apply(&self, library: &Library, model: &Model, findings: &mut [(FeatureId, Finding)]) {
        for permit in &self.list {
            let meant = findings.iter_mut().filter(|(id, finding)| *id == permit.on && finding.rule == permit.rule);
            for (_, finding) in meant {
                if library.rule(&permit.rule).is_some_and(|rule| rule.caution) {
                    finding.acknowledged = Some(permit.reason.clone());
                    finding.level = Level::Note;
                } else {
                    finding.permitted = Some(permit.reason.clone());
                }
                let uses = &model.feature(permit.id).uses;
                uses.set(uses.get() + 1);
            }
        }
    }
}

fn unknown_rule(library: &Library, name: &str, at: Span) -> Fault {
    let help = did_you_mean(name, library.rules.iter().map(|rule| rule.name.as_str()));
    Fault::new("unknown-name", at, format!("there is no rule `{name}`"))
        .label("unknown rule")
        .help(help.unwrap_or_else(|| "`dryfit why` lists the rules".into()))
}

fn not_permissible(name: &str, at: Span) -> Fault {
    Fault::new("wrong-kind", at, format!("`{name}` is about the sheet's text; it cannot be permitted"))
        .help("mend the line that it points at")
}
