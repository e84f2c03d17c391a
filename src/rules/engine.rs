//! Rules over a model: findings out.

use std::collections::HashMap;
use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::authors_unit::margin_in_authors_unit;
use super::basis::{Basis, Gathering, Share};
use super::finding::{Finding, Level, MarginNote, StatedNote, UncheckedNote};
use super::inputs::Inputs;
use super::judge::{Applies, Closeness, Comparison, Judgement, judged};
use super::kept::Over;
use super::library::Library;
use super::merge::merge;
use super::permits::Permits;
use super::recheck::{Check, Checks};
use super::rule::Rule;
use super::scope::{DerivedScope, RuleScope};
use super::sentence::Sentence;
use super::uncertainty::Chance;
use crate::fault::Fault;
use crate::model::{Evaluation, FeatureId, Margin, Model};
use crate::syntax::tree::Expr;

/// What the rules say of a sheet.
#[derive(Debug, Default)]
pub struct Findings {
    /// The findings, in the order of the text.
    pub list: Vec<Finding>,
    /// The feature that each of them is about; `None` for what was found in the text. Unnamed ones share a path.
    pub(crate) features: Vec<Option<FeatureId>>,
    /// What was checked, and what was not because the sheet does not say it.
    pub basis: Basis,
    /// What each rule read on each feature, where the model keeps who reads whom.
    pub(crate) checks: Option<Checks>,
    /// How often each permit is needed.
    pub(crate) uses: HashMap<FeatureId, usize>,
    /// Whether rules met a fault that nobody had met before them: what is judged later would miss it.
    pub(crate) brought_up: bool,
}

/// Every finding on a sheet: its text's and its model's faults, then what the rules say, in the
/// order of the text.
#[must_use]
pub fn findings(library: &Library, model: &Model, text_faults: Vec<Fault>) -> Vec<Finding> {
    inspected(library, model, text_faults).list
}

/// The same, with what it rests on.
#[must_use]
pub fn inspected(library: &Library, model: &Model, text_faults: Vec<Fault>) -> Findings {
    run(library, model, text_faults, None)
}

/// The same with what can be taken over of a judgement of before.
pub(crate) fn inspected_over(library: &Library, model: &Model, text_faults: Vec<Fault>, over: Over) -> Findings {
    let whole = cfg!(debug_assertions).then(|| {
        let mut fresh = model.untouched();
        fresh.follow();
        inspected(library, &fresh, text_faults.clone())
    });
    let found = run(library, model, text_faults, Some(over));
    // What is not looked at again is as it was: in debug builds that is held against the whole.
    let told = |found: &Findings| format!("{:#?}\n{:#?}", found.list, found.basis);
    debug_assert_eq!(whole.as_ref().map(told), whole.as_ref().map(|_| told(&found)));
    found
}

fn run(library: &Library, model: &Model, text_faults: Vec<Fault>, over: Option<Over>) -> Findings {
    let by_kind = features_by_kind(model);
    let checks = model.is_followed().then(Checks::new);
    let derived = Rc::new(DerivedScope::new(model));
    let (findings, basis) = (Vec::new(), Gathering::default());
    let mut run = Run { library, model, by_kind, derived, findings, basis, checks, over };
    let suggestions = model.suggestions();
    // Notes tell what became of a sheet, which is checked where it lies.
    let is_sheet = !model.keeps_notes();
    let rules = || library.rules.iter().enumerate().filter(|(_, rule)| is_sheet && rule.is_active());
    for rule in rules().filter(|(_, rule)| !rule.about_permits) {
        run.rule(rule, None);
    }
    let mut permits = Permits::of(library, model);
    permits.apply(library, &mut run.findings);
    permits.keep_unknown(library, model, &run.findings);
    for rule in rules().filter(|(_, rule)| rule.about_permits) {
        run.rule(rule, Some(&permits));
    }
    permits.point_out(model, &mut run.findings);
    let findings = merge(library, run.findings);
    let brought_up = model.take_faults();
    let is_new = !brought_up.is_empty() || model.suggestions() > suggestions;
    let mut all: Vec<(Option<FeatureId>, Finding)> = text_faults
        .into_iter()
        .chain(permits.faults)
        .chain(brought_up)
        .map(|fault| (None, from_fault(library, fault)))
        .collect();
    all.extend(findings.into_iter().map(|(id, finding)| (Some(id), *finding)));
    all.sort_by(|(_, a), (_, b)| (a.at, &a.rule, &a.about).cmp(&(b.at, &b.rule, &b.about)));
    let (features, list) = all.into_iter().unzip();
    let (basis, uses) = (run.basis.finish(model), permits.uses);
    Findings { list, features, basis, checks: run.checks, uses, brought_up: is_new }
}

pub(super) type ByKind<'a> = FxHashMap<&'a str, Vec<FeatureId>>;

pub(super) fn features_by_kind<'a>(model: &'a Model) -> ByKind<'a> {
    let mut by_kind = ByKind::default();
    for (id, feature) in model.ids() {
        by_kind.entry(&feature.block.name).or_default().push(id);
    }
    by_kind
}

struct Run<'a, 'v> {
    library: &'a Library,
    model: &'a Model<'v>,
    by_kind: ByKind<'a>,
    /// What follows from fields, worked out once for all rules.
    derived: Rc<DerivedScope<'a, 'v>>,
    findings: Vec<(FeatureId, Box<Finding>)>,
    basis: Gathering,
    checks: Option<Checks>,
    /// What was judged before.
    over: Option<Over>,
}

impl Run<'_, '_> {
    /// Runs one rule on every feature that it is about.
    fn rule(&mut self, (index, rule): (usize, &Rule), permits: Option<&Permits>) {
        for kind in &rule.about {
            for at in 0..self.by_kind.get(kind.as_str()).map_or(0, Vec::len) {
                let id = self.by_kind[kind.as_str()][at];
                let known = self.over.as_mut().filter(|_| permits.is_none()).and_then(|over| over.next(index, id));
                let check = known.unwrap_or_else(|| self.check((index, rule), id, permits));
                self.basis.add(rule, id, &check.share);
                if let Some(checks) = self.checks.as_mut().filter(|_| permits.is_none()) {
                    self.findings.extend(check.found.clone().map(|finding| (id, finding)));
                    checks.push(check);
                } else {
                    self.findings.extend(check.found.map(|finding| (id, finding)));
                }
            }
        }
    }

    /// Runs it on one of them.
    fn check(&self, (index, rule): (usize, &Rule), feature: FeatureId, permits: Option<&Permits>) -> Check {
        let locals = RuleScope::sharing(Rc::clone(&self.derived), rule, self.model, feature);
        let locals = locals.used(permits.map(|permits| permits.uses(feature)));
        let evaluation = locals.evaluation();
        let judge = || {
            let judgement = judged(self.library, rule, &evaluation, Closeness::Found);
            let found = finding(rule, &judgement, &evaluation);
            (judgement, found)
        };
        let ((judgement, found), read) = self.model.reads(judge);
        let share = || Share::of(rule, &judgement, &evaluation, found.is_some());
        let (share, asked) = self.model.reads(share);
        Check { rule: index, feature, found, read, share, asked }
    }
}

/// Runs one rule on one feature for a proof: the worst that fails, or that is likely enough to.
pub(super) fn check(library: &Library, rule: &Rule, evaluation: &Evaluation) -> Option<Box<Finding>> {
    finding(rule, &judged(library, rule, evaluation, Closeness::Proof), evaluation)
}

/// What a judgement reports, in the rule's words.
pub(super) fn finding(rule: &Rule, judgement: &Judgement, evaluation: &Evaluation) -> Option<Box<Finding>> {
    finding_with(rule, judgement, evaluation, Inputs::of)
}

/// The same without the values that it comes from, for what is looked at a thousand times and shown in one line.
pub(super) fn brief_finding(rule: &Rule, judgement: &Judgement, evaluation: &Evaluation) -> Option<Box<Finding>> {
    finding_with(rule, judgement, evaluation, |_, _, _| Inputs::default())
}

fn finding_with(
    rule: &Rule,
    judgement: &Judgement,
    evaluation: &Evaluation,
    inputs: impl FnOnce(&Rule, &Expr, &Evaluation) -> Inputs,
) -> Option<Box<Finding>> {
    match (judgement.reported(), &judgement.applies) {
        (Some(comparison), _) => {
            let formula = rule.holds.get(comparison.index)?.1.expr().ok()?;
            let told = |evaluation: &Evaluation| told(rule, comparison, evaluation, inputs(rule, formula, evaluation));
            if comparison.beyond.is_none() {
                return told(evaluation);
            }
            let model = evaluation.model;
            model.beyond_ranges(|| told(&RuleScope::new(rule, model, evaluation.feature).evaluation()))
        }
        (None, Applies::Trouble(fault)) => could_not(rule, evaluation, fault),
        (None, _) => None,
    }
}

fn told(rule: &Rule, comparison: &Comparison, evaluation: &Evaluation, inputs: Inputs) -> Option<Box<Finding>> {
    let (missed, _) = rule.holds.get(comparison.index)?;
    let feature = evaluation.model.feature(evaluation.feature);
    let place = |stated: &StatedNote| (stated.at, stated.label.clone());
    let mut places = inputs.stated.iter().map(place);
    let (at, label) = places.next().unwrap_or((feature.name_span, feature.block.name.to_string()));
    let margin = comparison.margin.as_ref().map(|margin| margin_in_authors_unit(margin, evaluation));
    let compared = margin.as_ref();
    let doubts = rule.doubts.at(*missed).filter(|_| comparison.is_likely());
    let mut message = match (doubts, rule.says.at(*missed)) {
        (Some(doubts), _) => doubts.fill(evaluation, None),
        (None, Some(says)) => says.fill(evaluation, compared),
        (None, None) => Sentence::default(),
    };
    message = message.without_stop();
    if let Some(fault) = &comparison.beyond {
        message.say(&format!("; that is only rough: {}", fault.message()));
    }
    Some(Box::new(Finding {
        rule: rule.name.to_string(),
        level: comparison.reported?,
        caution: rule.caution,
        about: evaluation.model.path(evaluation.feature),
        at,
        label,
        message,
        missed: Some(*missed),
        likely: comparison.is_likely(),
        others: places.collect(),
        margin: compared.map(|margin| margin_note(margin, comparison.chance.clone())),
        inputs: inputs.notes,
        stated: inputs.stated,
        help: rule.help.at(*missed).map(|help| help.fill(evaluation, compared).into()),
        meant: None,
        sources: rule.sources.iter().map(ToString::to_string).collect(),
        permitted: None,
        acknowledged: None,
        exceeded: None,
        elsewhere: Vec::new(),
        advice: None,
        unchecked: None,
    }))
}

/// A margin in the unit that it is shown in.
pub(super) fn margin_note(margin: &Margin, chance: Option<Chance>) -> MarginNote {
    let unit = margin.left.shown_unit().or_else(|| margin.right.shown_unit());
    let shift = |value: f64| value / unit.map_or(1.0, |unit| unit.factor);
    MarginNote {
        comparison: margin.text(),
        left: margin.left.clone(),
        comparator: margin.comparator,
        right: margin.right.clone(),
        room: shift(margin.room.value),
        uncertainty: shift(margin.room.uncertainty()),
        unit: unit.map_or(String::new(), |unit| unit.name.to_owned()),
        share: margin.share(),
        chance: chance.as_ref().map(|chance| chance.failing),
        causes: chance.map(|chance| chance.causes).unwrap_or_default(),
    }
}

/// A rule that meets a value for which its formula does not hold says so instead of keeping silent.
fn could_not(rule: &Rule, evaluation: &Evaluation, fault: &Fault) -> Option<Box<Finding>> {
    let unchecked = UncheckedNote { rules: vec![rule.name.to_string()], reason: fault.message() };
    let at = evaluation.model.feature(evaluation.feature).name_span;
    let here = Fault { at, others: Vec::new(), ..fault.clone() };
    Some(Box::new(Finding {
        message: Sentence::default(),
        label: "not checked".into(),
        rule: rule.name.to_string(),
        about: evaluation.model.path(evaluation.feature),
        unchecked: Some(unchecked),
        ..Finding::of_fault(here, rule.level(Level::Care)?)
    }))
}

/// What cannot be read has its own level, whatever a project wishes: nothing is lost silently.
fn from_fault(library: &Library, fault: Fault) -> Finding {
    let level = library.rule(fault.name).and_then(|rule| rule.reading).unwrap_or(Level::Stop);
    Finding::of_fault(fault, level)
}
