//! Comparisons that are made ready against the evaluator, which works the same formulas out from their names.

use super::*;
use crate::inspect::Analysis;
use crate::model::Model;
use crate::rules::Library;
use crate::rules::rule::Rule;
use crate::rules::scope::RuleScope;
use crate::rules::uncertainty::compiled::{Scratch, asked};

/// How far each input is moved in turn, in standard uncertainties.
const AWAY: [f64; 2] = [0.7, -1.1];

/// Two unlike arms that close together: what rules say of them is a sum over both.
const TOGETHER: &str = "machine bench\nmaterial petg\npart clip { up +z
  arm left { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 12 mm; root-fillet 0.8 mm; together lid
    hook { depth 1 mm; lead-in 30 deg; return 45 deg } }
  arm right { points -x; bends +y; length 16 mm; thickness 1.6 mm; width 10 mm; root-fillet 0.8 mm; together lid
    hook { depth 1 mm; lead-in 30 deg; return 45 deg } } }";

/// Calls with every comparison of every rule that has anything uncertain, on every feature of the rule's two examples and of
/// the arms above.
pub(in crate::rules::uncertainty) fn each_comparison(
    library: &Library,
    mut look: impl FnMut(&str, &Evaluation, &Expr),
) {
    for rule in &library.rules {
        for text in [rule.passes.as_str(), rule.fails.as_str(), TOGETHER] {
            let analysis = Analysis::of_text(library, "example", text);
            for (id, feature) in analysis.model.ids() {
                if rule.about.contains(&feature.block.name) {
                    each_of(rule, &analysis.model, id, &mut look);
                }
            }
        }
    }
}

fn each_of(rule: &Rule, model: &Model, id: FeatureId, look: &mut impl FnMut(&str, &Evaluation, &Expr)) {
    let scope = RuleScope::new(rule, model, id);
    let evaluation = scope.evaluation();
    let applies =
        rule.when.as_ref().is_none_or(|when| when.expr().is_ok_and(|when| evaluation.condition(when) == Ok(true)));
    for expr in rule.holds.iter().filter_map(|(_, formula)| formula.expr().ok()).filter(|_| applies) {
        let uncertain = matches!(evaluation.value(expr), Ok(Value::Margin(margin)) if !margin.room.terms.is_empty());
        if uncertain {
            look(&rule.name, &evaluation, expr);
        }
    }
}

fn made_ready<'m, 'v>(evaluation: &Evaluation<'m, 'v>, expr: &'m Expr) -> Compiled<'m, 'v> {
    let spread = match evaluation.value(expr) {
        Ok(Value::Margin(margin)) => margin.room.uncertainty(),
        _ => 0.0,
    };
    Compiled::of(evaluation, expr, spread)
}

/// Wherever the inputs are moved to, what was made ready comes to what the evaluator does.
#[test]
fn a_comparison_made_ready_is_what_the_evaluator_works_out() {
    let mut looked_at = 0;
    each_comparison(&Library::built_in(), |rule, evaluation, expr| {
        let compiled = made_ready(evaluation, expr);
        let Node::Compared(comparator, .., scale) = compiled.nodes[compiled.root] else { return };
        let mut by = vec![0.0; compiled.inputs().len()];
        for place in 0..by.len() {
            for away in AWAY {
                by[place] = away;
                let ours = compiled.at(&by, &mut Scratch::default()) / scale;
                let theirs = asked(evaluation, expr, compiled.inputs(), &by);
                let near = (ours - theirs).abs() <= 1e-6 * theirs.abs().max(1.0 / scale);
                assert!(
                    near || ours.is_nan() && theirs.is_nan(),
                    "{rule}, {comparator:?} at {by:?}: {ours}, not {theirs}"
                );
                looked_at += 1;
            }
        }
    });
    assert!(looked_at > 1000, "{looked_at}");
}

/// What the evaluator has to be asked at every place makes a sheet slow: few built-in rules need it.
#[test]
fn few_built_in_rules_ask_the_evaluator() {
    let mut asking = Vec::new();
    each_comparison(&Library::built_in(), |rule, evaluation, expr| {
        if made_ready(evaluation, expr).asks() {
            asking.push(rule.to_owned());
        }
    });
    asking.dedup();
    assert_eq!(asking, ["thin-rim", "swollen-fit"]);
}

/// Sums of what is drawn, halved for each side of a fit, go straight with all that makes them uncertain.
#[test]
fn the_play_of_a_fit_goes_straight() {
    let mut straight = Vec::new();
    each_comparison(&Library::built_in(), |rule, evaluation, expr| {
        if rule == "jammed-fit" {
            straight.push(made_ready(evaluation, expr).is_straight());
        }
    });
    assert!(!straight.is_empty() && straight.iter().all(|straight| *straight), "{straight:?}");
}
