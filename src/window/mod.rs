//! Over a range of one or two dimensions: which rules hold where.

mod around;
mod range;
mod region;
mod sweep;

pub use around::around;
use range::with_units;
pub use range::{Range, RangeError};
pub use region::{COARSE, Region, RuleArea, region};
pub use sweep::{Line, RuleSweep, Sample, Stretch, Sweep, sweep};

use std::sync::Arc;

use crate::model::{FeatureId, Model, Value, Variation};
use crate::rules::{Level, Library, Pair, PairStanding, WhatIf};
use crate::syntax::tree::{self, ValueKind};

/// How a rule, or the whole sheet, stands at a value: nothing reported, or the worst level.
pub type State = Option<Level>;

/// A field whose value is moved.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Moved {
    /// Its feature.
    pub feature: FeatureId,
    /// Its index among the feature's fields.
    pub field: usize,
    /// Which extent of it is moved, where it is a size: 0 for x, 1 for y, 2 for z.
    pub extent: Option<usize>,
    /// Its path.
    pub path: String,
    /// The values that it takes.
    pub range: Range,
}

impl Moved {
    /// The same over another range.
    #[must_use]
    pub fn over(self, range: Range) -> Self {
        Self { range, ..self }
    }

    /// What the sheet would state in the field to have this value. `before` is what is stated there
    /// already, where another extent of the same size moves too.
    #[must_use]
    pub fn stated(&self, model: &Model, value: f64, before: Option<&tree::Value>) -> tree::Value {
        let field = &model.feature(self.feature).fields[self.field];
        let at = model.place_of(self.feature, field);
        let written = field.written.as_ref().map(|written| &*written.value);
        let Some(extent) = self.extent else { return self.range.value(value, written, at) };
        let number = |value: f64| self.range.number(self.range.shown(value), at);
        let mut extents = match before.or(written).map(|value| &value.kind) {
            Some(ValueKind::Size(extents)) if extents.len() == 3 => with_units(extents),
            // Stated by name: as long as it is now.
            _ => match model.value_of(self.feature, field) {
                Ok(Value::Size(size)) => size.map(|length| number(length.value)).into(),
                _ => Vec::new(),
            },
        };
        if let Some(place) = extents.get_mut(extent) {
            *place = number(value);
        }
        tree::Value { kind: ValueKind::Size(extents), span: at }
    }
}

/// A sheet in which one or two fields are moved.
struct Moving<'a, 'v> {
    what_if: WhatIf<'a, 'v>,
    moved: &'a [Moved],
    pairs: Vec<Pair>,
}

impl<'a, 'v> Moving<'a, 'v> {
    fn new(library: &'a Library, model: &Model<'v>, moved: &'a [Moved]) -> Self {
        let mut moving = Self { what_if: WhatIf::of(library, model), moved, pairs: Vec::new() };
        let middle: Vec<f64> = moved.iter().map(|moved| moved.range.now.unwrap_or(moved.range.middle())).collect();
        moving.pairs = moving.what_if.affected(&moving.put(&middle));
        moving
    }

    /// What is different with these values in the moved fields, in base units.
    fn put(&self, values: &[f64]) -> Vec<Variation> {
        let model = self.what_if.model();
        let mut changes: Vec<(&Moved, tree::Value)> = Vec::new();
        for (moved, value) in self.moved.iter().zip(values) {
            let before = changes.iter().position(|(other, _)| self.is_one_value(other, moved));
            let before = before.map(|at| changes.remove(at).1);
            changes.push((moved, moved.stated(model, *value, before.as_ref())));
        }
        changes.into_iter().flat_map(|(moved, value)| model.says(moved.feature, moved.field, value)).collect()
    }

    /// Whether the value of one is the very value that another moves: its own, or one that a copy shares.
    fn is_one_value(&self, other: &Moved, moved: &Moved) -> bool {
        let written = |moved: &Moved| self.what_if.model().feature(moved.feature).fields[moved.field].written.as_ref();
        let same = (other.feature, other.field) == (moved.feature, moved.field);
        let shared = written(other).zip(written(moved));
        moved.extent.is_some() && (same || shared.is_some_and(|(a, b)| Arc::ptr_eq(&a.value, &b.value)))
    }

    /// How each pair stands, in order; `None` where a bound or a calculation forbids that the sheet has these values.
    fn stand(&mut self, values: &[f64], pairs: &[Pair]) -> Option<Vec<PairStanding>> {
        let variations = self.put(values);
        self.what_if.stand_if_sound(&variations, pairs)
    }

    fn name(&self, pair: Pair) -> (String, String) {
        let rule = self.what_if.library().rules.get(pair.rule).map_or(String::new(), |rule| rule.name.to_string());
        (rule, self.what_if.model().path(pair.feature))
    }
}

/// A field that can be moved, or one extent of a size.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Found {
    /// Its feature.
    pub feature: FeatureId,
    /// Its index among the feature's fields.
    pub field: usize,
    /// Which extent of it is meant, where it is a size.
    pub extent: Option<usize>,
    /// Its value now.
    pub now: Option<Value>,
}

impl Found {
    /// It over a range; `path` is how it was found.
    #[must_use]
    pub fn over(self, path: &str, range: Range) -> Moved {
        Moved { feature: self.feature, field: self.field, extent: self.extent, path: path.to_owned(), range }
    }
}

/// The field at a path such as `clip.jaw.thickness` or `slack`, or the extent at one such as `clip.size.z`.
#[must_use]
pub fn field_at(model: &Model, path: &str) -> Option<Found> {
    let find = |path: &str| {
        model.ids().find_map(|(id, feature)| {
            let index = feature.fields.iter().position(|field| model.field_path(id, field) == path)?;
            Some((id, index))
        })
    };
    if let Some((feature, field)) = find(path) {
        let now = model.value_of(feature, &model.feature(feature).fields[field]).ok();
        return Some(Found { feature, field, extent: None, now });
    }
    let (whole, axis) = path.rsplit_once('.')?;
    let extent = EXTENTS.iter().position(|name| *name == axis)?;
    let (feature, field) = find(whole)?;
    match model.value_of(feature, &model.feature(feature).fields[field]) {
        Ok(Value::Size(size)) => {
            let now = Some(Value::Quantity(size[extent].clone()));
            Some(Found { feature, field, extent: Some(extent), now })
        }
        _ => None,
    }
}

/// What the extents of a size are called.
const EXTENTS: [&str; 3] = ["x", "y", "z"];

/// The paths of every field that has a number to move, and of every extent of a size.
#[must_use]
pub fn movable(model: &Model) -> Vec<String> {
    let mut paths = Vec::new();
    for (id, feature) in model.ids() {
        for field in &feature.fields {
            let path = model.field_path(id, field);
            match model.value_of(id, field) {
                Ok(Value::Quantity(_)) => paths.push(path),
                Ok(Value::Size(_)) => paths.extend(EXTENTS.map(|axis| format!("{path}.{axis}"))),
                _ => {}
            }
        }
    }
    paths
}
