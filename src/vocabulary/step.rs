//! What the steps of `rules/steps.yaml` are of.

use crate::pack::Formula;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::ExprKind;

/// A kind of value that is drawn in steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepOf {
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A whole number without a unit.
    Count,
    /// Anything else, of which the step is a share.
    Share,
}

impl StepOf {
    pub(super) const ALL: [Self; 4] = [Self::Length, Self::Angle, Self::Count, Self::Share];

    /// Its word in the data.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Angle => "angle",
            Self::Count => "count",
            Self::Share => "share",
        }
    }

    /// How it is written.
    pub(super) fn example(self) -> &'static str {
        match self {
            Self::Length => "length: {value: 0.25 mm}",
            Self::Angle => "angle: {value: 5 deg}",
            Self::Count => "count: {value: \"1\"}",
            Self::Share => "share: {value: 10 %}",
        }
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Length => Dimension::LENGTH,
            Self::Angle => Dimension::ANGLE,
            Self::Count | Self::Share => Dimension::NONE,
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
