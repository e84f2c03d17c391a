//! What the names in a sheet stand for.

use super::evaluate::Evaluation;
use super::look_up::Wanted;
use super::resolve::Step;
use super::{FeatureId, Field, Model, Value};
use crate::syntax::tree::Path;
use crate::vocabulary::FieldKind;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Reference {
    /// A block, or a named value.
    Feature(FeatureId),
    /// A field of one, by its place among them.
    Field(FeatureId, usize),
}

impl Model<'_> {
    /// The features that a feature's fields name, as a snap names its hook.
    pub fn named_by(&self, id: FeatureId) -> impl Iterator<Item = FeatureId> + '_ {
        let fields = self.feature(id).fields.iter().filter(|field| matches!(field.about.kind, FieldKind::Feature(_)));
        fields.filter_map(move |field| match self.value_of(id, field) {
            Ok(Value::Feature(named)) => Some(named),
            _ => None,
        })
    }

    /// What each name of a path stands for that a field's value uses; `None` for what is neither a feature nor a field,
    /// such as the `x` of a size.
    #[must_use]
    pub fn references(&self, id: FeatureId, field: &Field, path: &Path) -> Vec<Option<Reference>> {
        let wanted = if matches!(field.about.kind, FieldKind::Feature(_)) { Wanted::Feature } else { Wanted::Value };
        references(&Evaluation::written(self, id, field), path, wanted)
    }

    /// The same for the path of what is copied into a feature.
    #[must_use]
    pub fn references_of_copy(&self, around: FeatureId, path: &Path) -> Vec<Option<Reference>> {
        references(&Evaluation::new(self, around), path, Wanted::Feature)
    }
}

fn references(evaluation: &Evaluation, path: &Path, wanted: Wanted) -> Vec<Option<Reference>> {
    let mut step = evaluation.nearest_named(path, wanted).ok().flatten();
    let mut all = vec![step.as_ref().and_then(reference)];
    for name in path.names.iter().skip(1) {
        step = step.and_then(|step| evaluation.next(step, name).ok());
        all.push(step.as_ref().and_then(reference));
    }
    all
}

fn reference(step: &Step) -> Option<Reference> {
    match step {
        Step::Feature(id) => Some(Reference::Feature(*id)),
        Step::Field(id, index) => Some(Reference::Field(*id, *index)),
        Step::Value(_) | Step::Derived(..) => None,
    }
}
