//! Fields: what a line in a block gives, and what is wrong with the line.

use std::rc::Rc;

use super::{Binder, word_of};
use crate::fault::Fault;
use crate::model::tolerance_class::looks_like_class;
use crate::model::{FeatureId, Written};
use crate::source::Span;
use crate::syntax::tree::{Clause, ExprKind, Name, Statement, Value, ValueKind};
use crate::vocabulary::FieldKind;

impl Binder<'_> {
    pub(in crate::model) fn known_field(&self, id: FeatureId, word: &str) -> Option<usize> {
        self.model.feature(id).fields.iter().position(|field| field.name == word)
    }

    pub(super) fn field(&mut self, clause: Clause, id: FeatureId, index: usize) {
        if let Some(body) = &clause.body {
            let at = body.statements.first().map_or(clause.span, statement_span);
            let message = format!("`{}` is a field: it takes a value, not a block", clause.head.text);
            let about = self.model.feature(id).fields[index].about;
            let mut fault = Fault::new("wrong-kind", at, message).help(format!("it takes {}", about.kind.describe()));
            if at != clause.span {
                fault = fault.also(clause.head.span, "this field");
            }
            self.model.report(fault);
            return;
        }
        let mut values = clause.values.into_iter();
        let Some(value) = values.next() else {
            let about = self.model.feature(id).fields[index].about;
            let message = format!("`{}` needs a value", clause.head.text);
            let help = format!("it takes {}", about.kind.describe());
            self.model.report(Fault::new("wrong-kind", clause.head.span, message).label("nothing follows").help(help));
            return;
        };
        let next = values.next();
        let class = next.as_ref().and_then(|next| self.class_of(id, index, next));
        if let Some(extra) = if class.is_some() { values.next() } else { next } {
            self.too_many(id, &clause.head, &value, &extra);
        }
        if self.set(id, index, clause.head.span, value)
            && let Some(written) = &mut self.model.features[id.0].fields[index].written
        {
            written.class = class;
        }
    }

    /// The tolerance class that a quantity's second value is: the `H7` of `22 mm H7`.
    fn class_of(&self, id: FeatureId, index: usize, value: &Value) -> Option<Name> {
        let kind = &self.model.feature(id).fields[index].about.kind;
        let quantity = matches!(kind, FieldKind::Quantity(Some(_)) | FieldKind::Dimension | FieldKind::Any);
        let word = word_of(value).filter(|word| quantity && looks_like_class(word))?;
        Some(Name { text: word.to_owned(), span: value.span })
    }

    fn too_many(&mut self, id: FeatureId, head: &Name, first: &Value, extra: &Value) {
        let message = format!("`{}` takes one value", head.text);
        let word = word_of(extra).unwrap_or_default();
        let help = if self.known_field(id, word).is_some() {
            self.model.features[id.0].attempted.push(word.to_owned());
            format!("`{word}` is a field of its own: put it on its own line, or after `;`")
        } else if matches!(first.kind, ValueKind::Measured { .. }) {
            "put a comma and a space between readings: `measured 2.02, 1.98 mm`".into()
        } else if is_number(first) && !word.is_empty() {
            format!("`{word}` is no unit; put a second field on its own line or after `;`")
        } else {
            "put a second field on its own line, or after `;`".into()
        };
        let fault = Fault::new("wrong-kind", extra.span, message).label("one too many");
        self.model.report(fault.also(first.span, "its value").help(help));
    }

    /// Gives a field its value; a second one is reported and not taken.
    pub(super) fn set(&mut self, id: FeatureId, index: usize, name_span: Span, value: Value) -> bool {
        let field = &mut self.model.features[id.0].fields[index];
        if let Some(earlier) = &field.written {
            let message = format!("`{}` is given twice", field.name);
            let fault = Fault::new("duplicate-name", name_span, message).label("again here");
            let fault = fault.also(earlier.name_span, "first given here").help("keep one of them");
            self.model.report(fault);
            return false;
        }
        field.written = Some(Written { name_span, value: Rc::new(value), class: None, scope: id });
        true
    }
}

fn statement_span(statement: &Statement) -> Span {
    match statement {
        Statement::Let(binding) => binding.span,
        Statement::Clause(clause) => clause.span,
    }
}

fn is_number(value: &Value) -> bool {
    matches!(&value.kind, ValueKind::Plain(expr) if matches!(expr.kind, ExprKind::Number { unit: None, .. }))
}
