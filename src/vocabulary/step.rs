//! What the steps of `rules/steps.yaml` are of.

use crate::pack::Formula;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::ExprKind;

/// A kind of value that is drawn in steps, or what a mend aims at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum StepOf {
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A whole number without a unit.
    Count,
    /// Anything else, of which the step is a share.
    Share,
    /// A long length, as a person draws it.
    RoundLength,
    /// From where on a length is long.
    RoundLengthFrom,
    /// An angle as a person draws it.
    RoundAngle,
    /// How far inside a limit a mend aims, as a share of the limit.
    Inside,
    /// How many standard uncertainties inside a limit a mend has to be.
    Doubts,
    /// The least share of it that is left of what is changed only where nothing else cures.
    Cut,
    /// Changes of a dimension that differ by less are as good as each other, as a share of it.
    Alike,
    /// The factor by which a dimension changes far, up or down.
    Far,
    /// How many times as far as the best change one may go that is offered beside it.
    FarOff,
}

impl StepOf {
    pub(super) const ALL: [Self; 13] = [
        Self::Length,
        Self::Angle,
        Self::Count,
        Self::Share,
        Self::RoundLength,
        Self::RoundLengthFrom,
        Self::RoundAngle,
        Self::Inside,
        Self::Doubts,
        Self::Cut,
        Self::Alike,
        Self::Far,
        Self::FarOff,
    ];

    /// Its word in the data.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Angle => "angle",
            Self::Count => "count",
            Self::Share => "share",
            Self::RoundLength => "round-length",
            Self::RoundLengthFrom => "round-length-from",
            Self::RoundAngle => "round-angle",
            Self::Inside => "inside",
            Self::Doubts => "doubts",
            Self::Cut => "cut",
            Self::Alike => "alike",
            Self::Far => "far",
            Self::FarOff => "far-off",
        }
    }

    /// How it is written.
    pub(super) fn example(self) -> &'static str {
        match self {
            Self::Length => "length: {value: 0.25 mm}",
            Self::Angle => "angle: {value: 5 deg}",
            Self::Count => "count: {value: \"1\"}",
            Self::Share => "share: {value: 10 %}",
            Self::RoundLength => "round-length: {value: 1 mm}",
            Self::RoundLengthFrom => "round-length-from: {value: 20 mm}",
            Self::RoundAngle => "round-angle: {value: 10 deg}",
            Self::Inside => "inside: {value: 10 %}",
            Self::Doubts => "doubts: {value: \"3\"}",
            Self::Cut => "cut: {value: 60 %}",
            Self::Alike => "alike: {value: 10 %}",
            Self::Far => "far: {value: \"3\"}",
            Self::FarOff => "far-off: {value: \"5\"}",
        }
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Length | Self::RoundLength | Self::RoundLengthFrom => Dimension::LENGTH,
            Self::Angle | Self::RoundAngle => Dimension::ANGLE,
            // Counts, shares and factors.
            _ => Dimension::NONE,
        }
    }

    /// A step; `None` for what is none: not a plain number above zero of its dimension.
    pub(super) fn read(self, step: &Formula) -> Option<Quantity> {
        let ExprKind::Number { value, unit } = &step.expr().ok()?.kind else { return None };
        let step = match unit {
            Some(unit) => Quantity::of(*value, Unit::named(&unit.text)?),
            None => Quantity::ratio(*value),
        };
        (step.dimension == self.dimension() && step.value > 0.0 && step.value.is_finite()).then_some(step)
    }
}
