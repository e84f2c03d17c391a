//! Which values a rule's comparison was worked out from, and where each stands.

use super::finding::InputNote;
use super::rule::Rule;
use crate::model::{Evaluation, FeatureId, Mode, Value};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Path};

/// The values behind a comparison.
#[derive(Debug, Default)]
pub(super) struct Inputs {
    /// Those that the sheet states: place, text, and whether the rule lets them change.
    pub stated: Vec<(Span, String)>,
    /// The others.
    pub notes: Vec<InputNote>,
    seen: Vec<(FeatureId, usize)>,
    names: Vec<String>,
}

impl Inputs {
    /// Collects what a formula and the steps it uses refer to.
    pub(super) fn of(rule: &Rule, expr: &Expr, evaluation: &Evaluation) -> Self {
        let mut inputs = Self::default();
        // What may be changed to cure it comes first: it decides where the finding points.
        for change in &rule.change {
            if let Ok(Expr { kind: ExprKind::Path(path), .. }) = change.expr() {
                inputs.path(rule, path, evaluation);
            }
        }
        inputs.expr(rule, expr, evaluation);
        inputs
    }

    fn expr(&mut self, rule: &Rule, expr: &Expr, evaluation: &Evaluation) {
        let mut paths = Vec::new();
        expr.walk(&mut |part| {
            if let ExprKind::Path(path) = &part.kind {
                paths.push(path);
            }
        });
        for path in paths {
            self.path(rule, path, evaluation);
        }
    }

    fn path(&mut self, rule: &Rule, path: &Path, evaluation: &Evaluation) {
        let word = path.word().unwrap_or_default();
        if let Some((_, step)) = rule.steps.iter().find(|(name, _)| name == word) {
            if !self.names.iter().any(|name| name == word) {
                self.names.push(word.to_owned());
                if let Ok(expr) = step.expr() {
                    self.expr(rule, expr, evaluation);
                }
            }
            return;
        }
        if let Some(limit) = rule.limits.iter().find(|limit| limit.name == word) {
            self.note(limit.name.clone(), limit.value.text.clone(), format!("limit of {}", rule.name));
            return;
        }
        let drawn = Evaluation { mode: Mode::Drawn, ..*evaluation };
        let Ok(Some((id, index))) = drawn.field_at(path) else { return };
        if self.seen.contains(&(id, index)) {
            return;
        }
        self.seen.push((id, index));
        self.field(path, (id, index), &drawn);
    }

    fn field(&mut self, path: &Path, (id, index): (FeatureId, usize), evaluation: &Evaluation) {
        let model = evaluation.model;
        let field = &model.feature(id).fields[index];
        let Ok(value) = model.value_of(id, field) else { return };
        let text = match &value {
            Value::Quantity(quantity) => quantity.text_with_uncertainty(),
            other => other.text(),
        };
        if let Some(written) = &field.written {
            self.stated.push((written.value.span, format!("{} {text}", last_words(path))));
        } else {
            let from = model.feature(id).profile.clone().unwrap_or_else(|| "default".into());
            self.note(path.text(), text, from);
        }
    }

    fn note(&mut self, name: String, value: String, from: String) {
        let note = InputNote { name, value, from };
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}

/// `hook.depth` of `clip.jaw.hook.depth`; the word itself of a single one.
fn last_words(path: &Path) -> String {
    let names: Vec<&str> = path.names.iter().map(|name| name.text.as_str()).collect();
    names[names.len().saturating_sub(2)..].join(".")
}
