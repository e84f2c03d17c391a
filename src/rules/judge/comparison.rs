//! One comparison of a rule on a feature: whether it holds, how likely it is to fail, and what is reported of that.

use super::Closeness;
use crate::fault::Fault;
use crate::model::{Evaluation, Failure, Margin, Value};
use crate::quantity::Dimension;
use crate::rules::finding::Level;
use crate::rules::library::Library;
use crate::rules::rule::Rule;
use crate::rules::scope::RuleScope;
use crate::rules::uncertainty::{self, Chance, Closely};
use crate::syntax::tree::{Comparator, Expr};

/// Of what is nearer to its limit than a drawing can say, less than half count as missing it.
const JUST_HALF: f64 = 0.499;

/// A margin that is a smaller share of its sides is none: what is left of a calculation that comes out even.
const ROUNDING: f64 = 1e-9;

/// A comparison of a rule on a feature.
#[derive(Debug)]
#[non_exhaustive]
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
    /// Where a formula of it does not hold: it fails with that formula carried on beyond its range.
    pub beyond: Option<Box<Fault>>,
}

impl Comparison {
    /// Whether it holds on the mean and is reported for its chance of failing.
    #[must_use]
    pub fn is_likely(&self) -> bool {
        self.holds && self.reported.is_some()
    }
}

/// Works out one of a rule's comparisons, by its place among them.
pub(super) fn comparison(
    library: &Library,
    rule: &Rule,
    index: usize,
    evaluation: &Evaluation,
    closeness: Closeness,
) -> Result<Comparison, Failure> {
    let (level, formula) = (rule.holds[index].0, &rule.holds[index].1);
    let expr = formula.expr().map_err(|fault| Failure::Fault(Box::new(fault.clone())))?;
    let value = evaluation.value(expr)?;
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
    let (chance, failing) = chance(library, (level, holds), evaluation, (expr, &value), closeness, is_told);
    let reported = reported(failing);
    let margin = match value {
        Value::Margin(margin) => Some(*margin),
        _ => None,
    };
    Ok(Comparison { level, index, holds, margin, chance, reported, beyond: None })
}

/// One whose formula does not hold for the values that there are, if it fails even with the formula carried on beyond its
/// range: what is hopeless at the edge is no better further on. By which chance nobody can say.
pub(super) fn beyond(library: &Library, index: usize, scope: &RuleScope, fault: &Fault) -> Option<Comparison> {
    let comparison = comparison(library, scope.rule(), index, &scope.evaluation(), Closeness::Plain).ok()?;
    (!comparison.holds).then(|| Comparison { beyond: Some(Box::new(fault.clone())), ..comparison })
}

/// How likely a comparison is to fail, with what makes it uncertain where that is told.
fn chance(
    library: &Library,
    (level, holds): (Level, bool),
    evaluation: &Evaluation,
    (expr, value): (&Expr, &Value),
    closeness: Closeness,
    is_told: impl FnOnce(f64) -> bool,
) -> (Option<Chance>, Option<f64>) {
    let Value::Margin(margin) = value else { return (None, None) };
    let spread = margin.room.uncertainty();
    match closeness {
        Closeness::Plain => return (None, None),
        // That it fails is all that is asked of what does on the mean.
        Closeness::Full | Closeness::Exact | Closeness::Proof if !holds => return (None, None),
        Closeness::Likely => {
            let failing = || uncertainty::normal_below(-margin.room.value / spread);
            return (None, (spread > 0.0).then(failing));
        }
        Closeness::Full | Closeness::Exact | Closeness::Proof | Closeness::Found | Closeness::Told => {}
    }
    // From these on the chance of what holds is reported; where there are none it makes no difference.
    let limits: Vec<f64> = library.chances.iter().filter(|(of, ..)| *of == level).map(|(.., from)| *from).collect();
    let closely = match closeness {
        Closeness::Told => Closely::Exactly,
        _ if holds && limits.is_empty() => return (None, None),
        // What fails on the mean is reported with its chance.
        Closeness::Found | Closeness::Proof if holds => Closely::From(&limits),
        Closeness::Found => Closely::Exactly,
        _ if limits.is_empty() => Closely::Exactly,
        _ => Closely::Beside(&limits),
    };
    let chance = uncertainty::as_closely(closely, evaluation, (expr, value), is_told);
    let failing = chance.as_ref().map(|chance| chance.failing);
    (chance, failing)
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
pub(super) fn share(margin: &Margin) -> f64 {
    let scale = margin.left.value.abs() + margin.right.value.abs();
    if scale > 0.0 { margin.room.value / scale } else { 0.0 }
}
