//! What a field or an expression can come to.

use std::sync::Arc;

use super::FeatureId;
use crate::geometry::{Vector, leaning};
use crate::quantity::{ArithmeticError, Quantity, Unit, number};
use crate::syntax::tree::Comparator;

/// A value.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Value {
    /// A number with its unit and uncertainty.
    Quantity(Quantity),
    /// Lengths along x, y and z.
    Size(Box<[Quantity; 3]>),
    /// Distances along x, y and z from where its part counts places from.
    Place(Box<[Quantity; 3]>),
    /// A unit vector in the part's axes.
    Direction(Vector),
    /// A text or a word.
    Text(Arc<str>),
    /// Yes or no.
    Flag(bool),
    /// A feature.
    Feature(FeatureId),
    /// A comparison of quantities, with by how much it holds or fails.
    Margin(Box<Margin>),
}

impl Value {
    /// What kind of value it is, in words.
    #[must_use]
    pub fn describe(&self) -> String {
        match self {
            Self::Quantity(quantity) => quantity.dimension.describe(),
            Self::Size(_) => "a size".into(),
            Self::Place(_) => "a place".into(),
            Self::Direction(_) => "a direction".into(),
            Self::Text(_) => "a word or text".into(),
            Self::Flag(_) => "yes or no".into(),
            Self::Feature(_) => "a feature".into(),
            Self::Margin(_) => "a comparison".into(),
        }
    }

    /// The value as a reader would write it.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Quantity(quantity) => quantity.text(),
            Self::Size(size) => in_one_unit(size, " x "),
            Self::Place(place) => in_one_unit(place, ", "),
            Self::Direction(vector) => direction_text(*vector),
            Self::Text(text) => text.to_string(),
            Self::Flag(flag) => if *flag { "yes" } else { "no" }.into(),
            Self::Feature(_) => "a feature".into(),
            Self::Margin(margin) => margin.text(),
        }
    }

    /// Whether it depends on anything uncertain.
    #[must_use]
    pub fn moves(&self) -> bool {
        let moves = |quantity: &Quantity| !quantity.terms.is_empty();
        match self {
            Self::Quantity(quantity) => moves(quantity),
            Self::Size(lengths) | Self::Place(lengths) => lengths.iter().any(moves),
            Self::Margin(margin) => moves(&margin.left) || moves(&margin.right),
            _ => false,
        }
    }

    /// Whether a condition holds; `None` for what is no condition.
    #[must_use]
    pub fn holds(&self) -> Option<bool> {
        match self {
            Self::Flag(flag) => Some(*flag),
            Self::Margin(margin) => Some(margin.holds),
            _ => None,
        }
    }
}

fn in_one_unit(lengths: &[Quantity; 3], between: &str) -> String {
    let unit = lengths[0].shown_unit();
    let shown = lengths.each_ref().map(|q| number(unit.map_or(q.value, |u| u.show(q.value))));
    format!("{}{}", shown.join(between), unit.map_or(String::new(), |u| format!(" {}", u.name)))
}

/// `+x`, or `-z tilted 30 deg toward +x`; components where it lies along no plane of two axes.
fn direction_text(vector: Vector) -> String {
    let named = |axis: usize| format!("{}{}", if vector[axis] < 0.0 { "-" } else { "+" }, ["x", "y", "z"][axis]);
    match leaning(vector).as_slice() {
        [only] => named(*only),
        [from, to] => {
            let tilt = vector[*to].abs().atan2(vector[*from].abs()).to_degrees();
            format!("{} tilted {} deg toward {}", named(*from), number(tilt), named(*to))
        }
        _ => format!("({}, {}, {})", number(vector[0]), number(vector[1]), number(vector[2])),
    }
}

/// A comparison of two quantities of one dimension.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Margin {
    /// What is compared.
    pub left: Quantity,
    /// How.
    pub comparator: Comparator,
    /// What it is compared with.
    pub right: Quantity,
    /// How far it is from failing, with its uncertainty; negative where it fails.
    pub room: Quantity,
    /// Whether it holds.
    pub holds: bool,
}

impl Margin {
    /// Compares two quantities.
    ///
    /// # Errors
    /// Where their dimensions differ.
    pub fn new(left: Quantity, comparator: Comparator, right: Quantity) -> Result<Self, ArithmeticError> {
        let difference = right.subtract(&left).map_err(|error| match error {
            ArithmeticError::Mismatch { left, right } => ArithmeticError::Mismatch { left: right, right: left },
            other => other,
        })?;
        // Both sides read in one unit: the left one's, unless there is nothing of it or the right one is the author's
        // inch and the left one a table's millimetre.
        let inches = right.unit.is_some_and(Unit::is_customary) && !left.unit.is_some_and(Unit::is_customary);
        let right_first = left.value == 0.0 || inches;
        let unit = if right_first { right.unit.or(left.unit) } else { left.unit.or(right.unit) };
        let (left, right) = (Quantity { unit, ..left }, Quantity { unit, ..right });
        let difference = Quantity { unit: unit.filter(|unit| !unit.is_point()), ..difference };
        let room = match comparator {
            Comparator::Less | Comparator::AtMost => difference,
            Comparator::Greater | Comparator::AtLeast => difference.negated()?,
            Comparator::Equal | Comparator::Unequal => Quantity { value: -difference.value.abs(), ..difference },
        };
        // Sums of decimal fractions must not fail by the last bit: 0.1 + 0.2 <= 0.3 holds.
        let slack = 1e-9 * left.value.abs().max(right.value.abs()).max(1e-9);
        let holds = match comparator {
            Comparator::AtMost | Comparator::AtLeast | Comparator::Equal => room.value >= -slack,
            Comparator::Less | Comparator::Greater => room.value > slack,
            Comparator::Unequal => room.value < -slack,
        };
        Ok(Self { left, comparator, right, room, holds })
    }

    /// The room as a share of what it is compared with; plain room where that is zero.
    #[must_use]
    pub fn share(&self) -> f64 {
        let scale = self.right.value.abs();
        if scale > 0.0 { self.room.value / scale } else { self.room.value }
    }

    /// Whether it is nearer to failing than another, or fails by more: by how many of its standard uncertainties, and of what
    /// is certain by its share.
    pub(super) fn is_nearer_than(&self, other: &Self) -> bool {
        if self.holds != other.holds {
            return other.holds;
        }
        let far = |margin: &Self| {
            let uncertainty = margin.room.uncertainty();
            if uncertainty > 0.0 { margin.room.value.abs() / uncertainty } else { f64::INFINITY }
        };
        let [own, others] = [self, other].map(far);
        let is_less = if own.is_finite() || others.is_finite() {
            own <= others
        } else {
            self.share().abs() <= other.share().abs()
        };
        is_less == self.holds
    }

    /// The comparison with its numbers: `0.6 mm >= 0.84 mm`.
    #[must_use]
    pub fn text(&self) -> String {
        format!("{} {} {}", self.left, self.comparator.symbol(), self.right)
    }
}
