//! What follows from other dimensions and is written out all the same: it is changed along with them.

use super::offer::Change;
use crate::model::{Evaluation, FeatureId, Model, Variation};
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

/// The lengths that a sheet writes out though they follow from others: the wall of a boss beside its two diameters.
#[derive(Debug, Default)]
pub(super) struct Agreeing(Vec<Follower>);

#[derive(Debug)]
struct Follower {
    field: (FeatureId, usize),
    at: Span,
    value: f64,
    unit: &'static Unit,
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
            if (before - follower.value * follower.unit.factor).abs() <= AGREES {
                changes.push(follower.change(model, text, after));
            }
        }
        changes
    }
}

fn follower(model: &Model, (id, index): (FeatureId, usize)) -> Option<Follower> {
    let field = &model.feature(id).fields[index];
    let written = field.written.as_ref().filter(|_| field.about.sort == Sort::Derived)?;
    let ValueKind::Plain(expr) = &written.value.kind else { return None };
    let ExprKind::Number { value, unit: Some(unit) } = &expr.kind else { return None };
    let unit = Unit::named(&unit.text).filter(|unit| unit.dimension == Dimension::LENGTH)?;
    let is_own = expr.span.source == SourceId(0);
    is_own.then_some(Follower { field: (id, index), at: expr.span, value: *value, unit })
}

impl Follower {
    /// What it comes to by its formula.
    fn follows(&self, model: &Model) -> Option<f64> {
        let (id, index) = self.field;
        let default = model.feature(id).fields[index].about.default.as_ref().map(Formula::expr)?.ok()?;
        Evaluation::of_data(model, id).quantity(default).ok().map(|quantity| quantity.value)
    }

    fn change(&self, model: &Model, text: &str, to: f64) -> Change {
        let (id, index) = self.field;
        let value = (to / self.unit.factor * DIGITS).round() / DIGITS;
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
