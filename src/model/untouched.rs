//! The same sheet anew.

use std::cell::Cell;

use super::{Feature, Field, Model};

impl Model<'_> {
    /// The same sheet with nothing worked out yet. Faults that were found while it was read are not repeated.
    #[must_use]
    pub fn untouched(&self) -> Self {
        Self::of(self.vocabulary, self.features.iter().map(feature).collect())
    }
}

fn feature<'v>(feature: &Feature<'v>) -> Feature<'v> {
    let copy =
        |field: &Field<'v>| Field { written: field.written.clone(), ..Field::new(field.name.clone(), field.about) };
    Feature {
        block: feature.block,
        name: feature.name.clone(),
        name_span: feature.name_span,
        span: feature.span,
        parent: feature.parent,
        children: feature.children.clone(),
        fields: feature.fields.iter().map(copy).collect(),
        like: feature.like,
        profile: feature.profile.clone(),
        imported: feature.imported,
        uses: Cell::new(feature.uses.get()),
        attempted: feature.attempted.clone(),
        incomplete: feature.incomplete,
    }
}
