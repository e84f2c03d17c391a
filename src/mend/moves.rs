//! What else moves along with a change.

use std::collections::HashMap;
use std::sync::Arc;

use super::offer::{Change, Moved};
use crate::model::{FieldNumber, Model, Value, Variation};
use crate::syntax::edit::Edit;

/// What was found so far, by the edits of the changes.
#[derive(Debug, Default)]
pub(super) struct Moves(HashMap<Vec<Edit>, Arc<[Moved]>>);

impl Moves {
    /// What else on the printed parts comes to another value with some changes.
    pub(super) fn with(&mut self, model: &mut Model, changes: &[Change]) -> Arc<[Moved]> {
        let key: Vec<Edit> = changes.iter().map(|change| change.edit.clone()).collect();
        if let Some(known) = self.0.get(&key) {
            return Arc::clone(known);
        }
        let with: Vec<Variation> = changes.iter().map(|change| change.variation.clone()).collect();
        let follow = model.follows(&with);
        let before = drawn(model, &follow);
        let after = model.varied(&with, |model| drawn(model, &follow));
        let itself = |path: &str| {
            changes.iter().any(|change| change.name == path || change.name.starts_with(&format!("{path}.")))
        };
        let moved = before.into_iter().zip(after).filter_map(|(before, after)| {
            let ((path, from), (_, to)) = (before?, after?);
            (from != to && !itself(&path)).then_some((path, from, to))
        });
        let moved: Arc<[Moved]> = moved.collect();
        self.0.insert(key, Arc::clone(&moved));
        moved
    }
}

/// What is written on the printed parts in some fields, with its values: path and value.
fn drawn(model: &Model, fields: &[FieldNumber]) -> Vec<Option<(String, String)>> {
    let one = |number: &FieldNumber| {
        let (id, index) = model.numbered(*number);
        let field = &model.feature(id).fields[index];
        if !model.is_drawn(id) || field.written.is_none() {
            return None;
        }
        match model.value_of(id, field) {
            Ok(value @ (Value::Quantity(_) | Value::Size(_))) => Some((model.field_path(id, field), value.text())),
            _ => None,
        }
    };
    fields.iter().map(one).collect()
}
