//! The vocabulary's bounds on what physics allows: for values, and for how far tolerances and limits reach.

use super::misfit::aside;
use super::{Conversion, Outcome};
use crate::fault::{ReachBy, ValueFault};
use crate::model::{Evaluation, Failure, Value};
use crate::quantity::{Dimension, Quantity};
use crate::source::Span;

/// One side of what a field may hold.
struct Bound {
    words: &'static str,
    value: Quantity,
}

impl Bound {
    fn is_broken_by(&self, value: f64) -> bool {
        match self.words {
            MORE_THAN => value <= self.value.value,
            AT_LEAST => value < self.value.value,
            _ => value > self.value.value,
        }
    }

    /// Whether a range that ends there goes beyond the bound; it may touch it.
    fn is_passed_by(&self, end: f64) -> bool {
        let beyond = if self.words == AT_MOST { end - self.value.value } else { self.value.value - end };
        beyond > ROUNDING * end.abs().max(self.value.value.abs())
    }

    /// The bound in words, in the author's unit.
    fn text(&self, like: &Quantity) -> String {
        format!("{} {}", self.words, self.in_unit(like))
    }

    fn in_unit(&self, like: &Quantity) -> String {
        let fits = like.dimension == self.value.dimension && like.point == self.value.point;
        let unit = if fits { like.unit } else { None };
        Quantity { unit: unit.or(self.value.unit), ..self.value.clone() }.text()
    }
}

const MORE_THAN: &str = "more than";
const AT_LEAST: &str = "at least";
const AT_MOST: &str = "at most";
/// Less than this share of a value is what adding it up has rounded.
const ROUNDING: f64 = 1e-9;

/// What makes a value reach to both sides of where it is.
pub(in crate::model) enum Reach<'q> {
    /// A tolerance on what is drawn.
    Tolerance(&'q Quantity),
    /// An instrument's limit of error on the mean of the readings.
    Limit(&'q Quantity),
    /// Two bounds, of which this is the lower one.
    Between(&'q Quantity),
}

impl Conversion<'_, '_> {
    /// The bounds of the field that can be worked out.
    fn bounds(&self) -> Vec<Bound> {
        let about = self.field.about;
        let all = [(&about.above, MORE_THAN), (&about.at_least, AT_LEAST), (&about.at_most, AT_MOST)];
        let bound = |(formula, words): (&Option<crate::pack::Formula>, _)| {
            let expr = formula.as_ref()?.expr().ok()?;
            let value = Evaluation::of_data(self.evaluation.model, self.evaluation.feature).quantity(expr).ok()?;
            Some(Bound { words, value })
        };
        all.into_iter().filter_map(bound).collect()
    }

    /// A value must lie within the bounds.
    pub(super) fn check_bounds(&self, value: &Value, at: Span) -> Outcome<()> {
        let lengths: &[Quantity] = match value {
            Value::Quantity(quantity) => std::slice::from_ref(quantity),
            Value::Size(size) => size.as_slice(),
            _ => return Ok(()),
        };
        for bound in self.bounds() {
            if let Some(found) = lengths.iter().find(|found| bound.is_broken_by(found.value)) {
                let (field, doc) = (self.called(), aside(&self.field.about.doc));
                // What is one at the least is counted.
                let is_count =
                    bound.words == AT_LEAST && bound.value.dimension == Dimension::NONE && bound.value.value >= 1.0;
                let code = if is_count && found.unit.is_some() {
                    ValueFault::ShareOfCount { field, found: found.text(), doc }
                } else {
                    ValueFault::OutOfBounds { field, bound: bound.text(found), found: found.text(), doc }
                };
                return Err(Failure::fault(code.at(at)));
            }
        }
        Ok(())
    }

    /// And so must the ends that its tolerance or limits let it reach, in base units.
    pub(in crate::model) fn check_reach(&self, reach: &Reach, low: f64, high: f64, at: Span) -> Outcome<()> {
        let (Reach::Tolerance(stands) | Reach::Limit(stands) | Reach::Between(stands)) = reach;
        // Values in another unit or beyond the bounds themselves are told as such.
        let told = |bound: &Bound| bound.value.dimension != stands.dimension || bound.is_broken_by(stands.value);
        let bounds = self.bounds();
        if !matches!(reach, Reach::Between(_)) && bounds.iter().any(told) {
            return Ok(());
        }
        for bound in bounds.iter().filter(|bound| bound.value.dimension == stands.dimension) {
            let upward = bound.words == AT_MOST;
            let end = if upward { high } else { low };
            if !bound.is_passed_by(end) {
                continue;
            }
            let text = |value: f64| Quantity { value, ..(*stands).clone() }.text();
            let room = text((stands.value - bound.value.value).abs());
            let by = match reach {
                Reach::Tolerance(_) => ReachBy::Tolerance { at: stands.text(), room, is_upward: upward },
                Reach::Limit(_) => ReachBy::Limit(text(low.max(0.0)), text(high)),
                Reach::Between(_) => ReachBy::Bounds(bound.in_unit(stands), upward),
            };
            let (field, bound) = (self.called(), bound.text(stands));
            return Err(Failure::fault(ValueFault::ReachesTooFar { field, bound, end: text(end), by }.at(at)));
        }
        Ok(())
    }
}
