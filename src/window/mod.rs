//! Over a range of one or two dimensions: which rules hold where.

mod range;
mod region;
mod sweep;

pub use range::{Range, RangeError};
pub use region::{COARSE, Region, RuleArea, region};
pub use sweep::{Line, RuleSweep, Sample, Stretch, Sweep, sweep};

use crate::model::{Change, FeatureId, Model, Value};
use crate::rules::{Level, Library, Pair, dependent_pairs, pair_standings};

/// How a rule, or the whole sheet, stands at a value: nothing reported, or the worst level.
pub type State = Option<Level>;

/// A field whose value is moved.
#[derive(Debug, Clone)]
pub struct Moved {
    /// Its feature.
    pub feature: FeatureId,
    /// Its index among the feature's fields.
    pub field: usize,
    /// Its path.
    pub path: String,
    /// The values that it takes.
    pub range: Range,
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
        let change = |(moved, value): (&Moved, &f64)| {
            let field = &self.model.feature(moved.feature).fields[moved.field];
            let at = self.model.place_of(moved.feature, field);
            let written = field.written.as_ref().map(|written| &*written.value);
            Change { feature: moved.feature, field: moved.field, value: moved.range.value(*value, written, at) }
        };
        self.model.altered(&self.moved.iter().zip(values).map(change).collect::<Vec<_>>())
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

/// The field at a path such as `clip.jaw.thickness` or `slack`, and its value now.
#[must_use]
pub fn field_at(model: &Model, path: &str) -> Option<(FeatureId, usize, Option<Value>)> {
    let found = model.ids().find_map(|(id, feature)| {
        let index = feature.fields.iter().position(|field| model.field_path(id, field) == path)?;
        Some((id, index))
    });
    let (id, index) = found?;
    Some((id, index, model.value_of(id, &model.feature(id).fields[index]).ok()))
}

/// The paths of every field that has a number to move.
#[must_use]
pub fn movable(model: &Model) -> Vec<String> {
    let mut paths = Vec::new();
    for (id, feature) in model.ids() {
        for field in &feature.fields {
            if matches!(model.value_of(id, field), Ok(Value::Quantity(_))) {
                paths.push(model.field_path(id, field));
            }
        }
    }
    paths
}
