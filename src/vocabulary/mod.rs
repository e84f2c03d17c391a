//! What blocks and fields there are, which profiles and tables: the words that sheets are written in.

mod block;
mod build;
mod detail;
mod field;
mod lexicon;
mod profile;
mod step;
mod table;

pub use block::{Act, Block, BlockBody, Body, Derived, Naming};
pub use build::Builder;
pub use detail::{Detail, Shape};
pub use field::{Field, FieldKind, Head, Makes, Sort};
pub use lexicon::{Meaning, Word};
pub use profile::{Foretold, Profile, ProfileBody, SourcedValue};
pub use step::StepOf;
pub use table::{CellUnit, Table, TableBody, TableError};

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rustc_hash::FxHashSet;

use crate::learning::figures::{Counts, Figure, Figures};
use crate::pack::{Formula, Later, Words};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::{ExprKind, Name};
use lexicon::Lexicon;

/// All words of the language.
#[derive(Debug, Default)]
pub struct Vocabulary {
    /// Block kinds, in the order of the data.
    pub blocks: Vec<Block>,
    /// Profiles by section (`materials`, `machines`, `instruments`) and name.
    pub profiles: BTreeMap<Words, BTreeMap<Words, Profile>>,
    /// What the shop's own readings say over a profile: by section, name, and for machines the material.
    pub learnt: BTreeMap<(Words, Words, Words), BTreeMap<Words, SourcedValue>>,
    /// What the next print of a dimension comes out as, by its path: for a sheet that is mended by its own readings.
    pub forecasts: BTreeMap<String, Foretold>,
    /// Tables by name.
    pub tables: BTreeMap<Words, Table>,
    /// What further words mean.
    pub terms: Later<BTreeMap<Words, Words>>,
    /// Words that people write from habit, in small letters, and what is written here.
    pub habits: Later<BTreeMap<Words, Words>>,
    /// The steps in which values are drawn where their fields give none, by what they are of.
    pub steps: BTreeMap<Words, Formula>,
    /// The figures that learning from prints goes by.
    pub learning: Later<BTreeMap<Words, SourcedValue>>,
    /// All blocks' and fields' words, once they were asked for.
    words: OnceLock<Lexicon>,
    /// The names of what follows from fields, once they were asked for.
    derived: OnceLock<FxHashSet<Words>>,
}

impl Vocabulary {
    /// What is written here in the place of a word that people write from habit.
    #[must_use]
    pub fn habit(&self, word: &str) -> Option<&str> {
        self.habits.get(word.to_lowercase().as_str()).map(Words::as_str)
    }

    /// The same for a word in a block; what is one in this block only, such as the length of a pin, is kept as `pin.length`.
    #[must_use]
    pub fn habit_in(&self, block: &str, word: &str) -> Option<&str> {
        self.habit(&format!("{block}.{word}")).or_else(|| self.habit(word)).or_else(|| self.habit_of_drawings(word))
    }

    /// The same for a sign of drawings with its number, such as `R3`: it is kept with the number 0.
    fn habit_of_drawings(&self, word: &str) -> Option<&str> {
        let sign = word.find(|c: char| c.is_ascii_digit()).map(|digit| &word[..digit])?;
        self.habit(&format!("{sign}0"))
    }

    /// A word that is a block's, a field's, or that of what follows from fields.
    #[must_use]
    pub fn word(&self, text: &str) -> Option<Word> {
        self.lexicon().word(text)
    }

    /// The same of a name in a formula of this vocabulary or its rules, which is looked up once.
    #[must_use]
    pub fn word_of(&self, name: &Name) -> Option<Word> {
        let lexicon = self.lexicon();
        let word = name.seen.word(|| lexicon.number(&name.text)).and_then(|number| lexicon.numbered(number));
        debug_assert_eq!(word, lexicon.word(&name.text), "`{}` was looked up in another vocabulary", name.text);
        word
    }

    /// What a word means in a block.
    #[must_use]
    pub fn meaning(&self, block: &Block, word: Word) -> Option<Meaning> {
        self.lexicon().meaning(block, word)
    }

    /// The block kind that goes by a word.
    #[must_use]
    pub fn block_of(&self, word: Word) -> Option<&Block> {
        self.blocks.get(word.block?)
    }

    fn lexicon(&self) -> &Lexicon {
        self.words.get_or_init(|| Lexicon::of(&self.blocks))
    }

    /// Whether something that follows from a block's fields goes by a name.
    #[must_use]
    pub fn derives(&self, name: &str) -> bool {
        let of = |block: &Block| block.names().1.into_iter().cloned().collect::<Vec<Words>>();
        self.derived.get_or_init(|| self.blocks.iter().flat_map(of).collect()).contains(name)
    }

    /// The step in which values of a kind are drawn.
    #[must_use]
    pub fn step(&self, of: StepOf) -> Option<Quantity> {
        of.read(self.steps.get(of.word())?)
    }

    /// The figures that learning goes by; `None` where the packs lack one.
    #[must_use]
    pub fn figures(&self) -> Option<Figures> {
        Figures::of(|wanted| figure(wanted, &self.learning.get(wanted.word)?.value))
    }

    /// The block kind of a word.
    #[must_use]
    pub fn block(&self, word: &str) -> Option<&Block> {
        self.blocks.iter().find(|block| block.name == word)
    }

    /// The block kind that had a word before.
    #[must_use]
    pub fn formerly(&self, word: &str) -> Option<&Block> {
        self.blocks.iter().find(|block| block.was.iter().any(|was| *was == word))
    }

    /// The top level's own block kind.
    #[must_use]
    pub fn sheet(&self) -> &Block {
        static NOTHING: std::sync::OnceLock<Block> = std::sync::OnceLock::new();
        self.block("sheet").unwrap_or_else(|| NOTHING.get_or_init(Block::default))
    }

    /// The block kind with an act that only one has.
    #[must_use]
    pub fn acting(&self, act: Act) -> Option<&Block> {
        self.blocks.iter().find(|block| block.act == act)
    }

    /// The block kinds that can be in another; `sheet` is the top level.
    pub fn blocks_in<'a>(&'a self, outer: &'a str) -> impl Iterator<Item = &'a Block> {
        self.blocks.iter().filter(move |block| block.stands_in.iter().any(|name| name == outer))
    }

    /// The profile of a name in a section.
    #[must_use]
    pub fn profile(&self, section: &str, name: &str) -> Option<&Profile> {
        self.profiles.get(section)?.get(name)
    }

    /// What was learnt of a value of a profile; of a machine it holds in one material only.
    #[must_use]
    pub fn learnt_value(&self, section: &str, name: &str, material: &str, field: &str) -> Option<&SourcedValue> {
        if self.learnt.is_empty() {
            return None;
        }
        let key = [section, name, material].map(|text| Words::from(text.to_owned()));
        self.learnt.get(&key.into())?.get(field)
    }

    /// The value that a profile gives for a field, its own or the one of the profile it is like.
    #[must_use]
    pub fn profile_value(&self, section: &str, name: &str, field: &str) -> Option<&SourcedValue> {
        let mut profile = self.profile(section, name)?;
        // As long as the section is large: a chain cannot be longer without a cycle.
        for _ in 0..=self.profiles.get(section)?.len() {
            if let Some(value) = profile.values.get(field) {
                return Some(value);
            }
            profile = self.profile(section, profile.like.as_deref()?)?;
        }
        None
    }
}

/// What a pack says of a figure; `None` where that is no plain number in its range and of its dimension.
fn figure(wanted: &Figure, written: &Formula) -> Option<f64> {
    let ExprKind::Number { value, unit } = &written.expr().ok()?.kind else { return None };
    let said = match unit {
        Some(unit) => Quantity::of(*value, Unit::named(&unit.text)?),
        None => Quantity::ratio(*value),
    };
    let dimension = match wanted.counts {
        Counts::Number | Counts::Share => Dimension::NONE,
        Counts::Length => Dimension::LENGTH,
        Counts::Angle => Dimension::ANGLE,
    };
    (said.dimension == dimension && (wanted.least..=wanted.most).contains(&said.value)).then_some(said.value)
}

#[cfg(test)]
mod tests {
    use crate::inspect::inspect_text;
    use crate::rules::Library;

    /// What a sheet does not name costs nothing: kinds of block, profiles and tables are read when one does.
    #[test]
    fn what_no_sheet_names_is_not_read() {
        let library = Library::built_in();
        let sheet = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 2 mm } }\n";
        assert!(inspect_text(&library, "tray.dryfit", sheet).findings.is_empty());
        let vocabulary = &library.vocabulary;
        let (read, left): (Vec<_>, Vec<_>) = vocabulary.blocks.iter().partition(|block| block.is_read());
        assert!(left.len() > 2 * read.len(), "read: {:?}", read.iter().map(|block| &block.name).collect::<Vec<_>>());
        for (section, named) in [("materials", "petg"), ("machines", "bench")] {
            let read = vocabulary.profiles[section].iter().filter(|(_, profile)| profile.is_read());
            assert_eq!(read.map(|(name, _)| name.as_str()).collect::<Vec<_>>(), [named]);
        }
    }
}
