//! What goes with other dimensions is changed along with them: what follows from them and is written out all the same,
//! and what keeps its share of them.

use super::increments::Increments;
use super::offer::Change;
use crate::model::{Evaluation, FeatureId, Model, Value, Variation};
use crate::pack::Formula;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::source::{SourceId, Span};
use crate::syntax::edit::{Edit, digits};
use crate::syntax::tree::{ExprKind, ValueKind};
use crate::vocabulary::Sort;

/// Nearer than this, in millimetres, what is written is what follows.
const AGREES: f64 = 0.005;
/// Such lengths are written to a hundredth of their unit.
const DIGITS: f64 = 100.0;

/// The lengths that a sheet writes out though they go with others: the wall of a boss beside its two diameters, the
/// fillet of an arm beside its thickness.
#[derive(Debug, Default)]
pub(super) struct Agreeing(Vec<Follower>);

#[derive(Debug)]
struct Follower {
    field: (FeatureId, usize),
    at: Span,
    value: f64,
    unit: &'static Unit,
    /// The field of the same feature that it keeps its share of, as that grows; without one it follows by its default.
    keeps_to: Option<usize>,
}

impl Agreeing {
    pub(super) fn of(model: &Model) -> Self {
        let of_feature = |(id, feature): (FeatureId, &crate::model::Feature)| {
            (0..feature.fields.len()).filter_map(|index| follower(model, (id, index))).collect::<Vec<_>>()
        };
        Self(model.ids().flat_map(of_feature).collect())
    }

    /// Changes with those of what agreed with them before.
    pub(super) fn with(&self, model: &mut Model, text: &str, mut changes: Vec<Change>) -> Vec<Change> {
        let variations: Vec<Variation> = changes.iter().map(|change| change.variation.clone()).collect();
        for follower in &self.0 {
            let number = follower.at.start as usize..follower.at.end as usize;
            let own = |change: &Change| number.contains(&change.edit.start);
            let Some(before) = follower.follows(model).filter(|_| !changes.iter().any(own)) else { continue };
            let after = model.varied(&variations, |model| follower.follows(model));
            let Some(after) = after.filter(|after| (after - before).abs() > AGREES) else { continue };
            if follower.keeps_to.is_some() {
                changes.extend(follower.grown(model, after / before).map(|to| follower.change(model, text, to)));
            } else if (before - follower.value * follower.unit.factor).abs() <= AGREES {
                let to = (after / follower.unit.factor * DIGITS).round() / DIGITS;
                changes.push(follower.change(model, text, to));
            }
        }
        changes
    }
}

fn follower(model: &Model, (id, index): (FeatureId, usize)) -> Option<Follower> {
    let fields = &model.feature(id).fields;
    let field = &fields[index];
    let keeps_to =
        field.about.keeps_to.as_ref().and_then(|other| fields.iter().position(|field| field.name == **other));
    let written = field.written.as_ref().filter(|_| field.about.sort == Sort::Derived || keeps_to.is_some())?;
    let ValueKind::Plain(expr) = &written.value.kind else { return None };
    let ExprKind::Number { value, unit: Some(unit) } = &expr.kind else { return None };
    let unit = Unit::named(&unit.text).filter(|unit| unit.dimension == Dimension::LENGTH)?;
    let is_own = expr.span.source == SourceId(0);
    is_own.then_some(Follower { field: (id, index), at: expr.span, value: *value, unit, keeps_to })
}

impl Follower {
    /// What it comes to by its formula, or what it keeps its share of.
    fn follows(&self, model: &Model) -> Option<f64> {
        let (id, index) = self.field;
        if let Some(other) = self.keeps_to {
            return match model.value_of(id, &model.feature(id).fields[other]) {
                Ok(Value::Quantity(quantity)) => Some(quantity.value),
                _ => None,
            };
        }
        let default = model.feature(id).fields[index].about.default.as_ref().map(Formula::expr)?.ok()?;
        Evaluation::of_data(model, id).quantity(default).ok().map(|quantity| quantity.value)
    }

    /// What it becomes, in its own unit, where what it keeps to grows by a factor.
    fn grown(&self, model: &Model, factor: f64) -> Option<f64> {
        let (id, index) = self.field;
        let about = model.feature(id).fields[index].about;
        (factor > 1.0 && self.value > 0.0)
            .then(|| Increments::of(model, id, about, Some(self.unit), self.value).beyond(factor, 1))?
    }

    fn change(&self, model: &Model, text: &str, value: f64) -> Change {
        let (id, index) = self.field;
        let start = self.at.start as usize;
        let number = digits(text.get(start..self.at.end as usize).unwrap_or_default());
        Change {
            name: model.field_path(id, &model.feature(id).fields[index]),
            from: format!("{} {}", self.value, self.unit.name),
            to: format!("{value} {}", self.unit.name),
            value: Some(Quantity::exact(self.unit.to_base(value), self.unit.dimension)),
            edit: Edit { start: start + number.start, end: start + number.end, text: value.to_string() },
            variation: Variation::Number { at: self.at, value },
        }
    }
}
