//! Where a value is really set: the number that can be changed, through names, copies and sums.

mod allowance;
mod missing;
#[cfg(test)]
mod tests;
mod trace;

use super::increments::Increments;
use super::sorts::Mating;
use crate::model::{FeatureId, Model, Variation};
use crate::pack::Formula;
use crate::quantity::Unit;
use crate::rules::{FixedNote, field_named};
use crate::source::{SourceId, Span};
use crate::syntax::tree::{self, Expr, ExprKind, Name, ValueKind};
use crate::vocabulary::{Head, Sort};
use trace::Trace;

/// The sheet itself is always the first text of its run.
pub(super) const OWN: SourceId = SourceId(0);

/// A number that may be changed.
#[derive(Debug, Clone)]
pub(super) struct DrivingDimension {
    /// What it is called: `clip.jaw.thickness`, `slack`.
    pub(super) name: String,
    /// The values that it may take.
    pub(super) grid: Increments,
    /// A minus is before the number.
    pub(super) negative: bool,
    /// The author's unit.
    pub(super) unit: Option<&'static Unit>,
    /// Where it is.
    pub(super) set: Set,
    /// The field that the rule asked to change.
    pub(super) field: (FeatureId, usize),
    /// How early the rule names it among what may change.
    pub(super) order: usize,
}

/// How a place is set.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Set {
    /// A number in the text.
    Number(Span),
    /// A length added after an expression.
    Added(Span),
    /// A field that the sheet leaves out: it goes after another one, given by its word and value.
    Missing {
        /// The field's word.
        word: String,
        /// The word of the field before it.
        after: Span,
        /// The end of that field's value.
        end: u32,
    },
}

impl DrivingDimension {
    /// The sheet with another number here.
    pub(super) fn with(&self, value: f64) -> Variation {
        match &self.set {
            Set::Number(at) => Variation::Number { at: *at, value },
            Set::Added(at) => Variation::Added { at: *at, length: self.written(value, at.end) },
            Set::Missing { end, .. } => {
                let expr = self.written(value, *end);
                let value = tree::Value { span: expr.span, kind: ValueKind::Plain(expr) };
                Variation::Says { feature: self.field.0, field: self.field.1, value: value.into() }
            }
        }
    }

    /// A value here as it would be written after a place.
    fn written(&self, value: f64, behind: u32) -> Expr {
        let span = OWN.span(behind as usize..behind as usize);
        let unit = self.unit.map(|unit| Name::new(unit.name, span));
        Expr { kind: ExprKind::Number { value, unit }, span }
    }

    /// A value here with its unit.
    pub(super) fn shown(&self, value: f64) -> String {
        let unit = self.unit.map_or(String::new(), |unit| format!(" {}", unit.name));
        let sign = if self.negative { "-" } else { "" };
        format!("{sign}{}{unit}", self.grid.text(value))
    }
}

/// What was found that sets the fields that a rule lets change.
#[derive(Debug, Default)]
pub(super) struct DrivingDimensions {
    pub(super) list: Vec<DrivingDimension>,
    /// Those that are changed only where nothing else cures.
    pub(super) last: Vec<DrivingDimension>,
    /// What cannot be changed.
    pub(super) fixed: Vec<FixedNote>,
    /// The rule asks for another direction.
    pub(super) directions: bool,
}

/// The same with smaller steps, where there are values between them.
pub(super) fn finer(places: &[DrivingDimension], by: f64) -> Vec<DrivingDimension> {
    let one = |place: &DrivingDimension| Some(DrivingDimension { grid: place.grid.finer(by)?, ..place.clone() });
    places.iter().filter_map(one).collect()
}

/// The numbers that set the fields that a rule lets change.
pub(super) fn places(model: &Model, mating: &Mating, feature: FeatureId, change: &[Formula]) -> DrivingDimensions {
    let mut trace = Trace::new(model, mating, feature);
    for (order, formula) in change.iter().enumerate() {
        let Some(field) = field_named(model, feature, formula) else { continue };
        trace.follow(field, order);
    }
    let mut places = trace.found();
    let is_last =
        |place: &DrivingDimension| model.feature(place.field.0).fields[place.field.1].about.sort == Sort::Last;
    if places.list.iter().any(|place| !is_last(place)) {
        (places.last, places.list) = places.list.into_iter().partition(is_last);
    }
    places
}

/// The last field that a block of this sheet says itself: the place of its word, and where its value ends.
pub(super) fn last_said(model: &Model, id: FeatureId) -> Option<(Span, u32)> {
    let own = model.feature(id).fields.iter().filter(|field| field.about.head == Head::Inside).filter_map(|field| {
        let written = field.written.as_ref()?;
        (written.scope == id && written.value.span.source == OWN).then_some(written)
    });
    let last = own.max_by_key(|written| written.value.span.start)?;
    Some((last.name_span, last.end()))
}
