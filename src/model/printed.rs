//! What the machine makes of a drawn dimension.

use super::evaluate::{Failure, Mode};
use super::{FeatureId, Field, Model, Value};
use crate::quantity::{Input, Quantity};
use crate::vocabulary::{Block, FieldKind, Makes};

/// Cosine above which a dimension counts as lying along the direction of the layers' stack: 1 degree.
const ALONG: f64 = 0.999_85;

impl<'v> Model<'v> {
    /// A field's value with the machine's bias and spread on every drawn dimension in it.
    ///
    /// # Errors
    /// As for [`Model::value_of`].
    pub fn printed(&self, id: FeatureId, field: &Field<'v>) -> Result<Value, Failure> {
        let drawn = self.value_of(id, field)?;
        if let Some(known) = field.printed.get() {
            return Ok(known.clone());
        }
        let feature = self.feature(id);
        let printed = match field.about.makes {
            Some(makes) if self.is_drawn(id) => self.with_deviation(id, field, makes, drawn)?,
            _ if is_calculation(field) && feature.block.open.is_none() => {
                self.written_value(id, field, Mode::Printed)?
            }
            _ => drawn,
        };
        Ok(field.printed.get_or_init(|| printed).clone())
    }

    fn with_deviation(&self, id: FeatureId, field: &Field, makes: Makes, drawn: Value) -> Result<Value, Failure> {
        match drawn {
            Value::Quantity(quantity) => {
                let along = field.about.along.as_deref();
                let direction = along.and_then(|name| self.direction(id, name));
                let kind = self.deviation_kind(id, makes, direction);
                self.deviated(id, field, kind, quantity).map(Value::Quantity)
            }
            Value::Size(size) => {
                let mut lengths = *size;
                for (axis, length) in lengths.iter_mut().enumerate() {
                    let mut direction = [0.0; 3];
                    direction[axis] = 1.0;
                    let kind = self.deviation_kind(id, makes, Some(direction));
                    *length = self.deviated(id, field, kind, length.clone())?;
                }
                Ok(Value::Size(Box::new(lengths)))
            }
            other => Ok(other),
        }
    }

    /// Heights are made by layers, whatever else they are.
    fn deviation_kind(&self, id: FeatureId, makes: Makes, direction: Option<[f64; 3]>) -> &'static str {
        let up = self.outward(id).find_map(|id| self.direction(id, "up"));
        let upright =
            direction.zip(up).is_some_and(|(a, b)| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>().abs() > ALONG);
        match makes {
            _ if upright => "height",
            Makes::Outside => "outside",
            Makes::Inside => "inside",
            Makes::Hole => "hole",
        }
    }

    fn direction(&self, id: FeatureId, name: &str) -> Option<[f64; 3]> {
        let field = self.field(id, name)?;
        match self.value_of(id, field) {
            Ok(Value::Direction(vector)) => Some(vector),
            _ => None,
        }
    }

    /// Bias added; spread as an input of its own, unless the drawn tolerance is wider.
    fn deviated(&self, id: FeatureId, field: &Field, kind: &str, drawn: Quantity) -> Result<Quantity, Failure> {
        let (Some(bias), Some(spread)) =
            (self.machine_value(id, &format!("{kind}-bias"))?, self.machine_value(id, &format!("{kind}-spread"))?)
        else {
            return Ok(drawn);
        };
        let unit = drawn.unit;
        let tolerance = drawn.uncertainty();
        let nominal = if tolerance >= spread.value { drawn } else { drawn.frozen() };
        let shifted = nominal.add(&bias).map_err(|_| Failure::Reported)?;
        let result = Quantity { unit, ..shifted };
        if tolerance >= spread.value {
            return Ok(result);
        }
        let label = format!("machine's {kind} spread on {}", self.field_path(id, field));
        let input = Input::scatter(label, spread.value, Some(self.place_of(id, field)));
        Ok(result.with_input(self.add_input(input), spread.value))
    }

    /// A value of the machine that applies to a feature; `None` where no machine is named.
    fn machine_value(&self, id: FeatureId, name: &str) -> Result<Option<Quantity>, Failure> {
        let is_machine = |block: &Block| block.profile.as_deref() == Some("machines");
        let machine = self.outward(id).find_map(|id| self.feature(id).children.first(is_machine));
        let Some((machine, field)) = machine.and_then(|id| Some((id, self.field(id, name)?))) else {
            return Ok(None);
        };
        match self.value_of(machine, field) {
            Ok(Value::Quantity(quantity)) => Ok(Some(quantity)),
            Err(Failure::Absent(_)) | Ok(_) => Ok(None),
            Err(failure) => Err(failure),
        }
    }
}

fn is_calculation(field: &Field) -> bool {
    field.written.is_some()
        && matches!(field.about.kind, FieldKind::Quantity(_) | FieldKind::Dimension | FieldKind::Any)
}
