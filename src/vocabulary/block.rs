//! Block kinds and their fields.

use super::detail::Detail;
use crate::pack::{Formula, Words};
use crate::quantity::Unit;

/// A kind of block: `part`, `wall`, `arm`.
#[derive(Debug, Default)]
#[allow(clippy::struct_excessive_bools, reason = "each is a word of the data that is there or not")]
pub struct Block {
    /// Its word.
    pub name: Words,
    /// Words that it had before.
    pub was: Vec<Words>,
    /// One line for the reference and the editor.
    pub doc: Words,
    /// The kinds that it can stand in.
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

/// The space that a block takes up around its place, in its own terms. What is not given is not known.
#[derive(Debug, Clone)]
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

/// What follows from a block's fields, under a name that the rules on it, and on what stands in it, can use.
#[derive(Debug, Clone)]
pub struct Derived {
    /// Its name.
    pub name: Words,
    /// One line for the reference.
    pub doc: Words,
    /// What it is, in the block's own terms.
    pub formula: Formula,
}

/// Whether a block has a name of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
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
    /// A name for a dimension of what it stands in.
    Measures,
}

/// A field of a block.
#[derive(Debug)]
pub struct Field {
    /// Its word.
    pub name: Words,
    /// Words that it had before.
    pub was: Vec<Words>,
    /// One line for the reference and the editor.
    pub doc: Words,
    /// What it holds.
    pub kind: FieldKind,
    /// The field of the same block that takes a value which is no single word.
    pub or: Option<Words>,
    /// It must be given.
    pub required: bool,
    /// What it is when not given, in the block's own terms.
    pub default: Option<Formula>,
    /// It must be more than this.
    pub above: Option<Formula>,
    /// It must be at least this.
    pub at_least: Option<Formula>,
    /// It must be at most this.
    pub at_most: Option<Formula>,
    /// Which of the machine's deviations applies to it when printed.
    pub makes: Option<Makes>,
    /// The direction field along which it lies.
    pub along: Option<Words>,
    /// The flag that, where it says yes, takes it out of the machine's hands: it is finished afterwards.
    pub unless: Option<Words>,
    /// Where it stands in the block's first line.
    pub head: Head,
    /// The step in which it is drawn, in the block's own terms: a mend goes to whole steps.
    pub step: Option<Formula>,
    /// The step where it lies along the direction that points up on the bed.
    pub step_up: Option<Formula>,
    /// The table of the sizes that it is bought in: a mend takes one of these.
    pub sizes: Option<Words>,
    /// A mass may stand for it: it counts with what it weighs.
    pub weighs: bool,
    /// It brings dimensions together, each off by what made it.
    pub joins: bool,
    /// What a mend may do with it.
    pub sort: Sort,
}

/// What a mend may do with a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sort {
    /// It is drawn: it may be changed.
    #[default]
    Drawn,
    /// It is drawn and serves what the part is for: changed only where nothing else cures.
    Last,
    /// It decides more than what is looked at: changed only where somebody asks for that.
    Asked,
    /// A fact about the geometry or the process, which no sheet decides: at most asked about.
    Claimed,
    /// What the part is for: never changed.
    Function,
    /// It names the dimension of a mating face: that one is changed only for this block's own sake.
    Mating,
    /// It follows from other fields by its default, which are changed instead.
    Derived,
}

impl Sort {
    /// Each with its word in the data.
    pub(super) const ALL: [(&'static str, Self); 7] = [
        ("drawn", Self::Drawn),
        ("last", Self::Last),
        ("asked", Self::Asked),
        ("claimed", Self::Claimed),
        ("function", Self::Function),
        ("mating", Self::Mating),
        ("derived", Self::Derived),
    ];
}

/// What a field holds.
#[derive(Debug, Clone, PartialEq)]
pub enum FieldKind {
    /// A number with a unit of the same dimension as this one; a bare number without.
    Quantity(Option<&'static Unit>),
    /// Three lengths along x, y and z.
    Size(&'static Unit),
    /// Where something is: three distances along x, y and z.
    Place(&'static Unit),
    /// A direction.
    Direction,
    /// A word: one of these, or any where there are none.
    Word(Vec<Words>),
    /// A text in quotes.
    Text,
    /// `yes` or `no`.
    Flag,
    /// A comparison.
    Condition,
    /// The path of a feature: of one of these kinds, or of any where there are none.
    Feature(Vec<Words>),
    /// The name of a rule.
    Rule,
    /// A number with a unit of any dimension.
    Dimension,
    /// A value of any kind.
    Any,
}

impl FieldKind {
    /// The kind in words, with an example of how it is written.
    #[must_use]
    pub fn describe(&self) -> String {
        match self {
            Self::Quantity(None) => "a bare number, such as `3`".into(),
            Self::Quantity(Some(unit)) => {
                format!("{} such as `{} {}`", unit.dimension.describe(), sample(unit.name), unit.name)
            }
            Self::Size(unit) => format!("a size such as `42 x 24 x 12 {}`", unit.name),
            Self::Place(unit) => format!("a place such as `12, 8, 0 {}`, along x, y and z", unit.name),
            Self::Direction => "a direction such as `+x` or `-z tilted 30 deg toward +x`".into(),
            Self::Word(words) if words.is_empty() => "a word".into(),
            Self::Word(words) => {
                let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
                format!("one of {}", words.join(", "))
            }
            Self::Text => "a text in quotes".into(),
            Self::Flag => "`yes` or `no`".into(),
            Self::Condition => "a comparison such as `clip.size.y < 30 mm`".into(),
            Self::Feature(kinds) if kinds.is_empty() => {
                "a feature's path such as `clip.jaw`, or the title of a fit or stack in quotes".into()
            }
            Self::Feature(kinds) => {
                let kinds: Vec<&str> = kinds.iter().map(Words::as_str).collect();
                format!("the path of a feature ({}), such as `clip.jaw`", kinds.join(", "))
            }
            Self::Rule => "a rule's name such as `thin-wall`".into(),
            Self::Dimension => "a dimension with its unit, such as `2.02 mm`".into(),
            Self::Any => "a value".into(),
        }
    }
}

impl FieldKind {
    /// A value of this kind as it is written, where one example does for all.
    #[must_use]
    pub fn example(&self) -> Option<String> {
        Some(match self {
            Self::Quantity(None) => "3".into(),
            Self::Quantity(Some(unit)) => format!("{} {}", sample(unit.name), unit.name),
            Self::Size(unit) => format!("42 x 24 x 12 {}", unit.name),
            Self::Place(unit) => format!("12, 8, 0 {}", unit.name),
            Self::Direction => "+x".into(),
            Self::Word(words) => words.first()?.to_string(),
            Self::Text => "\"like this\"".into(),
            Self::Flag => "yes".into(),
            Self::Dimension => "2.02 mm".into(),
            Self::Condition | Self::Feature(_) | Self::Rule | Self::Any => return None,
        })
    }
}

fn sample(unit: &str) -> &'static str {
    match unit {
        "deg" => "30",
        "degC" => "40",
        "%" => "2",
        _ => "1.2",
    }
}

/// The machine's deviation that applies to a printed dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Makes {
    /// An outside dimension.
    Outside,
    /// An inside dimension: the gap between two walls.
    Inside,
    /// A hole's diameter.
    Hole,
    /// A distance between the middles of two things.
    Spacing,
}

/// Where a field stands in its block's first line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Head {
    /// Only inside the block.
    Inside,
    /// As the next value after the block's word, in the order of the data.
    Next,
    /// After its own name.
    Named,
}
