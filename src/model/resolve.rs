//! From a path to what it names.

mod guess;

use super::evaluate::{Evaluation, Failure};
use super::look_up::Wanted;
use super::{FeatureId, Model, Value};
use crate::fault::ValueFault;
use crate::syntax::tree::{Name, Path};
use crate::vocabulary::{Block, Derived, Meaning, Word};

/// What a path leads to on its way.
pub(super) enum Step<'v> {
    Feature(FeatureId),
    Derived(FeatureId, &'v Derived),
    Field(FeatureId, usize),
    Value(Value),
}

/// What a path names.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum Named<'v> {
    /// A field.
    Field(FeatureId, usize),
    /// What follows from a feature's fields.
    Derived(FeatureId, &'v Derived),
    /// A feature, or a value that is no field's own.
    Other,
}

impl<'v> Evaluation<'_, 'v> {
    /// The value of a path.
    pub(super) fn path(&self, path: &Path) -> Result<Value, Failure> {
        self.path_to(path, Wanted::Value)
    }

    /// The value, or the feature, that a path leads to.
    pub(super) fn path_to(&self, path: &Path, wanted: Wanted) -> Result<Value, Failure> {
        match self.follow(path, wanted)? {
            Step::Feature(id) => self.feature_value(id),
            Step::Field(id, index) => self.field_value(id, index),
            Step::Derived(id, derived) => self.derived_value(id, derived),
            Step::Value(value) => Ok(value),
        }
    }

    fn derived_value(&self, id: FeatureId, derived: &Derived) -> Result<Value, Failure> {
        self.locals.map_or(Err(Failure::Reported), |locals| locals.derived(id, derived))
    }

    /// What follows from a feature's fields, if that is what a path names.
    #[must_use]
    pub fn derived_at(&self, path: &Path) -> Option<(FeatureId, &'v Derived)> {
        // Most rules use none: their steps need not be worked out to know it.
        if !path.names.last().is_some_and(|name| self.model.vocabulary.derives(&name.text)) {
            return None;
        }
        match self.follow(path, Wanted::Value) {
            Ok(Step::Derived(id, derived)) => Some((id, derived)),
            _ => None,
        }
    }

    /// The field that a path names, if it ends at one.
    ///
    /// # Errors
    /// As for [`Evaluation::value`].
    pub fn field_at(&self, path: &Path) -> Result<Option<(FeatureId, usize)>, Failure> {
        Ok(match self.named(path)? {
            Named::Field(id, index) => Some((id, index)),
            Named::Derived(..) | Named::Other => None,
        })
    }

    /// What a path names.
    ///
    /// # Errors
    /// As for [`Evaluation::value`].
    pub fn named(&self, path: &Path) -> Result<Named<'v>, Failure> {
        Ok(match self.follow(path, Wanted::Value)? {
            Step::Field(id, index) => Named::Field(id, index),
            Step::Derived(id, derived) => Named::Derived(id, derived),
            Step::Feature(id) => self.bound_value(id).map_or(Named::Other, |index| Named::Field(id, index)),
            Step::Value(_) => Named::Other,
        })
    }

    fn follow(&self, path: &Path, wanted: Wanted) -> Result<Step<'v>, Failure> {
        let mut names = path.names.iter();
        let Some(first) = names.next() else { return Err(Failure::Reported) };
        let mut step = self.first(first, path, wanted)?;
        for name in names {
            step = self.next(step, name)?;
        }
        match step {
            Step::Field(id, index) if !self.by_kind() && self.is_own(id, index) => {
                Err(Failure::fault(self.nothing_else(path, id)))
            }
            step => Ok(step),
        }
    }

    /// Whether names are the vocabulary's: in rules and in the vocabulary's own formulas what a sheet's author called
    /// something is none of them.
    fn by_kind(&self) -> bool {
        self.locals.is_some() || self.of_data
    }

    fn first(&self, name: &Name, path: &Path, wanted: Wanted) -> Result<Step<'v>, Failure> {
        if let Some(local) = self.locals.and_then(|locals| locals.value(name)) {
            return local.map(Step::Value);
        }
        if !self.by_kind() {
            let found = self.nearest_named(path, wanted)?;
            return found.ok_or_else(|| Failure::fault(self.unknown(name, path)));
        }
        let word = self.model.vocabulary.word_of(name);
        let block = word.and_then(|word| self.model.vocabulary.block_of(word));
        for start in self.scopes() {
            for id in self.model.outward(start) {
                if let Some(step) = self.meant(id, &name.text, word) {
                    return Ok(step);
                }
                if block.is_some_and(|block| std::ptr::eq(self.model.feature(id).block, block)) {
                    return Ok(Step::Feature(id));
                }
                if self.was_meant(id, &name.text) {
                    return Err(Failure::Reported);
                }
            }
        }
        // A rule about several kinds asks each for what only some have: no need to search for what was meant.
        if word.is_some() {
            return Err(Failure::Absent(name.text.clone().into()));
        }
        Err(Failure::fault(self.unknown(name, path)))
    }

    /// Whether a feature meant to say what a word stands for, on a line that is at fault itself.
    pub(super) fn was_meant(&self, id: FeatureId, word: &str) -> bool {
        let feature = self.model.feature(id);
        let stands_in = |block: &Block| block.stands_in.contains(&feature.block.name);
        let by_copy = || feature.incomplete && self.model.vocabulary.block(word).is_some_and(stands_in);
        feature.attempted.contains(word) || by_copy()
    }

    /// A field or child of a feature.
    fn inside(&self, id: FeatureId, name: &Name) -> Option<Step<'v>> {
        if self.by_kind() {
            return self.meant(id, &name.text, self.model.vocabulary.word_of(name));
        }
        let feature = self.model.feature(id);
        let field = feature.fields.iter().position(|field| field.name == name.text).map(|index| Step::Field(id, index));
        field.or_else(|| feature.children.called(&name.text).map(Step::Feature))
    }

    /// What a word of the vocabulary means in a feature: a field, what follows from its fields, or a child.
    fn meant(&self, id: FeatureId, name: &str, word: Option<Word>) -> Option<Step<'v>> {
        let (feature, vocabulary) = (self.model.feature(id), self.model.vocabulary);
        let meaning = word.and_then(|word| vocabulary.meaning(feature.block, word));
        if let Some(Meaning::Field(index)) = meaning {
            return Some(Step::Field(id, index));
        }
        // Those that an open block adds come after those of its kind.
        let own = feature.block.fields.len();
        if let Some(index) = feature.fields.iter().skip(own).position(|field| field.name == name) {
            return Some(Step::Field(id, own + index));
        }
        if let (Some(Meaning::Derived(index)), true) = (meaning, self.locals.is_some()) {
            return Some(Step::Derived(id, &feature.block.derives[index]));
        }
        // A rule asks in the vocabulary's words: what a sheet's writer called something is none of them.
        let block = vocabulary.block_of(word?)?;
        let child = feature.children.first(|kind| std::ptr::eq(kind, block))?;
        let meant = self.model.feature(child);
        (meant.block.single || meant.name == name).then_some(Step::Feature(child))
    }

    pub(super) fn next(&self, step: Step<'v>, name: &Name) -> Result<Step<'v>, Failure> {
        let feature = match step {
            Step::Feature(id) => Some(id),
            _ => None,
        };
        if let Some(id) = feature {
            let found = self.inside(id, name).or_else(|| self.profile_of(id, &name.text));
            let found = found.or_else(|| self.around(id, &name.text));
            let meant = || {
                let around = || self.model.outward(id).any(|id| self.model.feature(id).attempted.contains(&name.text));
                self.model.feature(id).incomplete || around()
            };
            return match found {
                Some(step) => Ok(step),
                None if meant() => Err(Failure::Reported),
                None if self.by_kind() && self.model.vocabulary.word_of(name).is_some() => {
                    Err(Failure::Absent(name.text.clone().into()))
                }
                None => Err(Failure::fault(self.no_such(id, name))),
            };
        }
        let value = match step {
            Step::Field(id, index) => self.field_value(id, index)?,
            Step::Derived(id, derived) => self.derived_value(id, derived)?,
            Step::Value(value) => value,
            Step::Feature(_) => return Err(Failure::Reported),
        };
        match value {
            Value::Feature(id) => self.next(Step::Feature(id), name),
            Value::Size(lengths) | Value::Place(lengths) => {
                match ["x", "y", "z"].iter().position(|axis| *axis == name.text) {
                    Some(axis) => Ok(Step::Value(Value::Quantity(lengths[axis].clone()))),
                    None => Err(Failure::fault(ValueFault::NothingInSize { name: name.text.clone() }.at(name.span))),
                }
            }
            other => {
                let code = ValueFault::NothingInside { kind: other.describe(), name: name.text.clone() };
                Err(Failure::fault(code.at(name.span)))
            }
        }
    }

    /// `clip.material`: the material that applies to a feature, stated on it or around it.
    pub(super) fn profile_of(&self, id: FeatureId, word: &str) -> Option<Step<'v>> {
        self.model.vocabulary.block(word).filter(|block| block.profile.is_some())?;
        self.model.outward(id).find_map(|id| self.model.feature(id).children.of_kind(word)).map(Step::Feature)
    }

    /// `hook.part`, in a rule: the block of a kind that a feature is in.
    fn around(&self, id: FeatureId, kind: &str) -> Option<Step<'v>> {
        let is_of_kind = |around: &FeatureId| self.model.feature(*around).block.name == kind;
        self.by_kind().then(|| self.model.outward(id).skip(1).find(is_of_kind)).flatten().map(Step::Feature)
    }

    fn feature_value(&self, id: FeatureId) -> Result<Value, Failure> {
        match self.bound_value(id) {
            Some(index) => self.field_value(id, index),
            None => Ok(Value::Feature(id)),
        }
    }

    /// The one field of a `let`, which its name stands for.
    fn bound_value(&self, id: FeatureId) -> Option<usize> {
        let feature = self.model.feature(id);
        feature.block.act.stands_for_value().then(|| {
            self.model.note_use(id);
            0
        })
    }
}

impl Model<'_> {
    /// The feature that a path names, looked up from another feature outward.
    #[must_use]
    pub fn feature_at(&self, from: FeatureId, path: &Path) -> Option<FeatureId> {
        match Evaluation::new(self, from).path_to(path, Wanted::Feature) {
            Ok(Value::Feature(id)) => Some(id),
            _ => None,
        }
    }
}
