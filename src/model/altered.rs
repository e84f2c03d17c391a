//! The same sheet with a value changed, and what depends on it.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use super::{Feature, FeatureId, Field, Model, Written};
use crate::syntax::tree;

/// A value to put in the place of another.
#[derive(Debug, Clone)]
pub struct Change {
    /// The feature.
    pub feature: FeatureId,
    /// The field, by its index among the feature's.
    pub field: usize,
    /// What the sheet is to say there.
    pub value: tree::Value,
}

impl Model<'_> {
    /// The same sheet with some values changed. Where a copy made with `like` has its value from a
    /// changed field, the copy changes too. Faults that were found while the sheet was read are not
    /// repeated; those that the changes bring are reported here.
    #[must_use]
    pub fn altered(&self, changes: &[Change]) -> Self {
        let mut model = Self {
            vocabulary: self.vocabulary,
            features: self.features.iter().map(untouched).collect(),
            faults: RefCell::default(),
            inputs: RefCell::default(),
            depth: Cell::new(0),
            nested: Cell::new(0),
            suggested: Cell::new(0),
            draws: RefCell::default(),
            draw: Cell::new(0),
            unsure: Cell::new(false),
            touched: Cell::new(false),
            trail: RefCell::default(),
        };
        for change in changes {
            model.change(change);
        }
        model
    }

    fn change(&mut self, change: &Change) {
        let Some(field) = self.features[change.feature.0].fields.get(change.field) else { return };
        let before = field.written.as_ref().map(|written| Rc::clone(&written.value));
        let value = Rc::new(change.value.clone());
        let shared = |field: &Field| match (&before, &field.written) {
            (Some(before), Some(written)) => Rc::ptr_eq(before, &written.value),
            _ => false,
        };
        for (index, feature) in self.features.iter_mut().enumerate() {
            for (place, field) in feature.fields.iter_mut().enumerate() {
                let itself = index == change.feature.0 && place == change.field;
                if itself || shared(field) {
                    let name_span = field.written.as_ref().map_or(feature.name_span, |written| written.name_span);
                    let scope = field.written.as_ref().map_or(change.feature, |written| written.scope);
                    let class = field.written.as_ref().and_then(|written| written.class.clone());
                    field.written = Some(Written { name_span, value: Rc::clone(&value), class, scope });
                    field.depends.set(true);
                }
            }
        }
    }

    /// Runs something, and says whether it read any value that was changed, or that follows from one.
    /// What did not is the same whatever is put there: evaluation depends on nothing else.
    pub fn noticing<T>(&self, run: impl FnOnce() -> T) -> (T, bool) {
        let outer = self.touched.replace(false);
        let result = run();
        let touched = self.touched.get();
        self.touched.set(outer || touched);
        (result, touched)
    }

    /// Notes that a value was read.
    pub(super) fn notice(&self, depends: &Cell<bool>) {
        if depends.get() {
            self.touched.set(true);
        }
    }

    /// The fields that were changed, or follow from one that was, among those that the sheet states.
    #[must_use]
    pub fn dependent(&self) -> Vec<(FeatureId, usize)> {
        let mut found = Vec::new();
        for (id, feature) in self.ids() {
            for (index, field) in feature.fields.iter().enumerate().filter(|(_, field)| field.written.is_some()) {
                // Its fault, if it has one, is reported by the model itself.
                let _ = self.value_of(id, field);
                if field.depends.get() {
                    found.push((id, index));
                }
            }
        }
        found
    }
}

fn untouched<'v>(feature: &Feature<'v>) -> Feature<'v> {
    let copy =
        |field: &Field<'v>| Field { written: field.written.clone(), ..Field::new(field.name.clone(), field.about) };
    Feature {
        block: feature.block,
        name: feature.name.clone(),
        name_span: feature.name_span,
        span: feature.span,
        parent: feature.parent,
        children: feature.children.clone(),
        fields: feature.fields.iter().map(copy).collect(),
        like: feature.like,
        profile: feature.profile.clone(),
        imported: feature.imported,
        uses: Cell::new(feature.uses.get()),
        attempted: feature.attempted.clone(),
        incomplete: feature.incomplete,
    }
}
