//! One rule on one feature: whether it applies, how each of its comparisons stands, and at which level it is reported.
//!
//! Findings, the searches of mends, windows, ways up and the ledger are views of this: a rule that is switched off, is
//! about another kind or lacks something means the same in all of them.

mod comparison;
mod standing;

pub use comparison::Comparison;
pub use standing::{Standing, standing, standing_within};

use super::library::Library;
use super::rule::Rule;
use super::scope::RuleScope;
use crate::fault::Fault;
use crate::model::{Evaluation, Failure, FeatureId, Missing, Model, Spared};
use crate::pack::Formula;
use comparison::comparison;

/// How closely to look.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Closeness {
    /// Whether the comparisons hold on the mean.
    Plain,
    /// Whether they hold with the room that a normal distribution asks for, so that their chance
    /// of failing is not worth reporting: near enough to search by.
    Likely,
    /// With their chances, as near as it takes to tell the level.
    Full,
    /// The same, with every edge where a margin is zero: what fails by less than a drawing can say fails.
    Exact,
    /// With their chances, as a proof holds them against what was found before: of what fails on the mean only that it does.
    Proof,
    /// With their chances, and what makes uncertain those that are reported, as an inspection tells them.
    Found,
    /// With their chances and what makes each of them uncertain, as a ledger tells them.
    Told,
}

/// What a rule says of a feature.
#[derive(Debug)]
#[non_exhaustive]
pub struct Judgement {
    /// Whether it has something to say.
    pub applies: Applies,
    /// Its comparisons, worst level first; of those from the first on that cannot be worked out only those that fail with
    /// their formula carried on beyond its range.
    pub comparisons: Vec<Comparison>,
}

/// Whether a rule has something to say of a feature.
#[derive(Debug)]
#[non_exhaustive]
pub enum Applies {
    /// Every comparison was worked out.
    Yes,
    /// It is switched off or about another kind, or its condition is not met.
    No,
    /// Something that it needs is not given: what.
    NotGiven(Missing),
    /// A value that it needs is at fault; that is reported where the value is.
    AtFault,
    /// Its formula does not hold for the values that there are.
    Trouble(Box<Fault>),
}

impl From<Failure> for Applies {
    fn from(failure: Failure) -> Self {
        match failure {
            Failure::Fault(fault) => Self::Trouble(fault),
            Failure::Absent(what) => Self::NotGiven(what),
            Failure::Reported => Self::AtFault,
        }
    }
}

/// What a rule says of a feature.
#[must_use]
pub fn judge(library: &Library, rule: &Rule, model: &Model, feature: FeatureId, closeness: Closeness) -> Judgement {
    judged(library, rule, &RuleScope::new(rule, model, feature).evaluation(), closeness)
}

/// The same, with an evaluation that knows the rule's names.
pub(super) fn judged(library: &Library, rule: &Rule, evaluation: &Evaluation, closeness: Closeness) -> Judgement {
    let mut judgement = Judgement { applies: Applies::No, comparisons: Vec::new() };
    if !rule.is_active() || !rule.about.contains(&evaluation.model.feature(evaluation.feature).block.name) {
        return judgement;
    }
    match condition(rule, evaluation) {
        Ok(true) => {}
        Ok(false) => return judgement,
        Err(failure) => return without(library, rule, evaluation, judgement, failure),
    }
    judgement.comparisons.reserve_exact(rule.holds.len());
    for index in 0..rule.holds.len() {
        match comparison(library, rule, index, evaluation, closeness) {
            Ok(comparison) => judgement.comparisons.push(comparison),
            Err(failure) => return without(library, rule, evaluation, judgement, failure),
        }
    }
    Judgement { applies: Applies::Yes, ..judgement }
}

/// What is left to say after a failure: where a formula does not hold, which of the further comparisons fail all the same.
fn without(
    library: &Library,
    rule: &Rule,
    evaluation: &Evaluation,
    mut judgement: Judgement,
    failure: Failure,
) -> Judgement {
    if let Failure::Fault(fault) = &failure
        && fault.is_outside_formula()
    {
        let model = evaluation.model;
        let failing: Vec<Comparison> = model.beyond_ranges(|| {
            // Nothing that was worked out within the ranges.
            let scope = RuleScope::new(rule, model, evaluation.feature);
            if !condition(rule, &scope.evaluation()).unwrap_or(false) {
                return Vec::new();
            }
            let further = judgement.comparisons.len()..rule.holds.len();
            further.filter_map(|index| comparison::beyond(library, index, &scope, fault)).collect()
        });
        if !failing.is_empty() {
            judgement.comparisons.extend(failing);
            return Judgement { applies: Applies::Yes, ..judgement };
        }
    }
    Judgement { applies: failure.into(), ..judgement }
}

/// Whether the condition of a rule that compares nothing is met.
pub(super) fn judge_when(rule: &Rule, evaluation: &Evaluation) -> Applies {
    match condition(rule, evaluation) {
        Ok(true) => Applies::Yes,
        Ok(false) => Applies::No,
        Err(failure) => failure.into(),
    }
}

fn condition(rule: &Rule, evaluation: &Evaluation) -> Result<bool, Failure> {
    match rule.when.as_ref().map(Formula::expr) {
        None => Ok(true),
        Some(Ok(expr)) => evaluation.condition(expr),
        Some(Err(_)) => Ok(false),
    }
}

impl Judgement {
    /// The comparison that a finding tells of: the worst that fails, or is likely enough to.
    #[must_use]
    pub fn reported(&self) -> Option<&Comparison> {
        let mut likely: Option<&Comparison> = None;
        for comparison in self.comparisons.iter().filter(|comparison| comparison.reported.is_some()) {
            let is_worse = likely.is_none_or(|known| known.reported < comparison.reported);
            if !comparison.holds {
                return likely.filter(|likely| likely.reported > comparison.reported).or(Some(comparison));
            }
            likely = if is_worse { Some(comparison) } else { likely };
        }
        // What may still fail is not known then.
        likely.filter(|_| matches!(self.applies, Applies::Yes))
    }
}

/// Whether a rule's aim for mends holds on a feature; also where it gives none, or one that cannot be worked out
/// there.
#[must_use]
pub fn keeps_aim(rule: &Rule, model: &Model, feature: FeatureId) -> bool {
    let Some(aim) = rule.aim.as_ref().and_then(|aim| aim.expr().ok()) else { return true };
    let holds = || {
        let locals = RuleScope::new(rule, model, feature);
        locals.evaluation().value(aim).ok().and_then(|aim| aim.holds())
    };
    let (kept, spared) = model.sparing_slopes(holds);
    let kept = if spared == Spared::Value { holds() } else { kept };
    kept.unwrap_or(true)
}
