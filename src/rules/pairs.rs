//! How single rules stand on single features: what a change of one value has to look at again.

use super::engine::{self, applies};
use super::finding::{Finding, Level};
use super::library::Library;
use super::permits::Permits;
use super::rule::Rule;
use super::scope::RuleScope;
use crate::model::{FeatureId, Margin, Model, Value};

/// A rule and a feature that it looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pair {
    /// The rule, by its index in the library.
    pub rule: usize,
    /// The feature.
    pub feature: FeatureId,
}

/// What a rule says of a feature.
#[derive(Debug)]
pub struct PairStanding {
    /// Which.
    pub pair: Pair,
    /// Its comparisons, worst level first; none where the rule does not apply.
    pub compared: Vec<Compared>,
    /// What it reports, with the permit that accepts it.
    pub finding: Option<Finding>,
}

impl PairStanding {
    /// The level of what is reported and not permitted.
    #[must_use]
    pub fn level(&self) -> Option<Level> {
        self.finding.as_ref().filter(|finding| finding.permitted.is_none()).map(|finding| finding.level)
    }
}

/// A comparison with its numbers.
#[derive(Debug)]
pub struct Compared {
    /// The level if it fails.
    pub level: Level,
    /// Whether it holds.
    pub holds: bool,
    /// The numbers, where it compares quantities.
    pub margin: Option<Margin>,
}

/// How each of the pairs stands, with the sheet's permits applied if it has any.
pub(super) fn pair_standings(library: &Library, model: &Model, pairs: &[Pair], permits: bool) -> Vec<PairStanding> {
    let mut standings: Vec<PairStanding> =
        pairs.iter().filter_map(|pair| pair_standing(library, model, *pair)).collect();
    if !permits {
        return standings;
    }
    let mut permits = Permits::of(library, model);
    for standing in &mut standings {
        if let Some(finding) = standing.finding.take() {
            let mut found = [(standing.pair.feature, finding)];
            permits.apply(library, model, &mut found);
            let [(_, finding)] = found;
            standing.finding = Some(finding);
        }
    }
    standings
}

/// How one pair stands, without permits.
pub(super) fn pair_standing(library: &Library, model: &Model, pair: Pair) -> Option<PairStanding> {
    let rule = library.rules.get(pair.rule)?;
    let locals = RuleScope::new(rule, model, pair.feature);
    let evaluation = locals.evaluation();
    let finding = engine::check(library, rule, &evaluation);
    let compared = match applies(rule, &evaluation) {
        Ok(true) => compared(rule, &locals),
        _ => Vec::new(),
    };
    Some(PairStanding { pair, compared, finding })
}

fn compared(rule: &Rule, locals: &RuleScope) -> Vec<Compared> {
    let evaluation = locals.evaluation();
    let one = |(level, formula): &(Level, crate::pack::Formula)| {
        let expr = formula.expr().ok()?;
        let value = evaluation.value(expr).ok()?;
        let holds = value.holds()?;
        let margin = match value {
            Value::Margin(margin) => Some(*margin),
            _ => None,
        };
        Some(Compared { level: rule.level(*level)?, holds, margin })
    };
    rule.holds.iter().filter_map(one).collect()
}
