//! The words of the language by number: at every name of a formula it is asked what it means in a block, and numbers are
//! sooner compared than texts.

use rustc_hash::FxHashMap;

use super::Block;
use crate::pack::Words;

/// A word of a block, of a field, or of what follows from fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    number: usize,
    /// The block that goes by it, by its place among all.
    pub(super) block: Option<usize>,
}

/// What a word means in a kind of block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// Its field of this place.
    Field(usize),
    /// What follows from its fields, of this place.
    Derived(usize),
}

/// All words with their numbers.
#[derive(Debug, Default)]
pub(super) struct Lexicon(FxHashMap<Words, Word>);

/// What the words of a block mean in it, by their numbers.
pub(super) type Meanings = Box<[Option<Meaning>]>;

impl Lexicon {
    pub(super) fn of(blocks: &[Block]) -> Self {
        let mut words = FxHashMap::default();
        let mut add = |text: &Words, block: Option<usize>| {
            let number = words.len();
            let word = words.entry(text.clone()).or_insert(Word { number, block });
            word.block = word.block.or(block);
        };
        for (index, block) in blocks.iter().enumerate() {
            let (fields, derives) = block.names();
            add(&block.name, Some(index));
            fields.into_iter().chain(derives).for_each(|name| add(name, None));
        }
        Self(words)
    }

    pub(super) fn word(&self, text: &str) -> Option<Word> {
        self.0.get(text).copied()
    }

    /// What the words of a block mean in it; a field comes before what follows from fields.
    fn meanings(&self, block: &Block) -> Meanings {
        let mut meanings = vec![None; self.0.len()];
        let mut mean = |name: &Words, meaning: Meaning| {
            if let Some(place) = self.word(name).and_then(|word| meanings.get_mut(word.number)) {
                *place = place.or(Some(meaning));
            }
        };
        block.fields.iter().enumerate().for_each(|(index, field)| mean(&field.name, Meaning::Field(index)));
        block.derives.iter().enumerate().for_each(|(index, derived)| mean(&derived.name, Meaning::Derived(index)));
        meanings.into()
    }

    pub(super) fn meaning(&self, block: &Block, word: Word) -> Option<Meaning> {
        let meanings = block.meanings.get_or_init(|| self.meanings(block));
        meanings.get(word.number).copied().flatten()
    }
}
