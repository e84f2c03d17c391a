//! How a rule stands on a feature, in the numbers that a search goes by.

use super::comparison::share;
use super::{Applies, Closeness, Judgement, judge};
use crate::model::{FeatureId, Margin, Model, Spared};
use crate::rules::finding::Level;
use crate::rules::library::Library;
use crate::rules::rule::Rule;
use crate::syntax::tree::{Expr, ExprKind};

/// How a rule stands on a feature, in the numbers that a search goes by.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
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

/// How a rule stands on a feature, as near as it takes to tell whether it reports anything worse than a level: what fails on
/// the mean does, however uncertain it is.
#[must_use]
pub fn standing_within(
    library: &Library,
    rule: &Rule,
    model: &Model,
    feature: FeatureId,
    (closeness, most): (Closeness, Option<Level>),
) -> Option<Standing> {
    let looked = || standing(library, rule, model, feature, closeness);
    if !matches!(closeness, Closeness::Plain | Closeness::Likely) {
        return looked();
    }
    let (standing, spared) = model.sparing_slopes(looked);
    match spared {
        Spared::Nothing => standing,
        Spared::Uncertainty if standing.as_ref().is_none_or(|standing| standing.level > most) => standing,
        Spared::Uncertainty | Spared::Value => looked(),
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

impl Judgement {
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

/// `strain` of `strain <= limit`.
fn left_name(expr: &Expr) -> Option<String> {
    let ExprKind::Binary { left, .. } = &expr.kind else { return None };
    match &left.kind {
        ExprKind::Path(path) => Some(path.text()),
        _ => None,
    }
}
