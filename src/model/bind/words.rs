//! The word that is meant, where the one in the sheet is an older one, is spelled otherwise or belongs in the block before.

use super::Binder;
use crate::model::FeatureId;
use crate::vocabulary::Act;

impl<'v> Binder<'v> {
    /// The word that has taken the place of a word, where it can be here.
    pub(super) fn renamed(&self, parent: FeatureId, word: &str) -> Option<&'v str> {
        let outer = self.model.feature(parent).block;
        let block = self.model.vocabulary.formerly(word).filter(|block| block.stands_in.contains(&outer.name));
        let field = || outer.formerly(word).map(|field| field.name.as_str());
        block.map(|block| block.name.as_str()).or_else(field)
    }

    /// The word that a word is but for capitals and underscores: there is no doubt what was meant.
    pub(super) fn spelled_otherwise(&self, parent: FeatureId, word: &str) -> Option<String> {
        let plain = word.to_lowercase().replace('_', "-");
        let outer = self.model.feature(parent).block;
        let is_block = self.model.vocabulary.block(&plain).is_some_and(|block| block.stands_in.contains(&outer.name));
        let is_field = outer.act != Act::Describes && self.known_field(parent, &plain).is_some();
        (plain != word && (is_block || is_field)).then_some(plain)
    }

    /// The block without braces just before, if a word that has no place here has one in it.
    pub(super) fn bare_before(&self, parent: FeatureId, word: &str) -> Option<FeatureId> {
        let (id, _) = self.bare.filter(|(id, _)| self.model.feature(*id).parent == Some(parent))?;
        let outer = self.model.feature(id).block;
        let takes = match self.model.vocabulary.block(word) {
            Some(block) => block.stands_in.contains(&outer.name),
            None => outer.open.is_some() || self.known_field(id, word).is_some(),
        };
        takes.then_some(id)
    }
}
