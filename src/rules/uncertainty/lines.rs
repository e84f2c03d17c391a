//! The chance that something fails, from how it goes along lines through the distribution of its inputs.
//!
//! Every line runs in the direction in which the value moves most; where it crosses the limit, the normal distribution says
//! how much of it fails (line sampling, as structural reliability has it; from memory). What fails is never counted, so that the chance
//! goes as smoothly as the formula does; and where that is straight, every line says the same. The lines are spread evenly,
//! on a lattice of rank one (Korobov, 1959, from memory): line `i` of `n` has in dimension `j` the place `i a^j mod n`, shifted, and
//! folded so that both ends of a dimension meet. Each comes with the one opposite.

#[cfg(test)]
mod tests;

use super::axes::Axis;
use super::sum::normal_below;

/// How many pairs of lines are looked at, and the `a` of their lattice: more only where what the fewer say differs so much that it
/// matters. The last is the best of those tried on corners and balls of two to six inputs of which the chances are known, and within
/// half a per cent of these.
const LATTICES: [(u32, u64); 3] = [(7, 3), (31, 7), (127, 38)];
/// The shift of each dimension is a multiple of this share, so that no two are alike.
const SHIFT: f64 = GOLDEN;
/// The standard error of a chance at which it is known well enough.
const ENOUGH: f64 = 2e-4;
/// So many standard errors from a limit, a chance lies on its side of it for certain.
const SURE: f64 = 5.0;
/// Where a line is looked at, in standard deviations.
const LOOKED_AT: [f64; 7] = [-4.5, -2.5, -1.0, 0.0, 1.0, 2.5, 4.5];
/// Where the only line is, if there is one only.
const FINE: f64 = 0.25;
/// How closely a crossing is found, in standard deviations, and in how many steps at the most.
const CLOSE: f64 = 1e-4;
const STEPS: u32 = 40;
/// The golden section; and in how many steps a turn is found that is wide enough to matter.
const GOLDEN: f64 = 0.618_033_988_749_894_9;
const TURN_STEPS: u32 = 14;

/// How closely a chance is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::rules) enum Closely<'l> {
    /// As closely as ever.
    Exactly,
    /// As it takes to tell on which side of each of some limits it lies.
    Beside(&'l [f64]),
    /// The same, and from the least of them on as closely as ever.
    From(&'l [f64]),
}

impl Closely<'_> {
    /// The least limit, where only the side of it is wanted of what is below.
    pub(super) fn least(self) -> Option<f64> {
        match self {
            Self::Exactly => None,
            Self::Beside(limits) | Self::From(limits) => limits.iter().copied().min_by(f64::total_cmp),
        }
    }

    /// Whether a chance with its standard error is known well enough.
    fn is_enough(self, chance: f64, error: f64) -> bool {
        let told = |limits: &[f64]| limits.iter().all(|limit| (chance - limit).abs() > SURE * error);
        let is = match self {
            Self::Exactly => false,
            Self::Beside(limits) => told(limits),
            Self::From(limits) => told(limits) && limits.iter().all(|limit| chance < *limit),
        };
        is || error < ENOUGH
    }
}

/// A function of a place, below zero where it fails, no number where it cannot be worked out (and so fails).
pub(super) type Holds<'a> = dyn FnMut(&[f64]) -> f64 + 'a;

/// The chance of failing, with the directions in which inputs can be moved, as closely as it is wanted.
pub(super) fn failing(axes: &[Axis], closely: Closely, holds: &mut Holds) -> f64 {
    let mut place = Vec::with_capacity(axes.len());
    let mut at = |normal: &[f64]| {
        place.clear();
        place.extend(axes.iter().zip(normal).map(|(axis, normal)| axis.place(*normal)));
        holds(&place)
    };
    if axes.len() == 1 {
        let nodes: Vec<f64> = (-24..=24).map(|index| FINE * f64::from(index)).collect();
        return along(&nodes, &mut |z| at(&[z]));
    }
    let mirror = mirror(&steepest(axes.len(), &mut at));
    let mut chance = 0.0;
    for (pairs, step) in LATTICES {
        let aside = evenly_spread(pairs, step, axes.len() - 1);
        let said: Vec<f64> = aside.iter().map(|aside| of_pair(&mirror, aside, &mut at)).collect();
        let (mean, error) = mean(&said);
        chance = mean;
        if closely.is_enough(mean, error) {
            break;
        }
    }
    chance
}

/// What fails of two lines on opposite sides.
fn of_pair(mirror: &[f64], aside: &[f64], at: &mut impl FnMut(&[f64]) -> f64) -> f64 {
    let mut place = Vec::with_capacity(mirror.len());
    let [one, other] = [1.0, -1.0].map(|sign| {
        along(&LOOKED_AT, &mut |z| {
            turn(mirror, (z, sign, aside), &mut place);
            at(&place)
        })
    });
    f64::midpoint(one, other)
}

/// The mean, and its standard error if the lines were random.
#[allow(clippy::cast_precision_loss, reason = "some hundreds at the most")]
fn mean(said: &[f64]) -> (f64, f64) {
    let count = said.len() as f64;
    let mean = said.iter().sum::<f64>() / count;
    let squares: f64 = said.iter().map(|one| (one - mean).powi(2)).sum();
    (mean, (squares / (count - 1.0) / count).sqrt())
}

/// A place on a line, and the value there.
type Look = (f64, f64);

/// The share of a line that fails.
fn along(nodes: &[f64], at: &mut impl FnMut(f64) -> f64) -> f64 {
    let mut looks: Vec<Look> = nodes.iter().map(|node| (*node, sound(at(*node)))).collect();
    let missed: Vec<Look> = looks.windows(3).filter_map(|around| missed(around, at)).collect();
    looks.extend(missed);
    looks.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut failing = 0.0;
    let (mut from, mut last) = (f64::NEG_INFINITY, (f64::NAN, f64::NAN));
    for now in looks {
        if last.1.is_nan() || (last.1 < 0.0) == (now.1 < 0.0) {
            last = now;
            continue;
        }
        let crossing = crossing(last, now, at);
        if last.1 < 0.0 {
            failing += between(from, crossing);
        }
        from = crossing;
        last = now;
    }
    if last.1 < 0.0 { failing + between(from, f64::INFINITY) } else { failing }
}

/// A value may cross its limit and come back before it is looked at again, as in a gap between two limits that is narrower than
/// what is uncertain. Where the middle one of three looks on one side of the limit comes nearest to it: where it goes farthest
/// beyond, if it does, by the golden section.
fn missed(around: &[Look], at: &mut impl FnMut(f64) -> f64) -> Option<Look> {
    let [(mut low, one), (_, middle), (mut high, other)] = *around else { return None };
    let side = if middle < 0.0 { -1.0 } else { 1.0 };
    let [one, middle, other] = [one, middle, other].map(|value| side * value);
    if middle > one.min(other) || middle >= one.max(other) || one.min(other) < 0.0 {
        return None;
    }
    let mut look = |from: f64, to: f64| {
        let z = to + GOLDEN * (from - to);
        (z, side * sound(at(z)))
    };
    let (mut left, mut right) = (look(low, high), look(high, low));
    for _ in 0..TURN_STEPS {
        if left.1 < right.1 {
            high = right.0;
            right = left;
            left = look(low, high);
        } else {
            low = left.0;
            left = right;
            right = look(high, low);
        }
    }
    let (z, beyond) = if left.1 < right.1 { left } else { right };
    (beyond < 0.0).then_some((z, side * beyond))
}

/// What cannot be worked out has not held.
fn sound(value: f64) -> f64 {
    if value.is_nan() { f64::NEG_INFINITY } else { value }
}

fn between(from: f64, to: f64) -> f64 {
    // From the nearer end, so that small chances keep their digits.
    if from > 0.0 { normal_below(-from) - normal_below(-to) } else { normal_below(to) - normal_below(from) }
}

/// Where a value crosses zero between two places: by the chord, where that is not pulled back to one end (Illinois), and by
/// halves where there is none. Beside a pole a chord moves by nothing before the crossing is reached: a look a little further
/// on tells, and halves lead away from there.
fn crossing((mut a, mut left): (f64, f64), (mut b, mut right): (f64, f64), at: &mut impl FnMut(f64) -> f64) -> f64 {
    let mut side = 0;
    let mut chord = 0.0;
    let (mut next, mut arrived) = (None, None);
    for step in 0..STEPS {
        let is_chord = next.is_none();
        chord = next.take().unwrap_or((a * right - b * left) / (right - left));
        if !chord.is_finite() || chord <= a || chord >= b || step % 8 == 7 {
            chord = f64::midpoint(a, b);
        }
        let value = sound(at(chord));
        let before = if (value < 0.0) == (left < 0.0) {
            let before = std::mem::replace(&mut a, chord);
            left = value;
            right = if side == -1 { right / 2.0 } else { right };
            side = -1;
            before
        } else {
            let before = std::mem::replace(&mut b, chord);
            right = value;
            left = if side == 1 { left / 2.0 } else { left };
            side = 1;
            before
        };
        if value == 0.0 {
            return chord;
        }
        if b - a <= CLOSE {
            break;
        }
        let rests = (chord - before).abs() < CLOSE;
        arrived = (rests && is_chord).then_some(chord);
        next = rests.then(|| arrived.map_or(f64::midpoint(a, b), |chord| chord - 0.9 * CLOSE * f64::from(side)));
    }
    arrived.unwrap_or(chord)
}

/// The direction in which a value moves most, of length one: by its slopes, and where it has none by how far it bends.
fn steepest(count: usize, at: &mut impl FnMut(&[f64]) -> f64) -> Vec<f64> {
    let mut place = vec![0.0; count];
    let middle = at(&place);
    let mut slopes = Vec::with_capacity(count);
    for index in 0..count {
        let [up, down] = [1.0, -1.0].map(|by| {
            place[index] = by;
            at(&place)
        });
        place[index] = 0.0;
        let (slope, bend) = (f64::midpoint(up, -down), f64::midpoint((up - middle).abs(), (down - middle).abs()));
        let best = if slope.abs() > 0.1 * bend { slope } else { bend };
        slopes.push(if best.is_finite() { best } else { 0.0 });
    }
    let whole = slopes.iter().map(|slope| slope * slope).sum::<f64>().sqrt();
    if whole > 0.0 {
        for slope in &mut slopes {
            *slope /= whole;
        }
    } else {
        slopes[0] = 1.0;
    }
    slopes
}

/// The mirror that takes the first direction to another (Householder).
fn mirror(to: &[f64]) -> Vec<f64> {
    let mut mirror: Vec<f64> = to.iter().map(|part| -part).collect();
    mirror[0] += 1.0;
    let whole = mirror.iter().map(|part| part * part).sum::<f64>().sqrt();
    mirror.into_iter().map(|part| if whole > 1e-9 { part / whole } else { 0.0 }).collect()
}

/// Where a place on a line lies: `z` along it, the line itself so far aside of the middle, on one side or the other.
fn turn(mirror: &[f64], (z, sign, aside): (f64, f64, &[f64]), place: &mut Vec<f64>) {
    place.clear();
    place.extend(std::iter::once(z).chain(aside.iter().map(|part| sign * part)));
    let along: f64 = place.iter().zip(mirror).map(|(part, mirror)| part * mirror).sum();
    place.iter_mut().zip(mirror).for_each(|(part, mirror)| *part -= 2.0 * along * mirror);
}

/// Places of standard normal variables, one in each dimension.
fn evenly_spread(lines: u32, step: u64, dimensions: usize) -> Vec<Vec<f64>> {
    let count = u64::from(lines);
    let steps: Vec<u64> = std::iter::successors(Some(1), |last| Some(last * step % count)).take(dimensions).collect();
    let shifts: Vec<f64> =
        std::iter::successors(Some(SHIFT), |last| Some((last + SHIFT).fract())).take(dimensions).collect();
    #[allow(clippy::cast_precision_loss, reason = "some hundreds at the most")]
    let share = |line: u64, step: u64, shift: f64| (((line * step) % count) as f64 + shift) / f64::from(lines);
    let folded = |share: f64| 1.0 - (2.0 * share - 1.0).abs();
    let place = |line| {
        steps.iter().zip(&shifts).map(move |(step, shift)| quantile(folded(share(line, *step, *shift)))).collect()
    };
    (0..count).map(place).collect()
}

/// Where so much of the normal distribution lies below: a rational start (Abramowitz and Stegun 26.2.23, from memory) and Newton's
/// steps.
pub(super) fn quantile(share: f64) -> f64 {
    let tail = share.min(1.0 - share).max(1e-300);
    let t = (-2.0 * tail.ln()).sqrt();
    let start =
        t - (2.515_517 + t * (0.802_853 + t * 0.010_328)) / (1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308)));
    let mut z = start;
    for _ in 0..2 {
        z += (normal_below(-z) - tail) / super::sum::density(z);
    }
    if share < 0.5 { -z } else { z }
}
