//! The words of the language by number: at every name of a formula it is asked what it means in a block, and numbers are
//! sooner compared than texts.

use rustc_hash::FxHashMap;

use super::Block;
use crate::pack::Words;

/// A word of a block, of a field, or of what follows from fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    number: u32,
    /// The block that goes by it, by its place among all.
    pub(super) block: Option<usize>,
}

/// What a word means in a kind of block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Meaning {
    /// Its field of this place.
    Field(usize),
    /// What follows from its fields, of this place.
    Derived(usize),
}

/// All words with their numbers.
#[derive(Debug, Default)]
pub(super) struct Lexicon {
    numbers: FxHashMap<Words, u32>,
    /// By their numbers.
    words: Vec<Word>,
}

/// What the words of a block mean in it, by their numbers.
pub(super) type Meanings = Box<[Option<Meaning>]>;

impl Lexicon {
    pub(super) fn of(blocks: &[Block]) -> Self {
        let mut lexicon = Self::default();
        let mut add = |text: &Words, block: Option<usize>| {
            let Ok(next) = u32::try_from(lexicon.words.len()) else { return };
            let number = *lexicon.numbers.entry(text.clone()).or_insert(next);
            if number == next {
                lexicon.words.push(Word { number, block });
            }
            let word = &mut lexicon.words[number as usize];
            word.block = word.block.or(block);
        };
        for (index, block) in blocks.iter().enumerate() {
            let (fields, derives) = block.names();
            add(&block.name, Some(index));
            fields.into_iter().chain(derives).for_each(|name| add(name, None));
        }
        lexicon
    }

    pub(super) fn word(&self, text: &str) -> Option<Word> {
        self.numbered(self.number(text)?)
    }

    pub(super) fn number(&self, text: &str) -> Option<u32> {
        self.numbers.get(text).copied()
    }

    pub(super) fn numbered(&self, number: u32) -> Option<Word> {
        self.words.get(number as usize).copied()
    }

    /// What the words of a block mean in it; a field comes before what follows from fields.
    fn meanings(&self, block: &Block) -> Meanings {
        let mut meanings = vec![None; self.words.len()];
        let mut mean = |name: &Words, meaning: Meaning| {
            if let Some(place) = self.word(name).and_then(|word| meanings.get_mut(word.number as usize)) {
                *place = place.or(Some(meaning));
            }
        };
        block.fields.iter().enumerate().for_each(|(index, field)| mean(&field.name, Meaning::Field(index)));
        block.derives.iter().enumerate().for_each(|(index, derived)| mean(&derived.name, Meaning::Derived(index)));
        meanings.into()
    }

    pub(super) fn meaning(&self, block: &Block, word: Word) -> Option<Meaning> {
        let meanings = block.meanings.get_or_init(|| self.meanings(block));
        meanings.get(word.number as usize).copied().flatten()
    }
}
