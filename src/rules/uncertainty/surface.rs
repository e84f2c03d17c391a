//! A formula to the second order: where that meets it, it stands for it, and need not be worked out again and again.

/// How far off the curves are taken, in standard uncertainties.
const ASIDE: f64 = 1.5;
/// Where the surface is held against the formula along the direction in which it moves most, and how far it may miss there, in
/// standard uncertainties of the whole: a bend in between, as of a `max`, can pass far off.
const TRIED: [(f64, f64); 6] = [(2.0, 0.06), (-2.0, 0.06), (1.0, 0.02), (-1.0, 0.02), (0.5, 0.02), (-0.5, 0.02)];

/// Each input by itself is tried half as far off as its curve was taken, and may miss so much there.
const BETWEEN: f64 = 0.75;
const MOST: f64 = 0.02;

/// How a value goes with its inputs to the second order.
pub(super) struct Surface {
    middle: f64,
    slopes: Vec<f64>,
    curves: Vec<f64>,
    /// Two inputs, and how far the value moves with both beyond what it does with each.
    crossed: Vec<(usize, usize, f64)>,
}

impl Surface {
    /// The surface of a formula of so many inputs; `None` where it does not meet it.
    pub(super) fn of(count: usize, at: &mut dyn FnMut(&[f64]) -> f64) -> Option<Self> {
        let mut place = vec![0.0; count];
        let middle = at(&place);
        let mut moved = |moves: &[(usize, f64)]| {
            for (index, by) in moves {
                place[*index] = *by;
            }
            let found = at(&place) - middle;
            for (index, _) in moves {
                place[*index] = 0.0;
            }
            found
        };
        let alone: Vec<[f64; 2]> = (0..count).map(|index| [ASIDE, -ASIDE].map(|by| moved(&[(index, by)]))).collect();
        let mut crossed = Vec::new();
        for one in 0..count {
            for other in one + 1..count {
                let beyond = moved(&[(one, ASIDE), (other, ASIDE)]) - alone[one][0] - alone[other][0];
                crossed.push((one, other, beyond / (ASIDE * ASIDE)));
            }
        }
        let slopes = alone.iter().map(|[up, down]| (up - down) / (2.0 * ASIDE)).collect();
        let curves = alone.iter().map(|[up, down]| (up + down) / (2.0 * ASIDE * ASIDE)).collect();
        let surface = Self { middle, slopes, curves, crossed };
        surface.meets(at).then_some(surface)
    }

    /// The value at a place.
    pub(super) fn at(&self, by: &[f64]) -> f64 {
        let alone = self.slopes.iter().zip(&self.curves).zip(by).map(|((slope, curve), by)| (slope + curve * by) * by);
        let crossed = self.crossed.iter().map(|(one, other, amount)| amount * by[*one] * by[*other]);
        self.middle + alone.sum::<f64>() + crossed.sum::<f64>()
    }

    fn meets(&self, at: &mut dyn FnMut(&[f64]) -> f64) -> bool {
        let spread = self.slopes.iter().map(|slope| slope * slope).sum::<f64>().sqrt();
        let mut misses = |place: &[f64], most: f64| {
            // What is no number meets nothing.
            let miss = (at(place) - self.at(place)).abs();
            miss.is_nan() || miss > most * spread
        };
        let toward = |far: f64| self.slopes.iter().map(|slope| far * slope / spread).collect::<Vec<f64>>();
        let mut place = vec![0.0; self.slopes.len()];
        let mut bends = |index: usize| {
            [BETWEEN, -BETWEEN].iter().any(|by| {
                place[index] = *by;
                let bends = misses(&place, MOST);
                place[index] = 0.0;
                bends
            })
        };
        spread > 0.0
            && !(0..self.slopes.len()).any(&mut bends)
            && !TRIED.iter().any(|(far, most)| misses(&toward(*far), *most))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A formula that is of the second order itself is met wherever it is looked at.
    #[test]
    fn a_formula_of_the_second_order_is_its_own_surface() {
        let formula = |by: &[f64]| {
            4.0 + by[0] - 2.0 * by[1] + 0.3 * by[2] + 0.02 * by[0] * by[0] - 0.05 * by[1] * by[2] + 0.01 * by[2] * by[2]
        };
        let Some(surface) = Surface::of(3, &mut |by| formula(by)) else { panic!("no surface meets it") };
        for by in [[0.0; 3], [1.0, 2.0, 3.0], [-2.5, 0.4, -1.7]] {
            assert!(
                (surface.at(&by) - formula(&by)).abs() < 1e-12,
                "{by:?}: {} is not {}",
                surface.at(&by),
                formula(&by)
            );
        }
    }

    /// What bends, along the way in which it moves most or by one input alone, is not met; nor is what does not move, or what
    /// cannot be worked out. The unit that it is in makes no difference.
    #[test]
    fn what_is_not_met_has_no_surface() {
        let bends: [fn(&[f64]) -> f64; 6] = [
            |by| (by[0] + by[1]).max(0.5),
            |by| (by[0] + by[1]).max(-1.6),
            |by| 3.0 * by[0] + by[1].abs(),
            |by| (2.0 * by[0]).exp() + by[1],
            |_| 1.0,
            |by| if by[0] > 1.9 { f64::NAN } else { by[0] + 0.1 * by[1] },
        ];
        for unit in [0.01, 1.0, 100.0] {
            for (index, formula) in bends.into_iter().enumerate() {
                assert!(Surface::of(2, &mut |by| unit * formula(by)).is_none(), "{index} in units of {unit}");
            }
            assert!(Surface::of(2, &mut |by| unit * (by[0] + by[1])).is_some(), "in units of {unit}");
        }
    }
}
