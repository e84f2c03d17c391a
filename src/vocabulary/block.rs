//! Block kinds.

use std::ops::Deref;
use std::sync::OnceLock;

use super::detail::Detail;
use super::field::Field;
use super::lexicon::Meanings;
use crate::pack::{Formula, Later, Words};
use crate::source::Span;

/// A kind of block: `part`, `wall`, `arm`. What it holds is read when a sheet has one.
#[derive(Debug, Default)]
#[allow(clippy::struct_excessive_bools, reason = "each is a word of the data that is there or not")]
pub struct Block {
    /// Its word.
    pub name: Words,
    /// Words that it had before.
    pub was: Vec<Words>,
    /// One line for the reference and the editor.
    pub doc: Words,
    /// The kinds that it can be in.
    pub stands_in: Vec<Words>,
    /// Whether it has a name of its own.
    pub naming: Naming,
    /// The section of profiles that its name picks from.
    pub profile: Option<Words>,
    /// What it does beyond holding fields.
    pub act: Act,
    /// At most one of it in a block.
    pub single: bool,
    /// It belongs to notes on prints: an editor offers it in these alone.
    pub in_notes: bool,
    /// Its dimensions are drawn and then printed.
    pub drawn: bool,
    /// It matters to it which way up the part prints.
    pub oriented: bool,
    /// What its words mean in it, once that was asked for.
    pub(super) meanings: OnceLock<Meanings>,
    pub(super) whole: Later<BlockBody>,
    /// The names of its fields and of what follows from them, where these are not read yet.
    pub(super) names: Option<(Vec<Words>, Vec<Words>)>,
}

/// What a kind of block holds.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct BlockBody {
    /// The kind of any further field, where such are allowed.
    pub open: Option<Field>,
    /// Its fields, in the order of the data.
    pub fields: Vec<Field>,
    /// What follows from its fields.
    pub derives: Vec<Derived>,
    /// The space that it takes up around the place where it is, as far as its fields say.
    pub body: Option<Body>,
    /// How it is drawn beside the views of its part.
    pub detail: Option<Detail>,
    /// An example.
    pub example: Option<Words>,
}

impl Deref for Block {
    type Target = BlockBody;

    fn deref(&self) -> &BlockBody {
        &self.whole
    }
}

impl Block {
    /// Whether what it holds is at hand by now.
    #[must_use]
    pub fn is_read(&self) -> bool {
        self.whole.is_read()
    }
}

/// The space that a block takes up around its place, in its own terms. What is not given is not known.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Body {
    /// The direction field that it lies along.
    pub along: Option<Words>,
    /// How far it goes from its place along that direction.
    pub ahead: Option<Formula>,
    /// How far it goes from its place against that direction.
    pub behind: Option<Formula>,
    /// How far it goes into the part from its place on a face: against that direction, unless the face says otherwise.
    pub inward: Option<Formula>,
    /// The direction field across it.
    pub across: Option<Words>,
    /// How thick it is across, half on either side of its place.
    pub thick: Option<Formula>,
    /// How wide it is square to both, half on either side.
    pub wide: Option<Formula>,
    /// Its diameter, where it is round about that direction.
    pub round: Option<Formula>,
    /// The flag field that says whether it goes through the whole part along that direction.
    pub through: Option<Words>,
    /// Whether it is a space without material.
    pub hollow: bool,
}

impl Body {
    /// Its formulas.
    pub fn formulas(&self) -> impl Iterator<Item = &Formula> {
        [&self.ahead, &self.behind, &self.inward, &self.thick, &self.wide, &self.round].into_iter().flatten()
    }

    /// The fields that it names by their words.
    pub fn fields(&self) -> impl Iterator<Item = &Words> {
        [&self.along, &self.across, &self.through].into_iter().flatten()
    }
}

impl Act {
    /// Whether a block's name stands for the value of its first field.
    #[must_use]
    pub fn stands_for_value(self) -> bool {
        matches!(self, Self::Binds | Self::Measures)
    }
}

impl Block {
    /// The words of its fields, and the names of what follows from them; neither is read for that.
    pub(super) fn names(&self) -> (Vec<&Words>, Vec<&Words>) {
        match &self.names {
            Some((fields, derives)) if !self.is_read() => (fields.iter().collect(), derives.iter().collect()),
            _ => {
                let fields = self.fields.iter().map(|field| &field.name);
                (fields.collect(), self.derives.iter().map(|derived| &derived.name).collect())
            }
        }
    }

    /// What `with` brings in: what is bought, what it is made of and with, and names.
    #[must_use]
    pub fn is_shared(&self) -> bool {
        self.open.is_some() || self.profile.is_some() || matches!(self.act, Act::Imports | Act::Binds)
    }

    /// The field of a word; any word where the block is open.
    #[must_use]
    pub fn field(&self, word: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.name == word).or(self.open.as_ref())
    }

    /// The field that had a word before.
    #[must_use]
    pub fn formerly(&self, word: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.was.iter().any(|was| *was == word))
    }

    /// What follows from its fields under a name.
    #[must_use]
    pub fn derived(&self, name: &str) -> Option<&Derived> {
        self.derives.iter().find(|derived| derived.name == name)
    }
}

/// What follows from a block's fields, under a name that the rules on it, and on what is in it, can use.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Derived {
    /// Its name.
    pub name: Words,
    /// One line for the reference.
    pub doc: Words,
    /// What it is, in the block's own terms.
    pub formula: Formula,
    /// Where its pack says that it follows as it does from another block.
    pub like: Option<Span>,
}

/// Whether a block has a name of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum Naming {
    /// It must.
    Required,
    /// It may; without one it goes by its kind's word.
    Optional,
    /// It cannot.
    #[default]
    None,
}

/// What a block does beyond holding fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum Act {
    /// Nothing.
    #[default]
    Holds,
    /// Brings in another sheet's blocks.
    Imports,
    /// Brings in the whole of the sheet that a text keeps notes on.
    Recalls,
    /// Accepts a rule's finding.
    Permits,
    /// Says things about its outer block: its fields are the outer block's own.
    Describes,
    /// A name for a value.
    Binds,
    /// A name for a dimension of what it is in.
    Measures,
}
