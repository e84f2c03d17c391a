//! The same sheet with something in it different, without reading it again: what a search asks
//! hundreds of times.

use std::sync::Arc;

use super::known::Known;
use super::{FeatureId, FieldNumber, Model, Written};
use crate::source::Span;
use crate::syntax::edit::{add_length, set_number};
use crate::syntax::tree::{self, Expr};

/// One thing that is different.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum Variation {
    /// The number at a place, in the unit that it is written in, in every field that it decides.
    Number {
        /// Where it is.
        at: Span,
        /// Its other value.
        value: f64,
    },
    /// A length added to the expression at a place, in every field that it decides.
    Added {
        /// Where the expression is.
        at: Span,
        /// The length with its unit.
        length: Expr,
    },
    /// What one field says, whether it said something before or not.
    Says {
        /// The feature.
        feature: FeatureId,
        /// Which of its fields.
        field: usize,
        /// What it says instead.
        value: Arc<tree::Value>,
    },
    /// The profile that a feature takes its values from.
    Profile {
        /// The feature.
        feature: FeatureId,
        /// The other profile.
        name: String,
    },
}

impl Variation {
    /// Whether it changes in which form something is stated, or that it is.
    #[must_use]
    pub fn restates(&self) -> bool {
        !matches!(self, Self::Number { .. })
    }
}

enum Undo {
    Field(FeatureId, usize, Option<Written>),
    Profile(FeatureId, Option<String>),
}

impl Model<'_> {
    /// Looks at the sheet as it would be with the variations; afterwards it is as it was. Only what
    /// follows from them is worked out anew, so that the model must [`follow`](Model::follow) who reads whom.
    pub fn varied<T>(&mut self, variations: &[Variation], look: impl FnOnce(&Self) -> T) -> T {
        let follow = self.follows(variations);
        let mut undo = Vec::new();
        for variation in variations {
            self.vary(variation, &mut undo);
        }
        let known: Vec<(FieldNumber, Known)> =
            follow.into_iter().map(|field| (field, self.take_known(field))).collect();
        let told = self.told.take();
        self.begin_aside();
        let seen = look(self);
        for field in self.end_aside() {
            self.take_known(field);
        }
        for step in undo.into_iter().rev() {
            match step {
                Undo::Field(id, index, before) => self.features[id.0].fields[index].written = before,
                Undo::Profile(id, before) => self.features[id.0].profile = before,
            }
        }
        for (field, known) in known {
            self.put_known(field, known);
        }
        self.told.replace(told);
        self.faults.take();
        seen
    }

    /// A field that says something else, and with it those that have it from this one: copies made with `like`.
    #[must_use]
    pub fn says(&self, feature: FeatureId, field: usize, value: tree::Value) -> Vec<Variation> {
        let stated = |id: FeatureId, index: usize| self.feature(id).fields[index].written.as_ref();
        let own = stated(feature, field).map(|written| &written.value);
        let is_meant = |id: FeatureId, index: usize| {
            let shares = || own.zip(stated(id, index)).is_some_and(|(own, other)| Arc::ptr_eq(own, &other.value));
            (id, index) == (feature, field) || shares()
        };
        let value = Arc::new(value);
        let fields = self.ids().flat_map(|(id, feature)| (0..feature.fields.len()).map(move |index| (id, index)));
        fields
            .filter(|(id, index)| is_meant(*id, *index))
            .map(|(feature, field)| Variation::Says { feature, field, value: Arc::clone(&value) })
            .collect()
    }

    /// The fields that may come to something else with the variations, in their order.
    #[must_use]
    pub fn follows(&self, variations: &[Variation]) -> Vec<FieldNumber> {
        let fields = variations.iter().flat_map(|variation| self.changes(variation));
        let roots: Vec<FieldNumber> = fields.map(|field| self.number_of(field)).collect();
        self.following(roots)
    }

    /// Whether a variation changes what a sheet that brings this one in takes over from it.
    #[must_use]
    pub fn is_shared(&self, variation: &Variation) -> bool {
        self.changes(variation).into_iter().any(|(id, _)| {
            let top = self.outward(id).take_while(|id| *id != Self::SHEET).last();
            top.is_some_and(|top| self.feature(top).block.is_shared())
        })
    }

    /// The fields that a variation itself changes.
    fn changes(&self, variation: &Variation) -> Vec<(FeatureId, usize)> {
        match variation {
            Variation::Number { at, .. } | Variation::Added { at, .. } => self.stated_at(*at),
            Variation::Says { feature, field, .. } => vec![(*feature, *field)],
            Variation::Profile { feature, .. } => {
                let fields = |id: FeatureId| (0..self.feature(id).fields.len()).map(move |index| (id, index));
                self.profiled_with(*feature).into_iter().flat_map(fields).collect()
            }
        }
    }

    /// A feature that takes its values from a profile, and its copies.
    fn profiled_with(&self, feature: FeatureId) -> Vec<FeatureId> {
        let at = self.feature(feature).name_span;
        self.ids().filter(|(_, copy)| copy.name_span == at).map(|(id, _)| id).collect()
    }

    fn vary(&mut self, variation: &Variation, undo: &mut Vec<Undo>) {
        match variation {
            Variation::Number { at, value } => self.restate(*at, undo, |stated| set_number(stated, *at, *value)),
            Variation::Added { at, length } => self.restate(*at, undo, |stated| add_length(stated, *at, length)),
            Variation::Says { feature, field, value } => {
                let before = self.features[feature.0].fields[*field].written.take();
                let name_span = before.as_ref().map_or(value.span, |written| written.name_span);
                let scope = before.as_ref().map_or(*feature, |written| written.scope);
                let class = before.as_ref().and_then(|written| written.class.clone());
                let written = Written { name_span, value: Arc::clone(value), scope, class, mirrored: [false; 3] };
                self.features[feature.0].fields[*field].written = Some(written);
                undo.push(Undo::Field(*feature, *field, before));
            }
            Variation::Profile { feature, name } => {
                for id in self.profiled_with(*feature) {
                    undo.push(Undo::Profile(id, self.features[id.0].profile.replace(name.clone())));
                }
            }
        }
    }

    /// Copies made by `like` share what is written: all of them change.
    fn restate(&mut self, at: Span, undo: &mut Vec<Undo>, change: impl Fn(&mut tree::Value) -> bool) {
        for (id, index) in self.stated_at(at) {
            let Some(written) = self.features[id.0].fields[index].written.as_mut() else { continue };
            let mut value = (*written.value).clone();
            if change(&mut value) {
                let before = written.clone();
                written.value = Arc::new(value);
                undo.push(Undo::Field(id, index, Some(before)));
            }
        }
    }
}
