//! What is so far from failing that its chance need not be known: only on which side of a limit it lies is asked for.

use super::axes::Axis;
use super::chance::{Comparison, FAR};
use super::compiled::Scratch;
use super::sum::normal_below;

/// How far off, in standard uncertainties, something is looked at to tell that its chance is less than a limit: so much farther
/// than the limit asks for as what is not seen of its curves may take.
const CLEAR: [f64; 8] = [2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0];
const ASIDE: f64 = 1.5;

impl Comparison<'_, '_, '_> {
    /// Whether the chance is less than a limit by so much that nobody need know it: it stays further off than the limit asks for,
    /// and what it curves by, in the direction in which it moves most and along each input, leaves room enough.
    pub(super) fn is_clear_of(&self, limit: f64) -> bool {
        if self.bends || self.compiled.is_joined() || self.axes.iter().any(|axis| matches!(axis, Axis::Student(_))) {
            return false;
        }
        let room = self.margin.room.value / self.spread;
        let Some(far) = CLEAR.into_iter().find(|far| normal_below(ASIDE - far) < limit) else { return false };
        if room <= far {
            return false;
        }
        let mut scratch = Scratch::default();
        let mut by = vec![0.0; self.axes.len()];
        let middle = self.compiled.at(&by, &mut scratch);
        let mut bends = |index: usize| {
            let both = FAR.map(|far| {
                by[index] = self.axes[index].place(far);
                self.compiled.at(&by, &mut scratch)
            });
            by[index] = 0.0;
            (f64::midpoint(both[0], both[1]) - middle).abs()
        };
        let along_each: Vec<f64> = (0..self.axes.len()).map(&mut bends).collect();
        let curves: Vec<f64> = along_each.into_iter().chain(self.curves()).collect();
        stays_off(room, far, &curves)
    }
}

/// Whether a room stays farther off than that where it curves by so much: a second order grows with the square of how far off
/// it is looked at, and all of them together move the middle.
fn stays_off(room: f64, far: f64, curves: &[f64]) -> bool {
    // Where it cannot be worked out that far off, it is no number, and the sum as well.
    let (all, most) = (curves.iter().sum::<f64>(), curves.iter().copied().fold(0.0, f64::max));
    all.is_finite() && room > far + most * (far / FAR[0]).powi(2) + all / FAR[0].powi(2)
}

#[cfg(test)]
mod tests {
    use super::super::compile::tests::each_comparison;
    use super::super::lines::Closely;
    use super::*;
    use crate::model::Value;
    use crate::rules::Library;

    /// What is taken for clear of a limit is so by the chance itself, which is worked out here.
    #[test]
    fn what_is_clear_of_a_limit_has_a_smaller_chance() {
        let mut clear = 0;
        each_comparison(&Library::built_in(), |rule, evaluation, expr| {
            let Ok(Value::Margin(margin)) = evaluation.value(expr) else { return };
            for limit in [0.02, 0.05, 0.2, 0.3] {
                let mut comparison = Comparison::of(evaluation, expr, &margin);
                if !comparison.is_straight() && comparison.is_clear_of(limit) {
                    let chance = comparison.chance_of_failing(Closely::Exactly);
                    assert!(chance < limit / 2.0, "{rule}: {chance}, taken for clear of {limit}");
                    clear += 1;
                }
            }
        });
        assert!(clear > 20, "{clear}");
    }

    /// A curve of 0.4 at 2 is one of 0.9 at 3 and, with another of 0.2, moves the middle by 0.15.
    #[test]
    fn a_room_has_to_hold_all_that_it_curves_by() {
        assert!(stays_off(4.06, 3.0, &[0.4, 0.2]) && !stays_off(4.04, 3.0, &[0.4, 0.2]));
        assert!(stays_off(3.01, 3.0, &[0.0]) && !stays_off(3.0, 3.0, &[0.0]));
        assert!(!stays_off(9.0, 3.0, &[0.4, f64::NAN]));
    }

    /// What bends or is joined of several goes where its curves do not point: it is taken for clear of nothing, however far off.
    #[test]
    fn what_bends_or_is_joined_is_clear_of_nothing() {
        let mut far_off = 0;
        each_comparison(&Library::built_in(), |rule, evaluation, expr| {
            let Ok(Value::Margin(margin)) = evaluation.value(expr) else { return };
            let comparison = Comparison::of(evaluation, expr, &margin);
            if comparison.bends || comparison.compiled.is_joined() {
                assert!(!comparison.is_clear_of(0.3), "{rule}");
                far_off += usize::from(margin.room.value / comparison.spread > CLEAR[0]);
            }
        });
        assert!(far_off > 5, "{far_off}");
    }
}
