//! Single rules on single features: what a change of one value has to look at again.

use std::rc::Rc;

use super::engine;
use super::finding::{Finding, Level};
use super::judge::{Closeness, Comparison, judged};
use super::library::Library;
use super::permits::Permits;
use super::scope::{DerivedScope, RuleScope};
use crate::model::{FeatureId, Model};

/// A rule and a feature that it looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub struct Pair {
    /// The rule, by its index in the library.
    pub rule: usize,
    /// The feature.
    pub feature: FeatureId,
}

/// What a rule says of a feature.
#[derive(Debug)]
#[non_exhaustive]
pub struct PairStanding {
    /// Which.
    pub pair: Pair,
    /// Its comparisons, worst level first; none where the rule does not apply.
    pub compared: Vec<Comparison>,
    /// What it reports, with the permit that accepts it, and without the values that it comes from.
    pub finding: Option<Box<Finding>>,
}

impl PairStanding {
    /// The level of what is reported and not permitted.
    #[must_use]
    pub fn level(&self) -> Option<Level> {
        self.finding.as_ref().filter(|finding| finding.permitted.is_none()).map(|finding| finding.level)
    }
}

/// How each of the pairs stands, with the sheet's permits applied if it has any.
pub(super) fn pair_standings(
    library: &Library,
    model: &Model,
    pairs: &[Pair],
    (permits, closeness): (bool, Closeness),
) -> Vec<PairStanding> {
    let derived = Rc::new(DerivedScope::new(model));
    let one = |pair: &Pair| pair_standing(library, (model, &derived), *pair, closeness);
    let mut standings: Vec<PairStanding> = pairs.iter().filter_map(one).collect();
    if !permits {
        return standings;
    }
    let mut permits = Permits::of(library, model);
    for standing in &mut standings {
        if let Some(finding) = standing.finding.take() {
            let mut found = [(standing.pair.feature, finding)];
            permits.apply(library, &mut found);
            let [(_, finding)] = found;
            standing.finding = Some(finding);
        }
    }
    standings
}

/// How one pair stands, without permits.
fn pair_standing<'m, 'v>(
    library: &'m Library,
    (model, derived): (&'m Model<'v>, &Rc<DerivedScope<'m, 'v>>),
    pair: Pair,
    closeness: Closeness,
) -> Option<PairStanding> {
    let rule = library.rules.get(pair.rule)?;
    let locals = RuleScope::sharing(Rc::clone(derived), rule, model, pair.feature);
    let evaluation = locals.evaluation();
    let judgement = judged(library, rule, &evaluation, closeness);
    let finding = engine::brief_finding(rule, &judgement, &evaluation);
    Some(PairStanding { pair, compared: judgement.comparisons, finding })
}
