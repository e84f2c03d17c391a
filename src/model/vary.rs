//! The same sheet with something in it different, without reading it again: what a search asks
//! hundreds of times.

use std::cell::{Cell, OnceCell};
use std::rc::Rc;

use super::{FeatureId, Field, Model, State, Written};
use crate::source::Span;
use crate::syntax::edit::set_number;
use crate::syntax::tree;

/// One thing that is different.
#[derive(Debug, Clone)]
pub enum Variation {
    /// The number at a place, in the unit that it is written in, in every field that it decides.
    Number {
        /// Where it stands.
        at: Span,
        /// Its other value.
        value: f64,
    },
    /// What one field says, whether it said something before or not.
    Says {
        /// The feature.
        feature: FeatureId,
        /// Which of its fields.
        field: usize,
        /// What it says instead.
        value: Rc<tree::Value>,
    },
    /// The profile that a feature takes its values from.
    Profile {
        /// The feature.
        feature: FeatureId,
        /// The other profile.
        name: String,
    },
}

enum Undo {
    Field(FeatureId, usize, Option<Written>),
    Profile(FeatureId, Option<String>),
}

impl Model<'_> {
    /// Looks at the sheet as it would be with the variations; afterwards it is as it was.
    pub fn varied<T>(&mut self, variations: &[Variation], look: impl FnOnce(&Self) -> T) -> T {
        let mut undo = Vec::new();
        for variation in variations {
            self.vary(variation, &mut undo);
        }
        self.forget();
        let seen = look(self);
        for step in undo.into_iter().rev() {
            match step {
                Undo::Field(id, index, before) => self.features[id.0].fields[index].written = before,
                Undo::Profile(id, before) => self.features[id.0].profile = before,
            }
        }
        self.forget();
        seen
    }

    fn vary(&mut self, variation: &Variation, undo: &mut Vec<Undo>) {
        match variation {
            Variation::Number { at, value } => self.set_numbers(*at, *value, undo),
            Variation::Says { feature, field, value } => {
                let before = self.features[feature.0].fields[*field].written.take();
                let name_span = before.as_ref().map_or(value.span, |written| written.name_span);
                let scope = before.as_ref().map_or(*feature, |written| written.scope);
                let class = before.as_ref().and_then(|written| written.class.clone());
                let written = Written { name_span, value: Rc::clone(value), scope, class };
                self.features[feature.0].fields[*field].written = Some(written);
                undo.push(Undo::Field(*feature, *field, before));
            }
            Variation::Profile { feature, name } => {
                let at = self.feature(*feature).name_span;
                let copies = self.features.iter_mut().enumerate().filter(|(_, copy)| copy.name_span == at);
                for (id, copy) in copies {
                    undo.push(Undo::Profile(FeatureId(id), copy.profile.replace(name.clone())));
                }
            }
        }
    }

    /// Copies made by `like` share what is written: all of them change.
    fn set_numbers(&mut self, at: Span, number: f64, undo: &mut Vec<Undo>) {
        let holds = |span: Span| span.source == at.source && span.start <= at.start && at.end <= span.end;
        for (id, feature) in self.features.iter_mut().enumerate() {
            for (index, field) in feature.fields.iter_mut().enumerate() {
                let Some(written) = field.written.as_mut().filter(|written| holds(written.value.span)) else {
                    continue;
                };
                let mut value = (*written.value).clone();
                if set_number(&mut value, at, number) {
                    let before = written.clone();
                    written.value = Rc::new(value);
                    undo.push(Undo::Field(FeatureId(id), index, Some(before)));
                }
            }
        }
    }

    /// Forgets every value that was worked out.
    fn forget(&mut self) {
        for field in self.features.iter_mut().flat_map(|feature| &mut feature.fields) {
            field.forget();
        }
        self.inputs.take();
        self.faults.take();
    }
}

impl Field<'_> {
    fn forget(&mut self) {
        if self.state.replace(State::Untouched) == State::Untouched {
            return;
        }
        self.state = Cell::new(State::Untouched);
        self.value = OnceCell::new();
        self.printed = OnceCell::new();
    }
}
