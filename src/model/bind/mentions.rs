//! Names in what could not be used: what they stand for is not unused, and what lacks them is not told twice.

use super::Binder;
use crate::model::{FeatureId, Model};
use crate::syntax::tree::{Clause, ExprKind, Statement, Value};

impl Binder<'_> {
    /// What follows from a block that is not taken, because another has its name, is not told.
    pub(super) fn dropped(&mut self, clause: &Clause, name: &str, parent: FeatureId) {
        self.mention_all(clause);
        let Some(first) = self.model.feature(parent).children.named(name) else { return };
        for statement in clause.body.iter().flat_map(|body| &body.statements) {
            if let Statement::Clause(inner) = statement {
                self.model.features[first.0].attempted.insert(inner.head.text.clone());
            }
        }
    }

    /// Notes the names in values that are not taken.
    pub(super) fn mention<'a>(&mut self, values: impl Iterator<Item = &'a Value>) {
        for value in values {
            value.walk(&mut |expr| {
                if let ExprKind::Path(path) = &expr.kind {
                    self.mentioned.extend(path.names.first().map(|name| name.text.clone()));
                }
            });
        }
    }

    pub(super) fn mention_all(&mut self, clause: &Clause) {
        self.mention(clause.values.iter());
        for statement in clause.body.iter().flat_map(|body| &body.statements) {
            match statement {
                Statement::Let(binding) => self.mention(std::iter::once(&binding.value)),
                Statement::Clause(clause) => self.mention_all(clause),
            }
        }
    }

    /// A name on a line that could not be used is not unused.
    pub(super) fn count_mentions(&self) {
        for name in &self.mentioned {
            if let Some(id) = self.model.feature(Model::SHEET).children.named(name) {
                self.model.note_use(id);
            }
        }
    }
}
