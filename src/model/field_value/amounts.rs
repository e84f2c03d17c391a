//! Fields that hold numbers with units: quantities, sizes and places.

use super::misfit::{bare_number, last_number};
use super::{Conversion, Outcome};
use crate::fault::{BareWay, ValueFault};
use crate::model::{Failure, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::source::Span;
use crate::syntax::tree::{self, Expr, ExprKind, ValueKind};

impl Conversion<'_, '_> {
    pub(super) fn quantity(&self, value: &tree::Value, unit: Option<&'static Unit>) -> Outcome<Quantity> {
        if let (None, ValueKind::Plain(Expr { kind: ExprKind::Number { value, unit: Some(name) }, .. })) =
            (unit, &value.kind)
            && Unit::named(&name.text).is_none()
        {
            let (field, word) = (self.called(), name.text.clone());
            let code = ValueFault::NoUnitHere { field, number: value.to_string(), word };
            return Err(Failure::fault(code.at(name.span)));
        }
        let found = match &value.kind {
            ValueKind::Plain(expr) => match self.evaluation.value(expr)? {
                Value::Quantity(quantity) => self.as_drawn(quantity),
                other => return Err(self.wrong_kind(&other, value)),
            },
            ValueKind::Size(_) | ValueKind::Place(_) | ValueKind::Direction { .. } => {
                return Err(self.wrong_form(value));
            }
            ValueKind::Bound { at, .. } => return Err(self.not_drawn(value.span, at)),
            _ => self.uncertain(value)?,
        };
        let found = self.as_weight(found);
        self.check_unit(&found, unit, value)?;
        Ok(found)
    }

    /// What a mass pulls with, where one stands for a force: by the standard acceleration of free fall, 9.806 65 m/s2
    /// (3rd General Conference on Weights and Measures, 1901).
    fn as_weight(&self, found: Quantity) -> Quantity {
        if !self.field.about.weighs || found.dimension != Dimension::MASS {
            return found;
        }
        let pull = found.scaled(FREE_FALL);
        Quantity { dimension: Dimension::FORCE, unit: Unit::usual(Dimension::FORCE, false), ..pull }
    }

    /// What is drawn is not known to one side only.
    fn not_drawn(&self, at: Span, bound: &Expr) -> Failure {
        let field = &self.field.name;
        let number = match &bound.kind {
            ExprKind::Number { value, unit: Some(unit) } => Some(format!("{value} {}", unit.text)),
            _ => None,
        };
        Failure::fault(ValueFault::BoundOfDrawn { field: field.clone(), number }.at(at))
    }

    /// A quantity of any dimension, but with its unit.
    pub(super) fn dimension(&self, value: &tree::Value) -> Outcome<Quantity> {
        let found = match &value.kind {
            ValueKind::Plain(expr) => self.evaluation.quantity(expr)?,
            _ => self.uncertain(value)?,
        };
        match (found.dimension, bare_number(value)) {
            (Dimension::NONE, Some(number)) => {
                let way = match &value.kind {
                    ValueKind::Between { .. } | ValueKind::Measured { .. } => {
                        BareWay::Last(format!("{} mm", last_number(value)))
                    }
                    _ => BareWay::Meant(format!("{number} mm")),
                };
                Err(Failure::fault(ValueFault::NoUnit { field: self.called(), way }.at(value.span)))
            }
            _ => Ok(found),
        }
    }

    pub(super) fn size(&self, value: &tree::Value, unit: &'static Unit) -> Outcome<Value> {
        let size = match &value.kind {
            ValueKind::Size(extents) => self.extents(extents)?,
            ValueKind::Plain(expr) => self.evaluation.value(expr)?,
            _ => return Err(self.wrong_form(value)),
        };
        let Value::Size(lengths) = &size else { return Err(self.wrong_kind(&size, value)) };
        for length in lengths.iter() {
            self.check_unit(length, Some(unit), value)?;
        }
        Ok(size)
    }

    pub(super) fn extents(&self, extents: &[Expr]) -> Outcome<Value> {
        self.three(extents, |count| ValueFault::ThreeLengths { count }).map(Value::Size)
    }

    pub(super) fn place(&self, value: &tree::Value, unit: &'static Unit) -> Outcome<Value> {
        let place = match &value.kind {
            ValueKind::Place(distances) => self.distances(distances)?,
            ValueKind::Plain(expr) => self.evaluation.value(expr)?,
            _ => return Err(self.wrong_form(value)),
        };
        let Value::Place(distances) = &place else { return Err(self.wrong_kind(&place, value)) };
        for distance in distances.iter() {
            self.check_unit(distance, Some(unit), value)?;
        }
        Ok(place)
    }

    pub(super) fn distances(&self, distances: &[Expr]) -> Outcome<Value> {
        self.three(distances, |count| ValueFault::ThreeDistances { count }).map(Value::Place)
    }

    /// Lengths along x, y and z.
    fn three(&self, all: &[Expr], unless: impl Fn(usize) -> ValueFault) -> Outcome<Box<[Quantity; 3]>> {
        let span = all.first().zip(all.last()).map(|(first, last)| first.span.to(last.span));
        let lengths: Outcome<Vec<Quantity>> =
            all.iter().map(|one| self.evaluation.quantity(one).map(|length| self.as_drawn(length))).collect();
        <[Quantity; 3]>::try_from(lengths?).map(Box::new).map_err(|lengths| {
            let at = span.unwrap_or(self.evaluation.model.feature(self.evaluation.feature).span);
            Failure::fault(unless(lengths.len()).at(at))
        })
    }
}

/// One newton a kilogram is 1000 mm/s2.
const FREE_FALL: f64 = 9806.65;
