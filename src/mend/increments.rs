//! The steps in which a dimension is drawn, or the sizes that it is bought in, in the author's own unit.

#[cfg(test)]
mod tests;

use std::sync::Arc;

use crate::geometry::alignment;
use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::ExprKind;
use crate::vocabulary::{Field, StepOf};

/// Cosine above which a dimension counts as lying along `up`: 1 degree.
const ALONG: f64 = 0.999_85;
/// A grid reaches to so many times the value that is there, and at least so many steps.
const REACH: f64 = 10.0;
const STEPS: f64 = 40.0;
/// From here on a whole number of newtons, degrees or hours is meant as one.
const WHOLE_FROM: f64 = 10.0;
/// The least step of what is nothing yet.
const LEAST: f64 = 1e-6;
/// So little of a step or of a size is none.
const HAIR: f64 = 1e-6;

/// The values that a number may take: whole steps from zero, or standard sizes.
#[derive(Debug, Clone, Default)]
pub(super) struct Increments {
    /// What is there now, in the author's unit.
    pub(super) value: f64,
    /// The step, in the author's unit.
    pub(super) step: f64,
    /// The step is the field's own, such as whole lines.
    pub(super) kept: bool,
    /// The step that it would have otherwise.
    pub(super) usual: f64,
    /// It may be below nothing, as what is added to something else.
    pub(super) signed: bool,
    /// The sizes that there are, from the smallest, where it is bought in these only.
    pub(super) sizes: Option<Arc<[f64]>>,
    /// What a person rounds it to: from which value on, to which step.
    pub(super) round: Option<(f64, f64)>,
}

impl Increments {
    /// The grid of a field's dimension, in the author's unit.
    pub(super) fn of(model: &Model, id: FeatureId, field: &Field, unit: Option<&'static Unit>, value: f64) -> Self {
        let own = own_step(model, id, field, unit);
        let usual = usual_step(model, unit, value);
        let step = own.unwrap_or(usual);
        let sizes = field.sizes.as_deref().and_then(|table| sizes(model, table, unit));
        Self { value, step, kept: own.is_some(), usual, signed: false, sizes, round: round_step(model, unit) }
    }

    /// The grid of a length that is added to another; there is none yet.
    pub(super) fn added(model: &Model, unit: &'static Unit) -> Self {
        let (step, round) = (usual_step(model, Some(unit), 0.0), round_step(model, Some(unit)));
        Self { step, round, signed: true, ..Self::default() }
    }

    /// A value as a person draws it, away from the present one: upward for `side` 1, downward for -1.
    pub(super) fn rounded(&self, value: f64, side: i64) -> f64 {
        let Some((from, step)) = self.round.filter(|_| self.sizes.is_none() && !self.kept) else { return value };
        if value.abs() < from - HAIR {
            return value;
        }
        let steps = value / step;
        let whole = if side < 0 { (steps + HAIR).floor() } else { (steps - HAIR).ceil() };
        let drawn = self.text(whole * step).parse().unwrap_or(value);
        if drawn > 0.0 || self.signed { drawn } else { value }
    }

    /// The value so many steps away from the present one: below it for negative counts, above it
    /// for positive ones. `None` outside what can be drawn.
    #[allow(clippy::cast_precision_loss, reason = "counts of steps are small")]
    pub(super) fn at(&self, count: i64) -> Option<f64> {
        if let Some(sizes) = &self.sizes {
            let below = |value: f64| i64::try_from(self.below(value)).ok();
            // Below the smallest size sold there is none to count from.
            let nearest = if count < 0 { below(self.value)? } else { below(self.value + HAIR)? - 1 };
            return sizes.get(usize::try_from(nearest + count).ok()?).copied();
        }
        let here = self.value / self.step;
        let whole = if count < 0 { (here - HAIR).ceil() } else { (here + HAIR).floor() };
        let value = (whole + count as f64) * self.step;
        // A length stays one; nothing shrinks to nothing.
        if !self.signed && self.value >= 0.0 && value < self.step / 2.0 {
            return None;
        }
        let drawn = self.text(value).parse::<f64>().ok()?;
        (value.abs() <= self.reach() + self.step / 2.0).then_some(drawn)
    }

    /// The same; no steps away is the present value itself, which may lie between two.
    pub(super) fn present_or_at(&self, count: i64) -> Option<f64> {
        if count == 0 { Some(self.value) } else { self.at(count) }
    }

    /// The same with a smaller step: from whole lines or layers to the usual one first. `None` for sizes
    /// that are sold.
    pub(super) fn finer(&self, by: f64) -> Option<Self> {
        match (&self.sizes, self.kept) {
            (Some(_), _) => None,
            (None, true) => Some(self.clone().usual()),
            (None, false) => Some(Self { step: self.step / by, round: None, ..self.clone() }),
        }
    }

    /// The same in usual steps.
    pub(super) fn usual(self) -> Self {
        if self.sizes.is_some() || self.usual <= 0.0 {
            return self;
        }
        Self { step: self.usual, kept: false, ..self }
    }

    /// The value nearest to the present one times a factor (`side` 1) or over it (`side` -1), on the
    /// far side.
    #[allow(clippy::cast_possible_truncation, reason = "counts of steps are small")]
    pub(super) fn beyond(&self, factor: f64, side: i64) -> Option<f64> {
        let target = if side < 0 { self.value / factor } else { self.value * factor };
        if let Some(sizes) = &self.sizes {
            let far = |size: &&f64| if side < 0 { **size <= target } else { **size >= target };
            return if side < 0 { sizes.iter().rev().find(far) } else { sizes.iter().find(far) }.copied();
        }
        let count = ((target - self.value).abs() / self.step - HAIR).ceil().max(1.0);
        self.at(side * count as i64)
    }

    /// Whether there is no smaller value.
    pub(super) fn is_least(&self, value: f64) -> bool {
        match &self.sizes {
            Some(_) => self.below(value) == 0,
            None => !self.signed && value - self.step < self.step / 2.0,
        }
    }

    /// Whether no larger value is looked at.
    pub(super) fn is_most(&self, value: f64) -> bool {
        match &self.sizes {
            Some(sizes) => self.below(value + HAIR) == sizes.len(),
            None => value + 1.5 * self.step > self.reach(),
        }
    }

    /// How many sizes there are below a value.
    fn below(&self, value: f64) -> usize {
        self.sizes.as_ref().map_or(0, |sizes| sizes.partition_point(|size| *size < value - HAIR / 2.0))
    }

    /// The largest value that is looked at.
    fn reach(&self) -> f64 {
        (self.value.abs() * REACH).max(self.value.abs() + STEPS * self.step)
    }

    /// A number as it is written: a hundredth of a step decides the digits.
    pub(super) fn text(&self, value: f64) -> String {
        let decimals = (-(self.step / 100.0).log10()).ceil().clamp(0.0, 9.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and 9")]
        let text = format!("{value:.*}", decimals as usize);
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
    }
}

/// The step that the vocabulary gives a field's dimension, in the author's unit: whole layers where it
/// lies along `up`.
fn own_step(model: &Model, id: FeatureId, field: &Field, unit: Option<&'static Unit>) -> Option<f64> {
    let upright = lies_along_up(model, id, field);
    let formula = field.step_up.as_ref().filter(|_| upright).or(field.step.as_ref());
    let expr = formula?.expr().ok()?;
    let step = Evaluation::of_data(model, id).quantity(expr).ok().filter(|step| step.value > 0.0)?;
    Some(match expr.kind {
        ExprKind::Number { .. } => in_unit(&step, unit),
        // What follows from the machine is as it is, in any unit.
        _ => step.value / factor(unit),
    })
}

/// The step where the vocabulary gives none, of `rules/steps.yaml`.
fn usual_step(model: &Model, unit: Option<&'static Unit>, value: f64) -> f64 {
    let dimension = unit.map_or(Dimension::NONE, |unit| unit.dimension);
    let whole = value.fract() == 0.0 && (unit.is_none() || value.abs() >= WHOLE_FROM);
    let of = match dimension {
        Dimension::LENGTH => StepOf::Length,
        Dimension::ANGLE => StepOf::Angle,
        _ if whole => StepOf::Count,
        _ => StepOf::Share,
    };
    let step = model.vocabulary.step(of);
    match (of, step) {
        (StepOf::Length | StepOf::Angle, Some(step)) => in_unit(&step, unit),
        (StepOf::Share, Some(step)) => round_number((step.value * value.abs()).max(LEAST)),
        (_, step) => step.map_or(1.0, |step| step.value),
    }
}

/// What a person rounds a value with such a unit to, and from which value on.
fn round_step(model: &Model, unit: Option<&'static Unit>) -> Option<(f64, f64)> {
    let step = |of: StepOf| model.vocabulary.step(of).map(|step| in_unit(&step, unit));
    match unit.map(|unit| unit.dimension) {
        Some(Dimension::LENGTH) => {
            let from = model.vocabulary.step(StepOf::RoundLengthFrom)?.value / factor(unit);
            Some((from, step(StepOf::RoundLength)?))
        }
        Some(Dimension::ANGLE) => Some((0.0, step(StepOf::RoundAngle)?)),
        _ => None,
    }
}

/// A step as it was given, in another unit as a round number near it.
fn in_unit(step: &Quantity, unit: Option<&'static Unit>) -> f64 {
    let own = step.unit.map(|unit| unit.name) == unit.map(|unit| unit.name);
    let value = step.value / factor(unit);
    if own { digits(value) } else { round_number(value) }
}

fn factor(unit: Option<&'static Unit>) -> f64 {
    unit.map_or(1.0, |unit| unit.factor)
}

/// The lengths in a table's first column.
fn sizes(model: &Model, table: &str, unit: Option<&'static Unit>) -> Option<Arc<[f64]>> {
    let table = model.vocabulary.tables.get(table)?;
    let (column, _) = table.columns.first()?;
    let size = |row: &str| Some(table.number(row, column).ok()?.value / unit.map_or(1.0, |unit| unit.factor));
    let mut sizes: Vec<f64> = table.rows.iter().filter_map(|row| size(row)).collect();
    sizes.sort_by(f64::total_cmp);
    Some(sizes.into())
}

fn lies_along_up(model: &Model, id: FeatureId, field: &Field) -> bool {
    let direction = |id: FeatureId, name: &str| match model.value_of(id, model.field(id, name)?) {
        Ok(Value::Direction(vector)) => Some(vector),
        _ => None,
    };
    let along = field.along.as_deref().and_then(|name| direction(id, name));
    let up = model.outward(id).find_map(|id| direction(id, "up"));
    along.zip(up).is_some_and(|(a, b)| alignment(a, b) > ALONG)
}

/// The nearest of 1, 2 and 5 times a power of ten: 0.1 mm becomes 0.005 in.
fn round_number(step: f64) -> f64 {
    let power = 10.0_f64.powf(step.log10().floor());
    let away = |round: f64| (round * power / step).ln().abs();
    let round = [1.0, 2.0, 5.0, 10.0].into_iter().min_by(|a, b| away(*a).total_cmp(&away(*b))).unwrap_or(1.0);
    digits(round * power)
}

/// A number through its text, so that 0.1 is 0.1.
fn digits(number: f64) -> f64 {
    format!("{number:.6e}").parse().unwrap_or(number)
}
