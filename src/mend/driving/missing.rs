//! Fields that the sheet leaves out: they can be written after another field of their block.

use super::trace::Trace;
use super::{DrivingDimension, Set, last_said};
use crate::mend::increments::Increments;
use crate::model::{Evaluation, FeatureId, Value};
use crate::quantity::{Dimension, Quantity};
use crate::rules::Fixed;
use crate::vocabulary::FieldKind;

impl Trace<'_, '_> {
    /// A field that the sheet leaves to its default: it can be written after another field of its block.
    pub(super) fn missing(&mut self, id: FeatureId, index: usize) {
        let feature = self.model.feature(id);
        let field = &feature.fields[index];
        let path = self.model.field_path(id, field);
        if feature.profile.is_some() && feature.block.profile.is_some() {
            let profile = feature.profile.as_deref().unwrap_or_default().to_owned();
            self.fixed(path, Fixed::Profile(profile));
            return;
        }
        let FieldKind::Quantity(unit) = &field.about.kind else { return };
        let value = match self.model.value_of(id, field) {
            Ok(Value::Quantity(value)) => value,
            _ if self.is_nothing((id, index)) => Quantity::exact(0.0, Dimension::LENGTH),
            _ => return,
        };
        let Some((after, end)) = last_said(self.model, id) else { return };
        // In the unit that its block writes such values in.
        let written = feature.fields.iter().filter(|own| own.written.is_some()).find_map(|own| {
            match self.model.value_of(id, own) {
                Ok(Value::Quantity(own)) if own.dimension == value.dimension => own.unit,
                _ => None,
            }
        });
        let unit = written.or(*unit);
        let value = unit.map_or(value.value, |unit| unit.show(value.value));
        let set = Set::Missing { word: field.name.clone(), after, end };
        let grid = Increments::of(self.model, id, field.about, unit, value);
        let order = self.order;
        let place = DrivingDimension { name: path, grid, negative: false, unit, set, field: (id, index), order };
        self.places.list.push(place);
    }

    /// A length that may be nothing is nothing where no line means to say it: a chamfer of no width.
    fn is_nothing(&self, (id, index): (FeatureId, usize)) -> bool {
        let field = &self.model.feature(id).fields[index];
        let least = field.about.at_least.as_ref().and_then(|least| least.expr().ok());
        let least = least.and_then(|least| Evaluation::of_data(self.model, id).quantity(least).ok());
        let from_zero = least.is_some_and(|least| least.dimension == Dimension::LENGTH && least.value == 0.0);
        from_zero && self.model.is_unsaid(id, field)
    }
}
