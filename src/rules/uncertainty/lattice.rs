//! Points that stand for the distributions of several inputs at once, spread more evenly than drawn ones.
//!
//! A lattice of rank one (Korobov, 1959, from memory): point `i` of `n` has in dimension `j` the place `i a^j mod n`,
//! shifted. Each dimension on its own then takes every `n`-th part of its distribution once. The first dimension is
//! turned to where the value moves most, so that a limit on either side of it is met to an `n`-th.

use std::sync::OnceLock;

use super::sum::{density, normal_below};

/// How many points it takes, so that chances of up to three inputs come out within half a per cent, and of more within
/// 1 % as a rule (2 % where many inputs bend a value at once).
struct Size {
    /// For up to so many inputs.
    inputs: usize,
    /// How many points there are: a prime number.
    points: u32,
    /// The `a` of the lattice. The best of those tried, on strips and corners of inputs of both kinds whose chances are
    /// known: half-way tried ones miss by up to twice as much.
    step: u64,
    quantiles: OnceLock<Vec<f64>>,
}

const fn size(inputs: usize, points: u32, step: u64) -> Size {
    Size { inputs, points, step, quantiles: OnceLock::new() }
}

static SIZES: [Size; 3] = [size(1, 509, 1), size(3, 1021, 762), size(usize::MAX, 1021, 597)];

/// The shift of each dimension is a multiple of this share (the golden ratio's), so that no two are alike.
const SHIFT: f64 = 0.618_033_988_749_894_9;
/// Newton's steps to a quantile at the most, and the step that is close enough: the next changes nothing that shows.
const NEWTON: u32 = 6;
const CLOSE: f64 = 1e-6;
/// What happens less often than this is known well enough from a part of the points.
const RARE: f64 = 0.02;

/// Where something is foretold: asked is at each so-many-th of the points, and at least at so many nearest to the limit.
const SPREAD_OVER: usize = 8;
const NEAREST: usize = 64;
/// So many times farther from the limit than where it was foretold wrongly, it counts as foretold well.
const BEYOND: f64 = 1.5;
/// So many standard deviations from a limit, a share of some points lies on the same side as that of all.
const SURE: f64 = 3.5;

/// What is foretold of a point, and what it came to where that was asked.
struct Foretold {
    index: u32,
    room: f64,
    holds: Option<bool>,
}

/// The points for some inputs.
pub(super) struct Lattice {
    size: &'static Size,
    /// Whether each input is uniform between bounds; the others are normal.
    bounded: Vec<bool>,
    steps: Vec<u64>,
    shifts: Vec<u64>,
    /// The mirror that takes the first dimension to where the value moves most (Householder).
    mirror: Vec<f64>,
}

impl Lattice {
    /// Points for inputs that each move a value by so much, in their standard uncertainties.
    pub(super) fn new(inputs: impl Iterator<Item = (f64, bool)>) -> Self {
        let (amounts, bounded): (Vec<f64>, Vec<bool>) = inputs.unzip();
        // Around its middle a uniform input moves faster with the normal one that stands for it.
        let uniform = 2.0 * 3.0_f64.sqrt() * density(0.0);
        let slopes =
            amounts.iter().zip(&bounded).map(|(amount, bounded)| if *bounded { amount * uniform } else { *amount });
        let mut mirror: Vec<f64> = slopes.collect();
        let whole = norm(&mirror);
        for part in &mut mirror {
            *part /= -whole;
        }
        if let Some(first) = mirror.first_mut() {
            *first += 1.0;
        }
        let whole = norm(&mirror);
        let turned = whole > 1e-9;
        for part in &mut mirror {
            *part = if turned { *part / whole } else { 0.0 };
        }
        let size = SIZES.iter().find(|size| bounded.len() <= size.inputs).unwrap_or(&SIZES[SIZES.len() - 1]);
        let steps = std::iter::successors(Some(1), |step| Some(step * size.step % u64::from(size.points)));
        let shifts = std::iter::successors(Some(SHIFT), |shift| Some((shift + SHIFT).fract()));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of some thousands")]
        let shifts = shifts.map(|shift| (shift * f64::from(size.points)) as u64);
        Self {
            size,
            steps: steps.take(bounded.len()).collect(),
            shifts: shifts.take(bounded.len()).collect(),
            bounded,
            mirror,
        }
    }

    /// The share of the points at which something does not hold. Where it nearly never or nearly always does, every fourth
    /// point tells that.
    pub(super) fn failing(&self, mut holds: impl FnMut(&[f64]) -> bool) -> f64 {
        let mut by = vec![0.0; self.bounded.len()];
        let (mut failed, mut looked_at) = (0_u32, 0_u32);
        for first in [0, 2, 1, 3] {
            for index in (first..self.size.points).step_by(4) {
                self.put(u64::from(index), &mut by);
                failed += u32::from(!holds(&by));
                looked_at += 1;
            }
            let share = f64::from(failed) / f64::from(looked_at);
            if share.min(1.0 - share) < RARE {
                return share;
            }
        }
        f64::from(failed) / f64::from(looked_at)
    }

    /// The same where something close to it is cheap: its room, below zero where it is foretold not to hold. Asked is at
    /// points spread over all, and at those nearest to the limit, until it was right well beyond where it was last wrong.
    /// With `limits`, the first are enough where they tell on which side of each of these the share lies.
    pub(super) fn failing_as_foretold(
        &self,
        limits: &[f64],
        foretold: impl Fn(&[f64]) -> f64,
        mut holds: impl FnMut(&[f64]) -> bool,
    ) -> f64 {
        let mut by = vec![0.0; self.bounded.len()];
        let mut points: Vec<Foretold> = Vec::with_capacity(self.size.points as usize);
        for index in 0..self.size.points {
            self.put(u64::from(index), &mut by);
            points.push(Foretold { index, room: foretold(&by), holds: None });
        }
        let mut ask = |point: &mut Foretold, wrong: &mut f64| {
            if point.holds.is_none() {
                self.put(u64::from(point.index), &mut by);
                let answer = holds(&by);
                point.holds = Some(answer);
                if answer != (point.room >= 0.0) {
                    *wrong = wrong.max(point.room.abs());
                }
            }
        };
        let mut wrong = 0.0;
        points.iter_mut().step_by(SPREAD_OVER).for_each(|point| ask(point, &mut wrong));
        if let Some(share) = plain_share(&points, limits) {
            return share;
        }
        points.sort_by(|a, b| a.room.abs().total_cmp(&b.room.abs()).then(a.index.cmp(&b.index)));
        for (place, point) in points.iter_mut().enumerate() {
            if place >= NEAREST && point.room.abs() > BEYOND * wrong {
                break;
            }
            ask(point, &mut wrong);
        }
        let failed = points.iter().filter(|point| !point.holds.unwrap_or(point.room >= 0.0)).count();
        #[allow(clippy::cast_precision_loss, reason = "some thousands at the most")]
        let share = failed as f64 / points.len() as f64;
        share
    }

    /// A point, as moves of the inputs in their standard uncertainties.
    fn put(&self, index: u64, by: &mut [f64]) {
        let quantiles = self.size.quantiles();
        for ((by, step), shift) in by.iter_mut().zip(&self.steps).zip(&self.shifts) {
            #[allow(clippy::cast_possible_truncation, reason = "below some thousands")]
            let place = ((index * step + shift) % u64::from(self.size.points)) as usize;
            *by = quantiles[place];
        }
        let along: f64 = by.iter().zip(&self.mirror).map(|(by, mirror)| by * mirror).sum();
        by.iter_mut().zip(&self.mirror).for_each(|(by, mirror)| *by -= 2.0 * along * mirror);
        for by in by.iter_mut().zip(&self.bounded).filter_map(|(by, bounded)| bounded.then_some(by)) {
            *by = (2.0 * normal_below(*by) - 1.0) * 3.0_f64.sqrt();
        }
    }
}

/// The share that failed among the points that were asked, if it lies well aside of every limit; `None` without limits.
#[allow(clippy::cast_precision_loss, reason = "some thousands at the most")]
fn plain_share(points: &[Foretold], limits: &[f64]) -> Option<f64> {
    let asked: Vec<bool> = points.iter().filter_map(|point| point.holds).collect();
    let count = asked.len() as f64;
    let share = asked.iter().filter(|holds| !**holds).count() as f64 / count;
    let doubt = SURE * (share * (1.0 - share) / count).sqrt() + 1.0 / count;
    let aside = limits.iter().all(|limit| (share - limit).abs() > doubt);
    (aside && !limits.is_empty()).then_some(share)
}

fn norm(parts: &[f64]) -> f64 {
    parts.iter().map(|part| part * part).sum::<f64>().sqrt()
}

impl Size {
    /// The middles of as many equally likely parts of the normal distribution as there are points.
    fn quantiles(&self) -> &[f64] {
        self.quantiles.get_or_init(|| {
            let share = 1.0 / f64::from(self.points);
            let mut above = Vec::new();
            let mut z = 0.0_f64;
            // Outward from the middle, which is 0; each from the last by slope and curve, then by Newton's steps.
            for part in 1..=self.points / 2 {
                let pace = share / density(z);
                z += pace * (1.0 + z * pace / 2.0);
                let wanted = 0.5 - f64::from(part) * share;
                for _ in 0..NEWTON {
                    let step = (normal_below(-z) - wanted) / density(z);
                    z += step;
                    if step.abs() < CLOSE {
                        break;
                    }
                }
                above.push(z);
            }
            let below = above.iter().rev().map(|z| -z);
            below.chain([0.0]).chain(above.iter().copied()).collect()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lattice(inputs: &[(f64, bool)]) -> Lattice {
        Lattice::new(inputs.iter().copied())
    }

    /// Half a part, one and a half, and so on: the normal distribution's share below each must be just that.
    #[test]
    fn the_points_are_the_quantiles_of_the_normal_distribution() {
        for size in &SIZES {
            let points = f64::from(size.points);
            for (place, z) in (0..size.points).zip(size.quantiles()) {
                let expected = (f64::from(place) + 0.5) / points;
                assert!((normal_below(*z) - expected).abs() < 1e-9, "{place} of {points}: {z}");
            }
        }
    }

    /// Mean 0, variance 1 and no correlation, whichever way the first dimension is turned (JCGM 101:2008, 6.4).
    #[test]
    fn moves_have_the_inputs_variances_and_no_correlation() {
        for inputs in [vec![(1.0, false); 3], vec![(1.0, true), (-0.4, false), (0.3, true), (0.1, false)]] {
            let lattice = lattice(&inputs);
            let mut sums = vec![vec![0.0; inputs.len() + 1]; inputs.len()];
            let mut even = false;
            lattice.failing(|by| {
                for (one, row) in sums.iter_mut().enumerate() {
                    row[inputs.len()] += by[one];
                    (0..inputs.len()).for_each(|other| row[other] += by[one] * by[other]);
                }
                // So that all points are asked for.
                even = !even;
                even
            });
            let points = f64::from(lattice.size.points);
            for (one, row) in sums.iter().enumerate() {
                assert!((row[inputs.len()] / points).abs() < 0.01, "mean of {one}: {row:?}");
                for (other, sum) in row[..inputs.len()].iter().enumerate() {
                    let expected = f64::from(u8::from(one == other));
                    assert!((sum / points - expected).abs() < 0.05, "{one} with {other}: {}", sum / points);
                }
            }
        }
    }

    /// The normal distribution's share beyond a limit on either side, for sums of up to ten inputs.
    #[test]
    fn a_strip_has_the_normal_distributions_chance() {
        for count in 1..=10 {
            let inputs: Vec<(f64, bool)> = (0..count).map(|index| (0.8_f64.powi(index), false)).collect();
            let whole = norm(&inputs.iter().map(|(amount, _)| *amount).collect::<Vec<f64>>());
            for limit in [0.5, 1.0, 1.96] {
                let sum = |by: &[f64]| by.iter().zip(&inputs).map(|(by, (amount, _))| by * amount).sum::<f64>();
                let failing = lattice(&inputs).failing(|by| sum(by).abs() <= limit * whole);
                let exact = 2.0 * normal_below(-limit);
                assert!((failing - exact).abs() < 0.003, "{count} inputs at {limit}: {failing}, exactly {exact}");
            }
        }
    }
}
