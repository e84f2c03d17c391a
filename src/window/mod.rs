//! Over a range of one or two dimensions: which rules hold where.

mod range;
mod region;
mod sweep;

use range::with_units;
pub use range::{Range, RangeError};
pub use region::{COARSE, Region, RuleArea, region};
pub use sweep::{Line, RuleSweep, Sample, Stretch, Sweep, sweep};

use std::rc::Rc;

use crate::model::{Change, FeatureId, Model, Value};
use crate::rules::{Level, Library, Pair, dependent_pairs, pair_standings};
use crate::syntax::tree::{self, ValueKind};

/// How a rule, or the whole sheet, stands at a value: nothing reported, or the worst level.
pub type State = Option<Level>;

/// A field whose value is moved.
#[derive(Debug, Clone)]
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
    library: &'a Library,
    model: &'a Model<'v>,
    moved: &'a [Moved],
    pairs: Vec<Pair>,
    /// Stated fields that follow from the moved ones, theirs included.
    follows: Vec<(FeatureId, usize)>,
}

impl<'a, 'v> Moving<'a, 'v> {
    fn new(library: &'a Library, model: &'a Model<'v>, moved: &'a [Moved]) -> Self {
        let mut moving = Self { library, model, moved, pairs: Vec::new(), follows: Vec::new() };
        let middle: Vec<f64> = moved.iter().map(|moved| moved.range.now.unwrap_or(moved.range.middle())).collect();
        let first = moving.put(&middle);
        moving.follows = first.dependent();
        moving.pairs = dependent_pairs(library, &first);
        moving
    }

    /// The sheet with these values in the moved fields, in base units.
    fn put(&self, values: &[f64]) -> Model<'v> {
        let mut changes: Vec<Change> = Vec::new();
        for (moved, value) in self.moved.iter().zip(values) {
            let before = changes.iter().position(|change| self.is_one_value(change, moved));
            let before = before.map(|at| changes.remove(at).value);
            let value = moved.stated(self.model, *value, before.as_ref());
            changes.push(Change { feature: moved.feature, field: moved.field, value });
        }
        self.model.altered(&changes)
    }

    /// Whether a change is of the very value that is to be moved: its own, or one that a copy shares.
    fn is_one_value(&self, change: &Change, moved: &Moved) -> bool {
        let written = |feature: FeatureId, field: usize| self.model.feature(feature).fields[field].written.as_ref();
        let same = (change.feature, change.field) == (moved.feature, moved.field);
        let shared = written(change.feature, change.field).zip(written(moved.feature, moved.field));
        moved.extent.is_some() && (same || shared.is_some_and(|(a, b)| Rc::ptr_eq(&a.value, &b.value)))
    }

    /// Whether the sheet can have these values at all; `None` where a bound or a calculation forbids
    /// it, otherwise how each pair stands, in order.
    fn stand(&self, values: &[f64], pairs: &[Pair]) -> Option<Vec<crate::rules::PairStanding>> {
        let model = self.put(values);
        for (feature, field) in &self.follows {
            // Its fault, if it has one, is reported by the model itself.
            let _ = model.value_of(*feature, &model.feature(*feature).fields[*field]);
        }
        model.take_faults().is_empty().then(|| pair_standings(self.library, &model, pairs))
    }

    fn name(&self, pair: Pair) -> (String, String) {
        let rule = self.library.rules.get(pair.rule).map_or(String::new(), |rule| rule.name.to_string());
        (rule, self.model.path(pair.feature))
    }
}

/// A field that can be moved, or one extent of a size.
#[derive(Debug, Clone)]
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
