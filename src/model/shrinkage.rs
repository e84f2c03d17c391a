//! What a drawn dimension loses as the material cools.

use super::evaluate::Failure;
use super::printed::{MACHINES, MATERIALS};
use super::{FeatureId, Model, Value};
use crate::geometry::{Vector, alignment};
use crate::quantity::Quantity;
use crate::vocabulary::Makes;

impl Model<'_> {
    /// What a dimension loses by the material's shrinkage, beyond what the machine's biases hold of it already:
    /// `s d - min(s, s0) min(d, d0)`, of which the share that lies in the plane of the layers counts. `None` where no
    /// material is named, or what prepares the print makes up for it.
    ///
    /// Biases are found on test pieces of some length `d0` and of a material that shrinks by `s0`: up to that length,
    /// and as far as the material shrinks no more than that one, shrinkage would be counted twice.
    /// Where no bias is added, none holds any of it.
    pub(super) fn shrunk(
        &self,
        id: FeatureId,
        drawn: &Quantity,
        flat: f64,
        makes: Option<Makes>,
    ) -> Result<Option<Quantity>, Failure> {
        if flat <= 0.0 || self.compensates(id) {
            return Ok(None);
        }
        let Some(shrinkage) = self.profiled_value(id, MATERIALS, "shrinkage")? else { return Ok(None) };
        let of_bias = self.machine_value(id, "bias-shrinkage")?.unwrap_or_else(|| Quantity::ratio(0.0));
        let up_to = match makes {
            Some(Makes::Spacing) => 0.0,
            _ => self.machine_value(id, "bias-length")?.map_or(0.0, |length| length.value.min(drawn.value)),
        };
        let known = if shrinkage.value < of_bias.value { shrinkage.clone() } else { of_bias };
        let lost = shrinkage.scaled(drawn.value * flat).subtract(&known.scaled(up_to * flat));
        let lost = lost.map_err(|_| Failure::Reported)?;
        Ok(Some(Quantity { dimension: drawn.dimension, unit: drawn.unit, ..lost }))
    }

    /// Whether the machine that applies to a feature says that shrinkage is made up for.
    fn compensates(&self, id: FeatureId) -> bool {
        let machine = self.profiled(id, MACHINES);
        let flag = machine.and_then(|machine| Some((machine, self.field(machine, "compensates")?)));
        flag.is_some_and(|(machine, flag)| matches!(self.value_of(machine, flag), Ok(Value::Flag(true))))
    }
}

/// The share of a dimension that lies in the plane of the layers, and shrinks: a height does not, since what is laid on
/// later takes up what was lost. It is the sine's square of the dimension's angle from upright; of a hole's diameter all
/// where its axis stands up, half where it lies down.
pub(super) fn flat(makes: Makes, direction: Option<Vector>, up: Option<Vector>) -> f64 {
    let upright = direction.zip(up).map(|(direction, up)| alignment(direction, up).powi(2));
    let share = match makes {
        Makes::Hole => f64::midpoint(1.0, upright.unwrap_or(1.0)),
        Makes::Outside | Makes::Inside | Makes::Spacing => 1.0 - upright.unwrap_or(0.0),
    };
    if share < 1e-12 { 0.0 } else { share }
}
