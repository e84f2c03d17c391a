//! The blocks in a block: in their order, and found by name or kind without a search.

use std::collections::HashMap;

use super::FeatureId;
use crate::vocabulary::{Block, Naming};

/// The blocks in a block.
#[derive(Debug, Clone, Default)]
pub struct Children<'v> {
    ids: Vec<FeatureId>,
    words: HashMap<String, Word>,
    /// The first of each kind; there are no more than the vocabulary has.
    kinds: Vec<(&'v Block, FeatureId)>,
}

/// What a word stands for among siblings: the first in each sense.
#[derive(Debug, Clone)]
struct Word {
    called: FeatureId,
    named: Option<FeatureId>,
}

impl<'v> Children<'v> {
    pub(super) fn push(&mut self, id: FeatureId, name: &str, block: &'v Block) {
        self.ids.push(id);
        let word = self.words.entry(name.to_owned()).or_insert(Word { called: id, named: None });
        if block.naming != Naming::None {
            word.named.get_or_insert(id);
        }
        if block.single && block.name != name {
            self.words.entry(block.name.to_string()).or_insert(Word { called: id, named: None });
        }
        if self.of_kind(&block.name).is_none() {
            self.kinds.push((block, id));
        }
    }

    /// All of them, in the order of the text.
    pub fn iter(&self) -> impl Iterator<Item = FeatureId> + '_ {
        self.ids.iter().copied()
    }

    /// The first that a path can mean by a word: by its name, or by its kind where there is one only.
    #[must_use]
    pub fn called(&self, word: &str) -> Option<FeatureId> {
        self.words.get(word).map(|word| word.named.unwrap_or(word.called))
    }

    /// The first with a name of its own.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<FeatureId> {
        self.words.get(name)?.named
    }

    /// The first of a kind.
    #[must_use]
    pub fn of_kind(&self, kind: &str) -> Option<FeatureId> {
        self.first(|block| block.name == kind)
    }

    /// The first whose kind answers to a description.
    pub fn first(&self, is_meant: impl Fn(&Block) -> bool) -> Option<FeatureId> {
        self.kinds.iter().find(|(block, _)| is_meant(block)).map(|(_, id)| *id)
    }
}
