//! A sheet as meant: what it says, with nothing worked out. Plain data, which any thread may read.

use std::collections::HashSet;
use std::sync::Arc;

use super::Children;
use crate::source::Span;
use crate::syntax::tree;
use crate::vocabulary::{self, Block, Vocabulary};

/// Names one feature of a [`Sheet`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FeatureId(pub usize);

impl FeatureId {
    /// The sheet itself.
    pub const SHEET: Self = Self(0);
}

/// A sheet as meant. The first feature is the sheet itself.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Sheet<'v> {
    /// The words it is written in.
    pub vocabulary: &'v Vocabulary,
    /// Every block with what it says, outer before inner.
    pub features: Vec<Feature<'v>>,
}

/// A block of a sheet.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Feature<'v> {
    /// Its kind.
    pub block: &'v Block,
    /// Its name; its kind's word where it has none.
    pub name: String,
    /// Where its name is; its kind's word where it has none.
    pub name_span: Span,
    /// Its first line, without the braces.
    pub span: Span,
    /// The block around it; `None` for the sheet.
    pub parent: Option<FeatureId>,
    /// The blocks in it.
    pub children: Children<'v>,
    /// Its fields: those of its kind in their order, then those that an open block adds.
    pub fields: Vec<Field<'v>>,
    /// The feature that it was copied from with `like`.
    pub like: Option<FeatureId>,
    /// The profile that gives what it does not say itself.
    pub profile: Option<String>,
    /// Fields and blocks that it meant to give on lines that could not be used: they are not missing.
    pub attempted: HashSet<String>,
    /// Whether it says less than it meant to, so that nothing can be said of what it lacks.
    pub incomplete: bool,
    /// Whether it came from another sheet with `with`.
    pub imported: bool,
}

/// A field of a feature.
#[derive(Debug, Clone)]
pub struct Field<'v> {
    /// Its word.
    pub name: String,
    /// What the vocabulary says about it.
    pub about: &'v vocabulary::Field,
    /// What the sheet says, if it does.
    pub written: Option<Written>,
    /// Its place among the fields of its feature.
    pub(super) index: usize,
}

/// What a sheet says about a field.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Written {
    /// The field's word, where it is written.
    pub name_span: Span,
    /// What follows it.
    pub value: Arc<tree::Value>,
    /// A tolerance class after the value, such as `H7`.
    pub class: Option<tree::Name>,
    /// The block it is written in: names are looked up from there too.
    pub scope: FeatureId,
    /// Along which of the part's axes the feature is the mirror image of that block.
    pub mirrored: [bool; 3],
}

impl Written {
    /// One past the last byte of what belongs to the value, its tolerance class included.
    #[must_use]
    pub fn end(&self) -> u32 {
        self.class.as_ref().map_or(self.value.span.end, |class| class.span.end)
    }
}

impl<'v> Field<'v> {
    pub(super) fn new(name: impl Into<String>, about: &'v vocabulary::Field, index: usize) -> Self {
        Self { name: name.into(), about, written: None, index }
    }
}

impl<'v> Sheet<'v> {
    /// A feature of this sheet.
    ///
    /// # Panics
    /// With an id of another sheet.
    #[must_use]
    pub fn feature(&self, id: FeatureId) -> &Feature<'v> {
        &self.features[id.0]
    }

    /// All features with their ids.
    pub fn ids(&self) -> impl Iterator<Item = (FeatureId, &Feature<'v>)> {
        self.features.iter().enumerate().map(|(index, feature)| (FeatureId(index), feature))
    }

    /// The feature and everything around it, inner first, the sheet last.
    pub fn outward(&self, id: FeatureId) -> impl Iterator<Item = FeatureId> + '_ {
        std::iter::successors(Some(id), |id| self.feature(*id).parent)
    }

    /// Whether the text keeps notes on a sheet, and is none itself.
    #[must_use]
    pub fn keeps_notes(&self) -> bool {
        self.features.iter().any(|feature| feature.block.act == vocabulary::Act::Recalls)
    }

    /// The feature's path: `clip.jaw.hook`.
    #[must_use]
    pub fn path(&self, id: FeatureId) -> String {
        let mut names: Vec<&str> =
            self.outward(id).filter(|id| *id != FeatureId::SHEET).map(|id| self.feature(id).name.as_str()).collect();
        names.reverse();
        names.join(".")
    }

    /// A field of a feature by its word.
    #[must_use]
    pub fn field(&self, id: FeatureId, name: &str) -> Option<&Field<'v>> {
        self.feature(id).fields.iter().find(|field| field.name == name)
    }

    /// Whether a feature is drawn and printed, or lies in something that is.
    #[must_use]
    pub fn is_drawn(&self, id: FeatureId) -> bool {
        self.outward(id).any(|id| self.feature(id).block.drawn)
    }

    /// Where a field's value is; the feature's first line where it is not written.
    #[must_use]
    pub fn place_of(&self, id: FeatureId, field: &Field) -> Span {
        field.written.as_ref().map_or(self.feature(id).name_span, |written| written.value.span)
    }

    /// `clip.jaw.length`; only the name for a `let`.
    #[must_use]
    pub fn field_path(&self, id: FeatureId, field: &Field) -> String {
        let path = self.path(id);
        match self.feature(id).block.act {
            act if act.stands_for_value() && field.name == self.feature(id).fields[0].name => path,
            _ if path.is_empty() => field.name.clone(),
            _ => format!("{path}.{}", field.name),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Sheet;
    use crate::model::Model;

    #[test]
    fn a_sheet_can_be_shared_and_what_is_worked_out_of_it_handed_on() {
        fn is_shared<T: Send + Sync>() {}
        fn is_handed_on<T: Send>() {}
        is_shared::<Sheet>();
        is_handed_on::<Model>();
    }
}
