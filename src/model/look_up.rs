//! What a name in a sheet stands for: the nearest thing that can serve where the name is.
//!
//! People name a feature after what it takes (`bought magnet`, `hole magnet { diameter magnet.diameter + 0.3 mm }`). So a
//! name is looked up from its line outward, and passes over what cannot be meant: the value that the line gives, the
//! feature that the line is in, a feature where a value is wanted, a field that is not given. Only where nothing
//! else has the name is what was passed over taken, so that the message can say what is wrong with it.

use super::evaluate::{Evaluation, Failure};
use super::resolve::Step;
use super::{FeatureId, Model};
use crate::fault::{Beside, Fault};
use crate::source::Span;
use crate::syntax::tree::{ExprKind, Name, Path, Value};
use crate::vocabulary::FieldKind;

/// What is wanted where a path is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// A number, a word, a direction: anything but a feature.
    Value,
    /// A feature.
    Feature,
}

/// What the names of a sheet lead to.
#[derive(Default)]
struct Found<'v> {
    /// What can serve, the nearest first.
    serving: Vec<Step<'v>>,
    /// The nearest that cannot.
    passed: Option<Step<'v>>,
    /// Whether a line at fault meant to say what the name stands for.
    meant: bool,
}

impl<'v> Evaluation<'_, 'v> {
    /// What the first name of a sheet's path stands for.
    pub(super) fn nearest_named(&self, path: &Path, wanted: Wanted) -> Result<Option<Step<'v>>, Failure> {
        let found = self.look_up(path, wanted, 1);
        match (found.serving.into_iter().next(), found.meant) {
            (Some(step), _) => Ok(Some(step)),
            (None, true) => Err(Failure::Reported),
            (None, false) => Ok(found.passed),
        }
    }

    /// Looks outward until so many were found that can serve.
    fn look_up(&self, path: &Path, wanted: Wanted, most: usize) -> Found<'v> {
        let mut found = Found::default();
        let Some(name) = path.names.first() else { return found };
        for start in self.scopes() {
            for id in self.model.outward(start) {
                for step in self.all_inside(id, &name.text) {
                    if self.serves(&step, path, wanted) {
                        found.serving.push(step);
                    } else {
                        found.passed.get_or_insert(step);
                    }
                }
                if self.model.feature(id).block.name == name.text {
                    found.passed.get_or_insert(Step::Feature(id));
                }
                found.meant |= self.was_meant(id, &name.text);
                if found.meant || found.serving.len() >= most {
                    return found;
                }
            }
        }
        found
    }

    /// The field and the feature of a name in a feature; at the top of a sheet names are the author's first.
    fn all_inside(&self, id: FeatureId, name: &str) -> impl Iterator<Item = Step<'v>> + use<'v> {
        let feature = self.model.feature(id);
        let field = feature.fields.iter().position(|field| field.name == name).map(|index| Step::Field(id, index));
        let child = feature.children.called(name).map(Step::Feature);
        let both = if id == Model::SHEET { [child, field] } else { [field, child] };
        both.into_iter().flatten()
    }

    /// Whether what a name leads to can be meant where it is.
    fn serves(&self, step: &Step<'v>, path: &Path, wanted: Wanted) -> bool {
        let next = path.names.get(1);
        match step {
            Step::Field(id, index) => {
                let kind = &self.model.feature(*id).fields[*index].about.kind;
                let fits = match (next, wanted) {
                    (Some(next), _) => match kind {
                        FieldKind::Size(_) | FieldKind::Place(_) => matches!(next.text.as_str(), "x" | "y" | "z"),
                        kind => matches!(kind, FieldKind::Feature(_)),
                    },
                    (None, Wanted::Feature) => matches!(kind, FieldKind::Feature(_)),
                    (None, Wanted::Value) => true,
                };
                fits && !self.is_own(*id, *index) && self.is_given(*id, *index)
            }
            Step::Feature(id) => match next {
                _ if self.model.feature(*id).block.act.stands_for_value() => wanted == Wanted::Value,
                _ if self.is_around(*id) => false,
                Some(next) => self.has(*id, next),
                None => wanted == Wanted::Feature,
            },
            Step::Value(_) | Step::Derived(..) => true,
        }
    }

    /// Whether a field is the one whose value is worked out.
    pub(super) fn is_own(&self, id: FeatureId, index: usize) -> bool {
        let named = self.own.is_some_and(|own| self.model.feature(id).fields[index].name == own);
        named && self.scopes().any(|scope| scope == id)
    }

    /// Whether a feature is the one that the expression is in, or lies around it.
    fn is_around(&self, id: FeatureId) -> bool {
        self.scopes().any(|start| self.model.outward(start).any(|around| around == id))
    }

    fn is_given(&self, id: FeatureId, index: usize) -> bool {
        let field = &self.model.feature(id).fields[index];
        field.written.is_some() || field.about.default.is_some() || self.model.profile_value(id, field).is_some()
    }

    /// Whether a feature has what a path goes on with.
    fn has(&self, id: FeatureId, next: &Name) -> bool {
        let feature = self.model.feature(id);
        let field = feature.fields.iter().position(|field| field.name == next.text);
        field.is_some_and(|index| self.is_given(id, index))
            || feature.children.called(&next.text).is_some()
            || feature.incomplete
            || feature.attempted.contains(&next.text)
            || self.profile_of(id, &next.text).is_some()
    }

    /// Names in a fault what else the names of a value could have meant, and why that does not count.
    pub(super) fn naming_hidden(&self, value: &Value, mut fault: Fault) -> Fault {
        let mut all: Vec<(&Path, Span, Option<String>)> = Vec::new();
        value.walk(&mut |part| {
            let ExprKind::Path(path) = &part.kind else { return };
            let others = self.look_up(path, Wanted::Value, 2).serving.into_iter().skip(1);
            all.extend(others.filter_map(|other| self.described(&other)).map(|(at, what)| (path, at, what)));
        });
        for (path, at, what) in all {
            let Some(first) = path.names.first() else { continue };
            fault = fault.also(at, Beside::Hidden(first.text.clone(), what));
        }
        fault
    }

    /// Where what a name leads to is, and what kind of block it is, if it is one.
    fn described(&self, step: &Step<'v>) -> Option<(Span, Option<String>)> {
        match step {
            Step::Field(id, index) => {
                let field = &self.model.feature(*id).fields[*index];
                Some((self.model.place_of(*id, field), None))
            }
            Step::Feature(id) => {
                let feature = self.model.feature(*id);
                Some((feature.name_span, Some(feature.block.name.to_string())))
            }
            Step::Value(_) | Step::Derived(..) => None,
        }
    }
}
