//! A sheet without what its values come to, to compare the next state of its text with: where only values differ, it is
//! known which.

use std::collections::HashSet;

use super::{Feature, FeatureId, FieldNumber, Model, Replaced, Written};
use crate::pack::Words;
use crate::source::Span;

/// What a sheet says, and who read whom when it was judged.
#[derive(Debug)]
pub(crate) struct Outline {
    features: Vec<Outlined>,
    /// The features whose names were used.
    used: HashSet<FeatureId>,
    /// By field: those that were worked out from it.
    readers: Vec<Vec<FieldNumber>>,
}

/// A feature of it.
#[derive(Debug)]
struct Outlined {
    block: Words,
    name: String,
    name_span: Span,
    span: Span,
    parent: Option<FeatureId>,
    like: Option<FeatureId>,
    profile: Option<String>,
    attempted: HashSet<String>,
    incomplete: bool,
    imported: bool,
    /// How many fields it has, and the names of those that its kind does not have by itself.
    fields: usize,
    added: Vec<String>,
    written: Vec<(usize, Written)>,
}

impl Outlined {
    fn of(feature: Feature) -> Self {
        let (own, fields) = (feature.block.fields.len(), feature.fields.len());
        let added = feature.fields.iter().skip(own).map(|field| field.name.clone()).collect();
        let written = feature.fields.into_iter().filter_map(|field| Some((field.index, field.written?))).collect();
        Self {
            block: feature.block.name.clone(),
            name: feature.name,
            name_span: feature.name_span,
            span: feature.span,
            parent: feature.parent,
            like: feature.like,
            profile: feature.profile,
            attempted: feature.attempted,
            incomplete: feature.incomplete,
            imported: feature.imported,
            fields,
            added,
            written,
        }
    }

    /// Whether a feature is this one in another state of the text; what its fields say is left open.
    fn is(&self, feature: &Feature, replaced: &Replaced) -> bool {
        let added = || feature.fields.iter().skip(feature.block.fields.len()).map(|field| &field.name);
        self.block == feature.block.name
            && self.name == feature.name
            && self.parent == feature.parent
            && self.like == feature.like
            && self.profile == feature.profile
            && self.incomplete == feature.incomplete
            && self.imported == feature.imported
            && self.fields == feature.fields.len()
            && replaced.may_be(self.name_span, feature.name_span)
            && replaced.may_be(self.span, feature.span)
            && self.added.iter().eq(added())
            && self.attempted == feature.attempted
    }
}

impl Outline {
    /// Of a sheet that kept who reads whom; `None` of one that did not.
    pub(crate) fn of(model: Model) -> Option<Self> {
        let readers = model.trail.take()?.into_readers();
        let features = model.sheet.features.into_iter().map(Outlined::of).collect();
        Some(Self { features, used: model.uses.take().into_keys().collect(), readers })
    }

    /// The fields that may come to something else in a sheet than in this one, where nothing but values differs; it keeps
    /// from now on also who read whom among all others. `None` where more differs.
    pub(crate) fn changed(self, model: &Model, replaced: &Replaced) -> Option<Vec<bool>> {
        // Rules ask whether a name is used, which is known once the sheet is read.
        let uses = model.uses.borrow();
        let is_used_alike = self.used.len() == uses.len() && uses.keys().all(|id| self.used.contains(id));
        if self.features.len() != model.features.len() || !is_used_alike {
            return None;
        }
        let mut changed = Vec::new();
        for ((id, feature), known) in model.ids().zip(&self.features) {
            if !known.is(feature, replaced) {
                return None;
            }
            let mut written = known.written.iter();
            for field in &feature.fields {
                let Some(now) = &field.written else { continue };
                let (_, before) = written.next().filter(|(index, _)| *index == field.index)?;
                if !is_same(before, now, replaced)? {
                    changed.push(model.number_of((id, field.index)));
                }
            }
            if written.next().is_some() {
                return None;
            }
        }
        model.adopt(self.readers, changed)
    }
}

/// Whether a field says what it did; `None` where it is not the same field.
fn is_same(before: &Written, now: &Written, replaced: &Replaced) -> Option<bool> {
    let is_it = before.scope == now.scope
        && before.mirrored == now.mirrored
        && replaced.may_be(before.name_span, now.name_span)
        && replaced.may_be(before.value.span, now.value.span)
        && before.class.is_some() == now.class.is_some();
    is_it.then_some(())?;
    let class = |written: &Written| written.class.as_ref().map(|class| class.span);
    let is_moved = |before: Span, now: Span| replaced.moved(before) == Some(now);
    let classes = class(before).zip(class(now)).is_none_or(|(before, now)| is_moved(before, now));
    Some(classes && is_moved(before.value.span, now.value.span))
}
