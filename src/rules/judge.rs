//! One rule on one feature: whether it applies, how each of its comparisons stands, and at which level it is reported.
//!
//! Findings, the searches of mends, windows, ways up and the ledger are views of this: a rule that is switched off, is
//! about another kind or lacks something means the same in all of them.

use super::finding::Level;
use super::library::Library;
use super::rule::Rule;
use super::scope::RuleScope;
use super::uncertainty::{self, Chance, Closely};
use crate::fault::Fault;
use crate::model::{Evaluation, Failure, FeatureId, Margin, Missing, Model, Value};
use crate::pack::Formula;
use crate::quantity::{Dimension, InputSet};
use crate::syntax::tree::{Comparator, Expr, ExprKind};

/// How closely to look.
#[derive(Debug, Clone, Copy, PartialEq)]
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
    /// With their chances, and what makes uncertain those that are reported, as an inspection tells them.
    Found,
    /// With their chances and what makes each of them uncertain, as a ledger tells them.
    Told,
}

/// Of what is nearer to its limit than a drawing can say, less than half count as missing it.
const JUST_HALF: f64 = 0.499;

/// A margin that is a smaller share of its sides is none: what is left of a calculation that comes out even.
const ROUNDING: f64 = 1e-9;

/// What a rule says of a feature.
#[derive(Debug)]
pub struct Judgement {
    /// Whether it has something to say.
    pub applies: Applies,
    /// Its comparisons, worst level first; only those before the first that cannot be worked out.
    pub comparisons: Vec<Comparison>,
}

/// Whether a rule has something to say of a feature.
#[derive(Debug)]
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

/// A comparison of a rule on a feature.
#[derive(Debug)]
pub struct Comparison {
    /// The level if it fails.
    pub level: Level,
    /// Its place among what the rule says must hold.
    pub index: usize,
    /// Whether it holds on the mean; also where it fails by less than a drawing can say.
    pub holds: bool,
    /// Its numbers, where it compares quantities.
    pub margin: Option<Margin>,
    /// How likely it is to fail, where that was looked at and anything in it is uncertain.
    pub chance: Option<Chance>,
    /// The level at which it is reported, after the project's own wish.
    pub reported: Option<Level>,
}

impl Comparison {
    /// Whether it holds on the mean and is reported for its chance of failing.
    #[must_use]
    pub fn is_likely(&self) -> bool {
        self.holds && self.reported.is_some()
    }
}

/// How a rule stands on a feature, in the numbers that a search goes by.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    /// The worst level that it reports; `None` where it raises nothing.
    pub level: Option<Level>,
    /// The room as a share of both sides together, of the comparison that has least of it.
    pub share: f64,
    /// The shares of all comparisons together: it grows on the way to where all hold, also while one of them
    /// does not.
    pub promise: f64,
    /// That comparison, and the name of its left side where it has one; `None` where the rule does
    /// not apply or compares nothing.
    pub deciding: Option<(Margin, Option<String>)>,
}

impl Standing {
    /// Whether it raises nothing.
    #[must_use]
    pub fn is_free(&self) -> bool {
        self.level.is_none()
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
        Err(failure) => return Judgement { applies: failure.into(), ..judgement },
    }
    judgement.comparisons.reserve_exact(rule.holds.len());
    for index in 0..rule.holds.len() {
        match comparison(library, rule, index, evaluation, closeness) {
            Ok(comparison) => judgement.comparisons.push(comparison),
            Err(failure) => return Judgement { applies: failure.into(), ..judgement },
        }
    }
    Judgement { applies: Applies::Yes, ..judgement }
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

fn comparison(
    library: &Library,
    rule: &Rule,
    index: usize,
    evaluation: &Evaluation,
    closeness: Closeness,
) -> Result<Comparison, Failure> {
    let (level, formula) = (rule.holds[index].0, &rule.holds[index].1);
    let expr = formula.expr().map_err(|fault| Failure::Fault(Box::new(fault.clone())))?;
    let (value, moving) = evaluation.model.watching(|| evaluation.value(expr));
    let value = value?;
    let Some(mut holds) = value.holds() else { return Err(Failure::Reported) };
    let is_near =
        closeness != Closeness::Exact && matches!(&value, Value::Margin(margin) if library.is_residue(margin));
    holds |= is_near;
    // On the limit itself half of the prints miss it, whatever the limit is: that alone is no failure.
    let on_it = is_near || matches!(&value, Value::Margin(margin) if share(margin).abs() < ROUNDING);
    let reported = |failing: Option<f64>| {
        if !holds {
            return rule.level(level);
        }
        let failing = failing.map(|failing| if on_it { failing.min(JUST_HALF) } else { failing });
        failing.and_then(|failing| library.level_of_chance(level, failing)).and_then(|level| rule.level(level))
    };
    let is_told = |failing: f64| match closeness {
        Closeness::Found => reported(Some(failing)).is_some(),
        _ => closeness == Closeness::Told,
    };
    let (chance, failing) = chance(library, (level, holds), evaluation, (expr, &value, moving), closeness, is_told);
    let reported = reported(failing);
    let margin = match value {
        Value::Margin(margin) => Some(*margin),
        _ => None,
    };
    Ok(Comparison { level, index, holds, margin, chance, reported })
}

/// How likely a comparison is to fail, with what makes it uncertain where that is told.
fn chance(
    library: &Library,
    (level, holds): (Level, bool),
    evaluation: &Evaluation,
    (expr, value, moving): (&Expr, &Value, InputSet),
    closeness: Closeness,
    is_told: impl FnOnce(f64) -> bool,
) -> (Option<Chance>, Option<f64>) {
    let Value::Margin(margin) = value else { return (None, None) };
    let spread = margin.room.uncertainty();
    match closeness {
        Closeness::Plain => return (None, None),
        Closeness::Likely => {
            let failing = || uncertainty::normal_below(-margin.room.value / spread);
            return (None, (spread > 0.0).then(failing));
        }
        Closeness::Full | Closeness::Exact | Closeness::Found | Closeness::Told => {}
    }
    // From these on the chance of what holds is reported; where there are none it makes no difference.
    let limits: Vec<f64> = library.chances.iter().filter(|(of, ..)| *of == level).map(|(.., from)| *from).collect();
    let closely = match closeness {
        Closeness::Told => Closely::Exactly,
        _ if holds && limits.is_empty() => return (None, None),
        // What fails on the mean is reported with its chance.
        Closeness::Found if holds => Closely::From(&limits),
        Closeness::Found => Closely::Exactly,
        _ if limits.is_empty() => Closely::Exactly,
        _ => Closely::Beside(&limits),
    };
    let chance = uncertainty::as_closely(closely, evaluation, (expr, value, moving), is_told);
    let failing = chance.as_ref().map(|chance| chance.failing);
    (chance, failing)
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

    /// The numbers that a search goes by; `None` where they cannot be worked out.
    #[must_use]
    pub fn standing(&self, rule: &Rule) -> Option<Standing> {
        if !matches!(self.applies, Applies::Yes | Applies::No) {
            return None;
        }
        let mut standing = Standing { share: f64::INFINITY, ..Standing::default() };
        for comparison in &self.comparisons {
            standing.level = standing.level.max(comparison.reported);
            let Some(margin) = &comparison.margin else { continue };
            let share = share(margin);
            standing.promise += share;
            if share < standing.share {
                standing.share = share;
                let name = rule.holds[comparison.index].1.expr().ok().and_then(left_name);
                standing.deciding = Some((margin.clone(), name));
            }
        }
        Some(standing)
    }
}

/// How a rule stands on a feature; `None` where it cannot be worked out.
#[must_use]
pub fn standing(
    library: &Library,
    rule: &Rule,
    model: &Model,
    feature: FeatureId,
    closeness: Closeness,
) -> Option<Standing> {
    judge(library, rule, model, feature, closeness).standing(rule)
}

/// Whether a rule's aim for mends holds on a feature; also where it gives none, or one that cannot be worked out
/// there.
#[must_use]
pub fn keeps_aim(rule: &Rule, model: &Model, feature: FeatureId) -> bool {
    let locals = RuleScope::new(rule, model, feature);
    let aim = rule.aim.as_ref().and_then(|aim| locals.evaluation().value(aim.expr().ok()?).ok());
    aim.and_then(|aim| aim.holds()).unwrap_or(true)
}

impl Library {
    /// Whether a comparison fails by less than a drawing can say: a rounding, and no fault. What must stay below or
    /// above, as `<` and `>` say, is told from what is equal.
    #[must_use]
    pub fn is_residue(&self, margin: &Margin) -> bool {
        if matches!(margin.comparator, Comparator::Less | Comparator::Greater) {
            return false;
        }
        let missed = -margin.room.value;
        let least = if margin.left.dimension == Dimension::LENGTH {
            self.resolution.length
        } else if margin.left.point {
            0.0
        } else {
            self.resolution.share * margin.right.value.abs()
        };
        missed < least && missed > -least
    }
}

/// The room as a share of both sides together: it never turns back on the way to where there is room,
/// also where the limit moves and passes zero.
fn share(margin: &Margin) -> f64 {
    let scale = margin.left.value.abs() + margin.right.value.abs();
    if scale > 0.0 { margin.room.value / scale } else { 0.0 }
}

/// `strain` of `strain <= limit`.
fn left_name(expr: &Expr) -> Option<String> {
    let ExprKind::Binary { left, .. } = &expr.kind else { return None };
    match &left.kind {
        ExprKind::Path(path) => Some(path.text()),
        _ => None,
    }
}
