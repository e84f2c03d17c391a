//! Kinds of values, as far as they are known before any sheet is read.

use crate::quantity::{Dimension, Unit};
use crate::vocabulary::{Block, FieldKind};

/// What a formula comes to.
#[derive(Debug, Clone)]
pub(in crate::rules) enum Kind<'v> {
    /// It has no value where this rule looks, or is at fault already: it fits anywhere.
    Nothing,
    /// A value of any kind: what a `let` stands for.
    Any,
    /// A number; `None` where its dimension is not known.
    Quantity(Option<Measure>),
    /// Lengths along x, y and z.
    Size,
    /// Distances along x, y and z.
    Place,
    /// A direction.
    Direction,
    /// A word or text: one of these, or any.
    Word(Option<Vec<String>>),
    /// Yes or no.
    Flag,
    /// A comparison.
    Comparison,
    /// A block of a kind, or of any.
    Feature(Option<&'v Block>),
}

/// What a number measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rules) struct Measure {
    /// Its dimension.
    pub dimension: Dimension,
    /// Whether it is a point on a temperature scale rather than a difference.
    pub point: bool,
}

impl Measure {
    /// Of a number that is no point on a scale.
    pub(in crate::rules) fn of(dimension: Dimension) -> Self {
        Self { dimension, point: false }
    }

    /// Of a number in a unit; a bare one without.
    pub(super) fn in_unit(unit: Option<&Unit>) -> Self {
        unit.map_or(Self::of(Dimension::NONE), |unit| Self { dimension: unit.dimension, point: unit.is_point() })
    }

    pub(in crate::rules) fn describe(self) -> String {
        match (self.dimension, self.point) {
            (Dimension::TEMPERATURE, true) => "a temperature (degC)".into(),
            (Dimension::TEMPERATURE, false) => "a difference of temperatures (K)".into(),
            (dimension, _) => dimension.describe(),
        }
    }
}

impl<'v> Kind<'v> {
    /// A number of a dimension.
    pub(in crate::rules) fn of(dimension: Dimension) -> Self {
        Self::Quantity(Some(Measure::of(dimension)))
    }

    /// What a field of a kind holds.
    pub(in crate::rules) fn of_field(kind: &FieldKind) -> Self {
        match kind {
            FieldKind::Quantity(unit) => Self::Quantity(Some(Measure::in_unit(*unit))),
            FieldKind::Dimension => Self::Quantity(None),
            FieldKind::Size(_) => Self::Size,
            FieldKind::Place(_) => Self::Place,
            FieldKind::Direction => Self::Direction,
            FieldKind::Word(words) if words.is_empty() => Self::Word(None),
            FieldKind::Word(words) => Self::Word(Some(words.iter().map(ToString::to_string).collect())),
            FieldKind::Text | FieldKind::Rule => Self::Word(None),
            FieldKind::Flag => Self::Flag,
            FieldKind::Condition => Self::Comparison,
            FieldKind::Feature(_) => Self::Feature(None),
            FieldKind::Any => Self::Any,
        }
    }

    /// What the name of a block stands for.
    pub(super) fn of_block(block: &'v Block) -> Self {
        if block.act.stands_for_value() { Self::Any } else { Self::Feature(Some(block)) }
    }

    /// The kind of what is one or the other; `None` where no formula could use both alike.
    pub(super) fn or(self, other: Self) -> Option<Self> {
        Some(match (self, other) {
            (Self::Nothing, kind) | (kind, Self::Nothing) => kind,
            (Self::Any, _) | (_, Self::Any) => Self::Any,
            (Self::Quantity(a), Self::Quantity(b)) => match (a, b) {
                (Some(a), Some(b)) if a == b => Self::Quantity(Some(a)),
                (Some(_), Some(_)) => return None,
                _ => Self::Quantity(None),
            },
            (Self::Size, Self::Size) => Self::Size,
            (Self::Place, Self::Place) => Self::Place,
            (Self::Direction, Self::Direction) => Self::Direction,
            (Self::Word(a), Self::Word(b)) => Self::Word(a.zip(b).map(|(mut a, b)| {
                a.extend(b);
                a
            })),
            (Self::Flag, Self::Flag) => Self::Flag,
            (Self::Flag | Self::Comparison, Self::Flag | Self::Comparison) => Self::Comparison,
            (Self::Feature(a), Self::Feature(b)) => {
                Self::Feature(a.zip(b).filter(|(a, b)| a.name == b.name).map(|(a, _)| a))
            }
            _ => return None,
        })
    }

    /// Whether it can take this kind's place wherever the other is expected.
    pub(in crate::rules) fn fits(&self, expected: &Kind) -> bool {
        let condition = |kind: &Kind| matches!(kind, Kind::Flag | Kind::Comparison);
        match (self, expected) {
            (Self::Nothing | Self::Any, _)
            | (_, Kind::Any)
            | (Self::Size, Kind::Size)
            | (Self::Place, Kind::Place)
            | (Self::Direction, Kind::Direction)
            | (Self::Feature(_), Kind::Feature(_)) => true,
            (Self::Quantity(a), Kind::Quantity(b)) => a.zip(*b).is_none_or(|(a, b)| a == b),
            (Self::Word(a), Kind::Word(b)) => {
                a.as_ref().zip(b.as_ref()).is_none_or(|(a, b)| a.iter().all(|word| b.contains(word)))
            }
            (a, b) => condition(a) && condition(b),
        }
    }

    /// In words.
    pub(in crate::rules) fn describe(&self) -> String {
        match self {
            Self::Nothing | Self::Any => "a value".into(),
            Self::Quantity(None) => "a number or dimension".into(),
            Self::Quantity(Some(measure)) => measure.describe(),
            Self::Size => "a size".into(),
            Self::Place => "a place".into(),
            Self::Direction => "a direction".into(),
            Self::Word(_) => "a word or text".into(),
            Self::Flag => "yes or no".into(),
            Self::Comparison => "a comparison".into(),
            Self::Feature(None) => "a feature".into(),
            Self::Feature(Some(block)) => format!("the block `{}`", block.name),
        }
    }
}
