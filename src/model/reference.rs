//! What the names in a sheet stand for.

use super::{FeatureId, Model};
use crate::syntax::tree::Path;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reference {
    /// A block, or a named value.
    Feature(FeatureId),
    /// A field of one, by its place among them.
    Field(FeatureId, usize),
}

impl Model<'_> {
    /// What each name of a path stands for, seen from a feature; `None` for what stands for neither a feature nor a
    /// field, such as the `x` of a size.
    #[must_use]
    pub fn references(&self, scope: FeatureId, path: &Path) -> Vec<Option<Reference>> {
        let mut meant: Option<Reference> = None;
        let mut all = Vec::with_capacity(path.names.len());
        for (index, name) in path.names.iter().enumerate() {
            meant = match (index, meant) {
                (0, _) => self.outward(scope).find_map(|id| self.called(id, &name.text)),
                (_, Some(Reference::Feature(id))) => self.called(id, &name.text),
                _ => None,
            };
            all.push(meant);
        }
        all
    }

    fn called(&self, id: FeatureId, name: &str) -> Option<Reference> {
        let feature = self.feature(id);
        let field = feature.fields.iter().position(|field| field.name == name && field.written.is_some());
        let child = feature.children.called(name).map(Reference::Feature);
        child.or(field.map(|index| Reference::Field(id, index)))
    }
}
