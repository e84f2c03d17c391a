//! The steps in which a dimension is drawn, in the author's own unit.

use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::quantity::{Dimension, Unit};
use crate::syntax::tree::ExprKind;
use crate::vocabulary::Field;

/// Where the vocabulary gives no step: a tenth of a millimetre, in base units.
const LENGTH: f64 = 0.1;
/// Cosine above which a dimension counts as lying along `up`: 1 degree.
const ALONG: f64 = 0.999_85;
/// A grid reaches to so many times the value that stands there, and at least so many steps.
const REACH: f64 = 10.0;
const STEPS: f64 = 40.0;

/// The values that a number may take: whole steps from zero.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    /// What stands there now, in the author's unit.
    pub(super) value: f64,
    /// The step, in the author's unit.
    pub(super) step: f64,
}

impl Grid {
    /// The value so many steps away from the present one: below it for negative counts, above it
    /// for positive ones. `None` outside what can be drawn.
    #[allow(clippy::cast_precision_loss, reason = "counts of steps are small")]
    pub(super) fn at(&self, count: i64) -> Option<f64> {
        let here = self.value / self.step;
        let whole = if count < 0 { (here - 1e-6).ceil() } else { (here + 1e-6).floor() };
        let value = (whole + count as f64) * self.step;
        // A length stays one; nothing shrinks to nothing.
        if self.value >= 0.0 && value < self.step / 2.0 {
            return None;
        }
        let drawn = self.text(value).parse::<f64>().ok()?;
        (value.abs() <= self.reach() + self.step / 2.0).then_some(drawn)
    }

    /// The same with a smaller step.
    pub(super) fn finer(&self, by: f64) -> Self {
        Self { value: self.value, step: self.step / by }
    }

    /// The largest value that is looked at.
    pub(super) fn reach(&self) -> f64 {
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

/// The step of a field's dimension in the author's unit: the vocabulary's, whole layers where it
/// lies along `up`, else a tenth of a millimetre, a degree, or one.
pub(super) fn step(model: &Model, id: FeatureId, field: &Field, unit: Option<&'static Unit>, value: f64) -> f64 {
    let upright = lies_along_up(model, id, field);
    let formula = field.step_up.as_ref().filter(|_| upright).or(field.step.as_ref());
    let given = formula.and_then(|formula| {
        let expr = formula.expr().ok()?;
        let step = Evaluation::new(model, id).quantity(expr).ok()?;
        let plain = matches!(expr.kind, ExprKind::Number { .. });
        (step.value > 0.0).then_some((step.value, plain))
    });
    let dimension = unit.map_or(Dimension::NONE, |unit| unit.dimension);
    let factor = unit.map_or(1.0, |unit| unit.factor);
    match given {
        // What follows from the machine is as it is, in any unit.
        Some((step, false)) => step / factor,
        Some((step, true)) => round_number(step / factor),
        None => match dimension {
            Dimension::LENGTH => round_number(LENGTH / factor),
            Dimension::ANGLE => round_number(1.0_f64.to_radians() / factor),
            _ if value.fract() == 0.0 && value.abs() >= 10.0 => 1.0,
            Dimension::NONE if unit.is_none() && value.fract() == 0.0 => 1.0,
            _ => round_number((value.abs() / 20.0).max(1e-6)),
        },
    }
}

fn lies_along_up(model: &Model, id: FeatureId, field: &Field) -> bool {
    let direction = |id: FeatureId, name: &str| match model.value_of(id, model.field(id, name)?) {
        Ok(Value::Direction(vector)) => Some(vector),
        _ => None,
    };
    let along = field.along.as_deref().and_then(|name| direction(id, name));
    let up = model.outward(id).find_map(|id| direction(id, "up"));
    along.zip(up).is_some_and(|(a, b)| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>().abs() > ALONG)
}

/// The nearest of 1, 2 and 5 times a power of ten: 0.1 mm becomes 0.005 in.
fn round_number(step: f64) -> f64 {
    let power = 10.0_f64.powf(step.log10().floor());
    let away = |round: f64| (round * power / step).ln().abs();
    let round = [1.0, 2.0, 5.0, 10.0].into_iter().min_by(|a, b| away(*a).total_cmp(&away(*b))).unwrap_or(1.0);
    // Through its text, so that 0.1 is 0.1.
    format!("{:.3e}", round * power).parse().unwrap_or(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_in_the_authors_unit() {
        assert!((round_number(0.1 / 25.4) - 0.005).abs() < 1e-12);
        assert!((round_number(0.1) - 0.1).abs() < 1e-15);
        assert!((round_number(1.0) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_grid_leaves_the_present_value_and_stays_above_nothing() {
        let grid = Grid { value: 2.65, step: 0.1 };
        assert_eq!(grid.at(-1), Some(2.6));
        assert_eq!(grid.at(1), Some(2.7));
        assert_eq!(grid.at(-26), Some(0.1));
        assert_eq!(grid.at(-27), None);
        assert_eq!(Grid { value: 2.6, step: 0.1 }.at(-1), Some(2.5));
        assert_eq!(Grid { value: 0.6, step: 0.42 }.at(1), Some(0.84));
    }
}
