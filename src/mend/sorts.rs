//! What a mend may touch, by the sorts that the vocabulary gives its fields.

use std::collections::HashSet;

use crate::model::{Evaluation, FeatureId, Field, Model};
use crate::rules::Fixed;
use crate::source::Span;
use crate::syntax::tree::ExprKind;
use crate::vocabulary::Sort;

/// The mating faces of a sheet: where the dimensions are set that a fit names.
#[derive(Debug, Default)]
pub(super) struct Mating(HashSet<Span>);

impl Mating {
    pub(super) fn of(model: &Model) -> Self {
        let mut set = HashSet::new();
        for (id, feature) in model.ids() {
            for field in feature.fields.iter().filter(|field| field.about.sort == Sort::Mating) {
                set.extend(named(model, id, field));
            }
        }
        Self(set)
    }

    /// Why a field is not changed for a feature's sake; `None` where it may be.
    pub(super) fn keeps(&self, model: &Model, (id, index): (FeatureId, usize), of: FeatureId) -> Option<Fixed> {
        let field = &model.feature(id).fields[index];
        let has_mate = |feature: FeatureId| model.feature(feature).fields.iter().any(|f| f.about.sort == Sort::Mating);
        match field.about.sort {
            Sort::Drawn | Sort::Last | Sort::Mating | Sort::Derived => {
                let mated = field.written.as_ref().is_some_and(|written| self.0.contains(&written.value.span));
                (mated && !has_mate(of)).then_some(Fixed::Mated)
            }
            Sort::Asked => Some(Fixed::Asked),
            Sort::Claimed => Some(Fixed::Claimed),
            Sort::Function => Some(Fixed::Function),
        }
    }
}

/// Where the dimensions are set that a field's expression names.
fn named(model: &Model, id: FeatureId, field: &Field) -> Vec<Span> {
    let Some(written) = &field.written else { return Vec::new() };
    let evaluation = Evaluation::written(model, id, field);
    let mut found = Vec::new();
    written.value.walk(&mut |part| {
        if let ExprKind::Path(path) = &part.kind
            && let Ok(Some((id, index))) = evaluation.field_at(path)
        {
            found.extend(model.feature(id).fields[index].written.as_ref().map(|written| written.value.span));
        }
    });
    found
}
