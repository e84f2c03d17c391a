//! What a machine would make of a drawn dimension if it had no bias: what readings are held against.

use super::evaluate::Evaluation;
use super::field_value::Conversion;
use super::printed::{MACHINES, MATERIALS, deviations};
use super::shrinkage::flat;
use super::{FeatureId, Field, Model, Value};
use crate::quantity::Quantity;
use crate::vocabulary::{Makes, SourcedValue};

/// A drawn dimension as it would come out without the machine's bias.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Made {
    /// Its length in mm, with facets and shrinkage.
    pub length: f64,
    /// The kind of deviation that it takes, where that is one alone and has a bias: a tilted face takes parts of two.
    pub kind: Option<&'static str>,
}

impl<'v> Model<'v> {
    /// What a machine without bias would make of a dimension that is drawn so long, in mm; `axis` picks a size's extent.
    /// `None` for what no machine makes.
    #[must_use]
    pub fn made(&self, id: FeatureId, field: &Field<'v>, axis: Option<usize>, drawn: f64) -> Option<Made> {
        let makes = field.about.makes.filter(|_| self.is_drawn(id) && !self.is_finished(id, field))?;
        let up = self.outward(id).find_map(|id| self.direction(id, "up"));
        let along = field.about.along.as_deref().and_then(|name| self.direction(id, name));
        let direction = axis.map_or(along, |axis| Some(std::array::from_fn(|at| if at == axis { 1.0 } else { 0.0 })));
        let facets = if makes == Makes::Hole { self.facet_factor(id).ok()? } else { 1.0 };
        let Ok(Value::Quantity(like)) = self.first_length(id, field, axis) else { return None };
        let drawn = Quantity { value: drawn * facets, ..like.frozen() };
        let shrunk = self.shrunk(id, &drawn, flat(makes, direction, up), Some(makes)).ok()?;
        let length = drawn.value - shrunk.map_or(0.0, |shrunk| shrunk.value);
        let shares = deviations(makes, direction, up).into_iter().filter(|(_, _, share)| *share > 0.0);
        let kinds: Vec<(&'static str, f64, f64)> = shares.collect();
        let kind = match kinds.as_slice() {
            [(kind, of_bias, _)] if *of_bias > 0.0 => Some(*kind),
            _ => None,
        };
        Some(Made { length, kind })
    }

    fn first_length(&self, id: FeatureId, field: &Field<'v>, axis: Option<usize>) -> Result<Value, super::Failure> {
        match (self.value_of(id, field)?, axis) {
            (Value::Size(size), Some(axis)) => Ok(Value::Quantity(size[axis].clone())),
            (value, _) => Ok(value),
        }
    }

    /// What the shop's own readings say of a value of a feature's profile.
    pub(super) fn learnt_value(
        &self,
        id: FeatureId,
        section: &str,
        name: &str,
        field: &str,
    ) -> Option<&'v SourcedValue> {
        let vocabulary = self.vocabulary;
        if vocabulary.learnt.is_empty() {
            return None;
        }
        let material = if section == MACHINES {
            let around = self.feature(id).parent?;
            self.profiled(around, MATERIALS).and_then(|material| self.feature(material).profile.clone())?
        } else {
            String::new()
        };
        vocabulary.learnt_value(section, name, &material, field)
    }

    /// What a profile states for a field, by its section and name, as it was before anything was learnt.
    #[must_use]
    pub fn stated(&self, section: &str, name: &str, field: &str) -> Option<Quantity> {
        let formula = &self.vocabulary.profile_value(section, name, field)?.value;
        let block = self.vocabulary.blocks.iter().find(|block| block.profile.as_deref() == Some(section));
        match block.and_then(|block| block.field(field)) {
            Some(about) => {
                let field = Field::new(field.to_owned(), about, 0);
                let conversion = Conversion { evaluation: Evaluation::of_data(self, Model::SHEET), field: &field };
                match conversion.value(formula.value().ok()?).ok()? {
                    Value::Quantity(quantity) => Some(quantity),
                    _ => None,
                }
            }
            // An instrument's values are in no block.
            None => Evaluation::of_data(self, Model::SHEET).quantity(formula.expr().ok()?).ok(),
        }
    }
}
