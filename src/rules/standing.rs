//! How one rule stands on one feature, without a word about it: what a search asks hundreds of times.

use super::chance;
use super::engine::applies;
use super::finding::Level;
use super::library::Library;
use super::locals::RuleLocals;
use super::rule::Rule;
use super::sum;
use crate::model::{Evaluation, FeatureId, Margin, Model, Value};
use crate::syntax::tree::{Expr, ExprKind};

/// How a rule stands on a feature.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    /// Whether it raises nothing.
    pub free: bool,
    /// The room as a share of the limit, of the comparison that has least of it.
    pub share: f64,
    /// That comparison, and the name of its left side where it has one; `None` where the rule does
    /// not apply or compares nothing.
    pub deciding: Option<(Margin, Option<String>)>,
}

/// How closely to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Closeness {
    /// Whether the comparisons hold.
    Plain,
    /// Whether they hold with the room that a normal distribution asks for, so that their chance
    /// of failing is not worth reporting: near enough to search by.
    Likely,
    /// As an inspection would say.
    Full,
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
    let locals = RuleLocals::new(rule, model, feature);
    let evaluation = locals.evaluation();
    // A condition is met or not by definition; that it cannot be told is no way out.
    if !applies(rule, &evaluation).ok()? {
        return Some(Standing { free: true, share: f64::INFINITY, deciding: None });
    }
    let mut standing = Standing { free: true, share: f64::INFINITY, deciding: None };
    for (level, formula) in &rule.holds {
        let expr = formula.expr().ok()?;
        let value = evaluation.value(expr).ok()?;
        if rule.level(*level).is_none() {
            continue;
        }
        standing.free &= is_free(library, *level, &evaluation, (expr, &value), closeness)?;
        if let Value::Margin(margin) = &value
            && margin.share() < standing.share
        {
            standing.share = margin.share();
            standing.deciding = Some(((**margin).clone(), left_name(expr)));
        }
    }
    Some(standing)
}

fn is_free(
    library: &Library,
    level: Level,
    evaluation: &Evaluation,
    (expr, value): (&Expr, &Value),
    closeness: Closeness,
) -> Option<bool> {
    if !value.holds()? {
        return Some(false);
    }
    let Value::Margin(margin) = value else { return Some(true) };
    let spread = margin.room.uncertainty();
    if spread <= 0.0 {
        return Some(true);
    }
    Some(match closeness {
        Closeness::Plain => true,
        Closeness::Likely => {
            let failing = sum::normal_below(-margin.room.value / spread);
            library.level_of_chance(level, failing).is_none()
        }
        Closeness::Full => {
            let chance = chance::of(evaluation, expr, value);
            chance.is_none_or(|chance| library.level_of_chance(level, chance.failing).is_none())
        }
    })
}

/// `strain` of `strain <= limit`.
fn left_name(expr: &Expr) -> Option<String> {
    match &expr.kind {
        ExprKind::Binary { left, .. } => match &left.kind {
            ExprKind::Path(path) => Some(path.text()),
            _ => None,
        },
        _ => None,
    }
}
