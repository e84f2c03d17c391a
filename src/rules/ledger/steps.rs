//! The named steps of a rule with their values, and what follows from fields among them.

use super::LedgerStep;
use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::rules::authors_unit::in_authors_unit;
use crate::rules::functions;
use crate::rules::rule::Rule;
use crate::rules::scope::RuleScope;
use crate::syntax::tree::{Expr, ExprKind, Path};
use crate::vocabulary::Derived;

/// The steps in the rule's order; one that is summed over several features has a line at each where it differs.
pub(super) fn steps(rule: &Rule, evaluation: &Evaluation) -> Vec<LedgerStep> {
    let sums = sums(rule, evaluation);
    let mut lines = derived(rule, evaluation);
    for (name, formula) in &rule.steps {
        let Ok(expr) = formula.expr() else { continue };
        let line = |name: String, value| LedgerStep { name, formula: formula.text.to_string(), value };
        let summed = sums.iter().filter(|(steps, _)| steps.contains(&&**name)).flat_map(|(_, places)| places);
        let mut places: Vec<FeatureId> = summed.copied().collect();
        places.sort_unstable();
        places.dedup();
        let value_at = |place| RuleScope::new(rule, evaluation.model, place).evaluation().value(expr).ok();
        let mut at_places: Vec<(FeatureId, String)> =
            places.into_iter().filter_map(|place| Some((place, shown(&value_at(place)?, evaluation.model)))).collect();
        if at_places.iter().all(|(_, value)| *value == at_places[0].1) {
            at_places.truncate(1);
        }
        match at_places.as_slice() {
            [] => {
                let value = evaluation.value(expr).ok().map(|value| in_authors_unit(value, expr, evaluation));
                let value = value.map(|value| shown(&value, evaluation.model));
                lines.extend(value.map(|value| line(name.to_string(), value)));
            }
            [(_, value)] => lines.push(line(name.to_string(), value.clone())),
            several => {
                let at = |place: FeatureId| format!("{name} at {}", evaluation.model.path(place));
                lines.extend(several.iter().map(|(place, value)| line(at(*place), value.clone())));
            }
        }
    }
    lines
}

/// What follows from fields, as far as the rule uses it: what others are worked out from comes first.
fn derived(rule: &Rule, evaluation: &Evaluation) -> Vec<LedgerStep> {
    let mut found = Vec::new();
    let formulas = rule.steps.iter().map(|(_, step)| step).chain(rule.holds.iter().map(|(_, holds)| holds));
    for expr in rule.when.iter().chain(formulas).filter_map(|formula| formula.expr().ok()) {
        derived_in(expr, evaluation, &mut found);
    }
    let line = |(id, derived): (FeatureId, &Derived)| {
        let value = evaluation.locals?.derived(id, derived).ok()?;
        let name = if id == evaluation.feature {
            derived.name.to_string()
        } else {
            format!("{} of {}", derived.name, evaluation.model.path(id))
        };
        let value = shown(&value, evaluation.model);
        Some(LedgerStep { name, formula: derived.formula.text.to_string(), value })
    };
    found.into_iter().filter_map(line).collect()
}

fn derived_in<'v>(expr: &Expr, evaluation: &Evaluation<'_, 'v>, found: &mut Vec<(FeatureId, &'v Derived)>) {
    let mut used = Vec::new();
    expr.walk(&mut |part| {
        if let ExprKind::Path(path) = &part.kind {
            // `hub.diameter` rests on what `hub` is.
            let beginnings =
                (1..=path.names.len()).map(|end| Path { names: path.names[..end].to_vec(), ..path.clone() });
            used.extend(beginnings.filter_map(|path| evaluation.derived_at(&path)));
        }
    });
    for (id, derived) in used {
        let is_known = |(known, other): &(FeatureId, &Derived)| *known == id && other.name == derived.name;
        if found.iter().any(is_known) {
            continue;
        }
        if let (Some(locals), Ok(formula)) = (evaluation.locals, derived.formula.expr()) {
            let inner = Evaluation::new(evaluation.model, id).with_locals(locals.of_derived());
            derived_in(formula, &inner, found);
        }
        if !found.iter().any(is_known) {
            found.push((id, derived));
        }
    }
}

/// Each sum over features in a rule: the steps that are worked out at each of them, and the features.
fn sums<'r>(rule: &'r Rule, evaluation: &Evaluation) -> Vec<(Vec<&'r str>, Vec<FeatureId>)> {
    let mut sums = Vec::new();
    let formulas = rule.steps.iter().map(|(_, step)| step).chain(rule.holds.iter().map(|(_, holds)| holds));
    for expr in formulas.filter_map(|formula| formula.expr().ok()) {
        expr.walk(&mut |part| {
            if let ExprKind::Call { name, arguments } = &part.kind
                && let Some(places) = functions::asked(evaluation, &name.text, arguments)
            {
                let mut steps = Vec::new();
                arguments.iter().skip(1).for_each(|argument| steps_in(rule, argument, &mut steps));
                sums.push((steps, places));
            }
        });
    }
    sums
}

/// The steps that an expression uses, directly or through others.
fn steps_in<'r>(rule: &'r Rule, expr: &Expr, found: &mut Vec<&'r str>) {
    let mut used = Vec::new();
    expr.walk(&mut |part| {
        if let ExprKind::Path(path) = &part.kind {
            used.extend(path.word());
        }
    });
    for (name, step) in rule.steps.iter().filter(|(name, _)| used.contains(&&**name)) {
        if !found.contains(&&**name) {
            found.push(name);
            step.expr().into_iter().for_each(|expr| steps_in(rule, expr, found));
        }
    }
}

fn shown(value: &Value, model: &Model) -> String {
    match value {
        Value::Quantity(quantity) => quantity.text_with_uncertainty(),
        Value::Feature(id) => model.path(*id),
        other => other.text(),
    }
}
