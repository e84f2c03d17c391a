//! How one rule stands on one feature, without a word about it: what a search asks hundreds of times.

use super::engine::applies;
use super::finding::Level;
use super::library::Library;
use super::rule::Rule;
use super::scope::RuleScope;
use super::uncertainty;

use crate::model::{Evaluation, FeatureId, Margin, Model, Value};
use crate::syntax::tree::{Expr, ExprKind};

/// How a rule stands on a feature.
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

impl Standing {
    /// Whether it raises nothing.
    #[must_use]
    pub fn is_free(&self) -> bool {
        self.level.is_none()
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
    let locals = RuleScope::new(rule, model, feature);
    let evaluation = locals.evaluation();
    // A condition is met or not by definition; that it cannot be told is no way out.
    if !applies(rule, &evaluation).ok()? {
        return Some(Standing { share: f64::INFINITY, ..Standing::default() });
    }
    let mut standing = Standing { share: f64::INFINITY, ..Standing::default() };
    for (level, formula) in &rule.holds {
        let expr = formula.expr().ok()?;
        let value = evaluation.value(expr).ok()?;
        if rule.level(*level).is_none() {
            continue;
        }
        let reported = reported(library, *level, &evaluation, (expr, &value), closeness)?;
        standing.level = standing.level.max(reported.and_then(|level| rule.level(level)));
        let Value::Margin(margin) = &value else { continue };
        let share = share(margin);
        standing.promise += share;
        if share < standing.share {
            standing.share = share;
            standing.deciding = Some(((**margin).clone(), left_name(expr)));
        }
    }
    Some(standing)
}

/// Whether a rule's aim for mends holds on a feature; also where it gives none, or one that cannot be worked out
/// there.
#[must_use]
pub fn keeps_aim(rule: &Rule, model: &Model, feature: FeatureId) -> bool {
    let locals = RuleScope::new(rule, model, feature);
    let aim = rule.aim.as_ref().and_then(|aim| locals.evaluation().value(aim.expr().ok()?).ok());
    aim.and_then(|aim| aim.holds()).unwrap_or(true)
}

/// The room as a share of both sides together: it never turns back on the way to where there is room,
/// also where the limit moves and passes zero.
fn share(margin: &Margin) -> f64 {
    let scale = margin.left.value.abs() + margin.right.value.abs();
    if scale > 0.0 { margin.room.value / scale } else { 0.0 }
}

/// The level at which a comparison is reported; the outer `None` where that cannot be told.
#[allow(clippy::option_option, reason = "outer: can be told; inner: is reported")]
fn reported(
    library: &Library,
    level: Level,
    evaluation: &Evaluation,
    (expr, value): (&Expr, &Value),
    closeness: Closeness,
) -> Option<Option<Level>> {
    if !value.holds()? {
        return Some(Some(level));
    }
    let Value::Margin(margin) = value else { return Some(None) };
    let spread = margin.room.uncertainty();
    if spread <= 0.0 {
        return Some(None);
    }
    Some(match closeness {
        Closeness::Plain => None,
        Closeness::Likely => {
            let failing = uncertainty::normal_below(-margin.room.value / spread);
            library.level_of_chance(level, failing)
        }
        Closeness::Full => {
            let limits: Vec<f64> =
                library.chances.iter().filter(|(of, ..)| *of == level).map(|(.., from)| *from).collect();
            let chance = uncertainty::beside(&limits, evaluation, expr, value);
            chance.and_then(|chance| library.level_of_chance(level, chance.failing))
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
