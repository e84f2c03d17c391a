//! Fields of blocks: what they hold, where they are written and what a mend may do with them.

use crate::pack::{Formula, Words};
use crate::quantity::Unit;

/// A field of a block.
#[derive(Debug)]
#[non_exhaustive]
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
    /// The field of which it keeps its share where a mend makes that larger.
    pub keeps_to: Option<Words>,
    /// Where it is in the block's first line.
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
#[non_exhaustive]
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
#[non_exhaustive]
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
#[non_exhaustive]
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

/// Where a field is in its block's first line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Head {
    /// Only inside the block.
    Inside,
    /// As the next value after the block's word, in the order of the data.
    Next,
    /// After its own name.
    Named,
}
