//! Where a formula stands: which names it can see there, and of what kind they are.

use super::kind::Kind;
use crate::quantity::Dimension;
use crate::vocabulary::{Block, Derived, Vocabulary};

/// More ways for a block to be in others than this are not followed.
const MOST_CHAINS: usize = 64;
/// Nor more steps on the way there.
const MOST_STEPS: usize = 2_000;
/// Nor blocks in each other.
const DEEPEST: usize = 16;

/// What a name stands for.
pub(super) enum Found<'v> {
    /// A value of a kind.
    Kind(Kind<'v>),
    /// What follows from a block's fields, and where it is worked out.
    Derived(&'v Derived, Vec<Place<'v>>),
}

/// A block and those around it, the innermost first and the sheet last.
#[derive(Debug, Clone)]
pub(in crate::rules) struct Place<'v> {
    pub(super) vocabulary: &'v Vocabulary,
    chain: Vec<&'v Block>,
}

impl<'v> Place<'v> {
    /// The sheet itself.
    pub(in crate::rules) fn sheet(vocabulary: &'v Vocabulary) -> Self {
        Self { vocabulary, chain: vec![vocabulary.sheet()] }
    }

    /// Every place where a block of a kind can be.
    pub(in crate::rules) fn all(vocabulary: &'v Vocabulary, block: &'v Block) -> Vec<Self> {
        let mut chains = Vec::new();
        let mut steps = 0;
        outward(vocabulary, vec![block], &mut chains, &mut steps);
        if chains.is_empty() {
            chains.push(vec![block]);
        }
        chains.into_iter().map(|chain| Self { vocabulary, chain }).collect()
    }

    /// The block that the formula is about.
    pub(super) fn block(&self) -> &'v Block {
        self.chain.first().copied().unwrap_or_else(|| self.vocabulary.sheet())
    }

    /// The blocks, the innermost first.
    pub(super) fn blocks(&self) -> impl Iterator<Item = &'v Block> {
        self.chain.iter().copied()
    }

    /// In a block of a kind that is in this one, if one can.
    pub(super) fn inside(&self, kind: &str) -> Option<Self> {
        let inner = self.vocabulary.blocks_in(&self.block().name).find(|block| block.name == kind)?;
        let chain: Vec<&Block> = std::iter::once(inner).chain(self.chain.iter().copied()).collect();
        (chain.len() <= DEEPEST).then_some(Self { vocabulary: self.vocabulary, chain })
    }

    /// In a block of a kind that is beside this one, if one can.
    pub(super) fn beside(&self, kind: &str) -> Option<Self> {
        let around = self.chain.get(1..).filter(|around| !around.is_empty())?;
        Self { vocabulary: self.vocabulary, chain: around.to_vec() }.inside(kind)
    }

    /// The kind of block that is drawn and printed; `None` where a pack has several.
    pub(super) fn drawn(&self) -> Option<&'v Block> {
        let mut drawn = self.vocabulary.blocks.iter().filter(|block| block.drawn);
        drawn.next().filter(|_| drawn.next().is_none())
    }

    /// What a name stands for here; `None` where nothing here or around has it.
    pub(super) fn named(&self, name: &str) -> Option<Found<'v>> {
        self.chain.iter().enumerate().find_map(|(index, block)| {
            let field = block.fields.iter().find(|field| field.name == name).map(|field| Kind::of_field(&field.kind));
            if let (None, Some(derived)) = (&field, block.derived(name)) {
                let around = Self { vocabulary: self.vocabulary, chain: self.chain[index..].to_vec() };
                return Some(Found::Derived(derived, vec![around]));
            }
            let own = field.or_else(|| self.child(block, name));
            own.or_else(|| (block.name == name).then(|| Kind::of_block(block))).map(Found::Kind)
        })
    }

    /// Whether a name is a field here, or around.
    pub(super) fn is_field(&self, name: &str) -> bool {
        let owner = self.chain.iter().find(|block| {
            let field = block.fields.iter().any(|field| field.name == name) || block.derived(name).is_some();
            field || self.child(block, name).is_some() || block.name == name
        });
        owner.is_some_and(|block| block.fields.iter().any(|field| field.name == name))
    }

    fn child(&self, block: &'v Block, name: &str) -> Option<Kind<'v>> {
        self.vocabulary.blocks_in(&block.name).find(|child| child.name == name).map(Kind::of_block)
    }

    /// What a block has under a name: a field, what follows from its fields, a block in it, the profile that applies to
    /// it, or the block of that kind that it is in.
    pub(super) fn within(&self, block: &'v Block, name: &str) -> Option<Found<'v>> {
        let field = block.field(name).map(|field| Kind::of_field(&field.kind));
        if let (None, Some(derived)) = (&field, block.derived(name)) {
            return Some(Found::Derived(derived, Self::all(self.vocabulary, block)));
        }
        let own = field.or_else(|| self.child(block, name)).or_else(|| self.profile(name));
        own.or_else(|| self.around(block, name)).map(Found::Kind)
    }

    fn around(&self, block: &'v Block, kind: &str) -> Option<Kind<'v>> {
        let places = Self::all(self.vocabulary, block);
        let mut outer = places.iter().flat_map(|place| place.chain.iter().skip(1));
        outer.find(|outer| outer.name == kind).map(|outer| Kind::of_block(outer))
    }

    fn profile(&self, name: &str) -> Option<Kind<'v>> {
        self.vocabulary.block(name).filter(|block| block.profile.is_some()).map(Kind::of_block)
    }

    /// What a block of whichever kind can have under a name. A profile's name is the profile that applies to the block.
    /// The words of notes are left out: no rule looks at a sheet through them, and some share a name with a dimension.
    pub(super) fn within_any(&self, name: &str) -> Option<Kind<'v>> {
        if let Some(profile) = self.profile(name) {
            return Some(profile);
        }
        let found = self.vocabulary.blocks.iter().filter(|block| !block.in_notes).filter_map(|block| {
            let field = block.fields.iter().find(|field| field.name == name).map(|field| Kind::of_field(&field.kind));
            let derived = || block.derived(name).map(|_| Kind::Any);
            field.or_else(derived).or_else(|| self.child(block, name))
        });
        found.reduce(|a, b| a.or(b).unwrap_or(Kind::Any))
    }

    /// What a size has under a name.
    pub(super) fn of_size(name: &str) -> Option<Kind<'v>> {
        matches!(name, "x" | "y" | "z").then(|| Kind::of(Dimension::LENGTH))
    }

    /// The names of a block's fields and of what can be in it.
    pub(super) fn names_in(&self, block: &'v Block) -> impl Iterator<Item = &'v str> {
        let children = self.vocabulary.blocks_in(&block.name).map(|child| child.name.as_str());
        let derived = block.derives.iter().map(|derived| derived.name.as_str());
        block.fields.iter().map(|field| field.name.as_str()).chain(derived).chain(children)
    }

    /// The names that can be seen here.
    pub(super) fn names(&self) -> impl Iterator<Item = &'v str> {
        self.chain.iter().flat_map(|block| self.names_in(block).chain([block.name.as_str()]))
    }
}

fn outward<'v>(vocabulary: &'v Vocabulary, chain: Vec<&'v Block>, chains: &mut Vec<Vec<&'v Block>>, steps: &mut usize) {
    *steps += 1;
    let Some(outermost) = chain.last() else { return };
    if *steps > MOST_STEPS || chains.len() >= MOST_CHAINS || chain.len() > DEEPEST {
        return;
    }
    if std::ptr::eq(*outermost, vocabulary.sheet()) {
        chains.push(chain);
        return;
    }
    for outer in &outermost.stands_in {
        let around = if outer == "sheet" { Some(vocabulary.sheet()) } else { vocabulary.block(outer) };
        let Some(around) = around.filter(|around| !chain.iter().any(|block| block.name == around.name)) else {
            continue;
        };
        let mut longer = chain.clone();
        longer.push(around);
        outward(vocabulary, longer, chains, steps);
    }
}
