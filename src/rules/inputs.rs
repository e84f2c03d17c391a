//! Which values a rule's comparison was worked out from, and where each is.

use super::finding::{InputNote, StatedNote};
use super::functions;
use super::rule::Rule;
use crate::model::{Evaluation, FeatureId, Mode, Value};
use crate::quantity::Quantity;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Path};
use crate::vocabulary::Derived;

/// The values that a comparison comes from.
#[derive(Debug, Default)]
pub(super) struct Inputs {
    /// Those that the sheet states: place, text, and whether the rule lets them change.
    pub stated: Vec<StatedNote>,
    /// The others.
    pub notes: Vec<InputNote>,
    seen: Vec<(FeatureId, usize)>,
    names: Vec<String>,
}

/// Whether an argument of a call is the word of a kind of block: a field of that name is not meant.
fn names_a_kind(function: &str, arguments: &[Expr], argument: &Expr) -> bool {
    let place = arguments.iter().position(|other| std::ptr::eq(other, argument));
    let takes = functions::form(function).zip(place).and_then(|(form, place)| form.takes.get(place));
    takes == Some(&functions::Takes::Block)
}

impl Inputs {
    /// Collects what a formula and the steps it uses refer to.
    pub(super) fn of(rule: &Rule, expr: &Expr, evaluation: &Evaluation) -> Self {
        let mut inputs = Self::default();
        inputs.expr(rule, expr, evaluation);
        // What may be changed to cure it comes first: it decides where the finding points.
        let changes: Vec<_> = rule.change.iter().filter_map(|change| place(change.expr().ok()?, evaluation)).collect();
        let rank = |at: &Span| changes.iter().position(|change| change == at).unwrap_or(changes.len());
        inputs.stated.sort_by_key(|stated| rank(&stated.at));
        inputs
    }

    fn expr(&mut self, rule: &Rule, expr: &Expr, evaluation: &Evaluation) {
        match &expr.kind {
            ExprKind::Path(path) if matches!(path.word(), Some("yes" | "no")) => {}
            ExprKind::Path(path) => self.path(rule, path, evaluation),
            ExprKind::Call { name, arguments } => {
                for place in functions::asked(evaluation, &name.text, arguments).into_iter().flatten() {
                    let inner = Evaluation { feature: place, ..*evaluation };
                    // At each place the rule's steps have values of their own.
                    let names = std::mem::take(&mut self.names);
                    arguments.iter().skip(1).for_each(|argument| self.expr(rule, argument, &inner));
                    self.names = names;
                }
                if name.text == functions::danger::NAME
                    && let Ok((word, at)) = functions::danger::danger(evaluation, arguments)
                {
                    let (label, name) = (format!("`{word}`"), "word".to_owned());
                    self.stated.push(StatedNote { at, label, name, quantity: None });
                }
                let inner = if name.text == "printed" { evaluation.printed() } else { *evaluation };
                for argument in used(&name.text, arguments, evaluation) {
                    if !names_a_kind(&name.text, arguments, argument) {
                        self.expr(rule, argument, &inner);
                    }
                }
            }
            ExprKind::Negative(inner) | ExprKind::Not(inner) | ExprKind::Named { value: inner, .. } => {
                self.expr(rule, inner, evaluation);
            }
            // What is passed over does not count.
            ExprKind::If { condition, then, otherwise } => {
                self.expr(rule, condition, evaluation);
                let holds = evaluation.condition(condition).ok();
                for (taken, branch) in [(true, then), (false, otherwise)] {
                    if holds.is_none_or(|holds| holds == taken) {
                        self.expr(rule, branch, evaluation);
                    }
                }
            }
            ExprKind::Binary { left, right, .. } => {
                self.expr(rule, left, evaluation);
                self.expr(rule, right, evaluation);
            }
            ExprKind::Unreadable | ExprKind::Number { .. } | ExprKind::Text(_) | ExprKind::Direction(_) => {}
        }
    }

    fn path(&mut self, rule: &Rule, path: &Path, evaluation: &Evaluation) {
        let word = path.word().unwrap_or_default();
        if let Some(step) = evaluation.locals.and_then(|locals| locals.formula(word)) {
            if !self.names.iter().any(|name| name == word) {
                self.names.push(word.to_owned());
                self.expr(rule, step, evaluation);
            }
            return;
        }
        if let Some((id, derived)) = evaluation.derived_at(path) {
            self.derived(rule, id, derived, evaluation);
            return;
        }
        let Some((path, field)) = whole_field(path, evaluation) else {
            if let Some(limit) = rule.limits.iter().find(|limit| limit.name == word) {
                let value = limit.value.expr().ok().and_then(|expr| evaluation.quantity(expr).ok());
                self.note(
                    limit.name.to_string(),
                    limit.value.text.to_string(),
                    format!("limit of {}", rule.name),
                    value,
                );
            }
            return;
        };
        if !self.seen.contains(&field) {
            self.seen.push(field);
            self.field(&path, field, evaluation);
        }
    }

    /// What follows from a feature's fields comes from what its formula names.
    fn derived(&mut self, rule: &Rule, id: FeatureId, derived: &Derived, evaluation: &Evaluation) {
        let name = format!("{} {}", id.0, derived.name);
        if self.names.contains(&name) {
            return;
        }
        self.names.push(name);
        if let (Some(locals), Ok(expr)) = (evaluation.locals, derived.formula.expr()) {
            self.expr(rule, expr, &Evaluation::new(evaluation.model, id).with_locals(locals.of_derived()));
        }
    }

    fn field(&mut self, path: &Path, (id, index): (FeatureId, usize), evaluation: &Evaluation) {
        let model = evaluation.model;
        let field = &model.feature(id).fields[index];
        let Ok(value) = model.value_of(id, field) else { return };
        let mut text = shown(&value);
        let mut quantity = number(&value);
        if evaluation.mode == Mode::Printed
            && let Ok(printed) = model.printed(id, field)
            && printed != value
        {
            text = format!("{}, printed {}", value.text(), shown(&printed));
            quantity = number(&printed);
        }
        if let Some(written) = &field.written {
            let name = last_words(path);
            let label = format!("{name} {text}");
            self.stated.push(StatedNote { at: written.value.span, label, name, quantity });
        } else {
            let from = model.feature(id).profile.clone().unwrap_or_else(|| "default".into());
            self.note(path.text(), text, from, quantity);
        }
    }

    fn note(&mut self, name: String, value: String, from: String, quantity: Option<Quantity>) {
        let note = InputNote { name, value, from, quantity };
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}

/// The field that a path ends at, or lies in: `size` for `size.x`.
fn whole_field(path: &Path, evaluation: &Evaluation) -> Option<(Path, (FeatureId, usize))> {
    if let Some(field) = evaluation.field_at(path).ok()? {
        return Some((path.clone(), field));
    }
    let (_, outer) = path.names.split_last().filter(|(_, outer)| !outer.is_empty())?;
    let outer = Path { names: outer.to_vec(), span: path.span };
    let field = evaluation.field_at(&outer).ok()??;
    Some((outer, field))
}

/// The arguments that a call's value hangs on: what `choose` and `either` pass over does not count.
fn used<'a>(name: &str, arguments: &'a [Expr], evaluation: &Evaluation) -> Vec<&'a Expr> {
    match (name, arguments) {
        ("choose", [condition, then, otherwise]) => match evaluation.condition(condition) {
            Ok(true) => vec![condition, then],
            Ok(false) => vec![condition, otherwise],
            Err(_) => arguments.iter().collect(),
        },
        ("either", _) => {
            let given = arguments.iter().find(|argument| evaluation.value(argument).is_ok());
            given.map_or_else(|| arguments.iter().collect(), |given| vec![given])
        }
        // Worked out elsewhere.
        ("total" | "total-alike" | "total-naming", [field, _]) => vec![field],
        _ => arguments.iter().collect(),
    }
}

/// Where the sheet states the field that an expression names.
fn place(expr: &Expr, evaluation: &Evaluation) -> Option<Span> {
    let ExprKind::Path(path) = &expr.kind else { return None };
    let (id, index) = evaluation.field_at(path).ok()??;
    Some(evaluation.model.feature(id).fields[index].written.as_ref()?.value.span)
}

fn number(value: &Value) -> Option<Quantity> {
    match value {
        Value::Quantity(quantity) => Some(quantity.clone()),
        _ => None,
    }
}

fn shown(value: &Value) -> String {
    match value {
        Value::Quantity(quantity) => quantity.text_with_uncertainty(),
        other => other.text(),
    }
}

/// `hook.depth` of `clip.jaw.hook.depth`; the word itself of a single one.
fn last_words(path: &Path) -> String {
    let names: Vec<&str> = path.names.iter().map(|name| name.text.as_str()).filter(|name| *name != "feature").collect();
    names[names.len().saturating_sub(2)..].join(".")
}
