//! How likely a comparison is to fail, from everything that its inputs are uncertain by.
//!
//! JCGM 100:2008 (GUM) gives the combined uncertainty to first order. Where the comparison is straight within two standard
//! uncertainties, the chance is that of a sum of its inputs, worked out exactly (`sum.rs`, `inversion.rs`). Where it curves, bends or is
//! joined of several, distributions are propagated as JCGM 101:2008 describes, along fixed and evenly spread lines
//! (`lines.rs`) in place of random points: one sheet always gives one answer, and a sheet that differs a little one that
//! differs a little.

use super::axes::{self, Axis};
use super::compiled::{Compiled, Scratch};
use super::lines::Closely;
use super::surface::Surface;
use super::{lines, remembered, sum};
use crate::model::{Evaluation, Margin, Model, Value};
use crate::quantity::{InputId, InputKind, Term};
use crate::syntax::tree::Expr;

/// Beyond so many standard uncertainties a comparison holds or fails for certain, unless by the tail of a few readings, or
/// because it curves.
const CERTAIN: f64 = 6.0;
/// The same where what it curves by is counted.
const CERTAIN_CURVED: f64 = 4.0;
/// A formula counts as straight if, two standard uncertainties off, it misses by less than this many of them; with few readings
/// as far off as as much of their tails lies beyond, by as much more as a curve would.
const STRAIGHT: f64 = 0.02;
/// With more inputs than these, a second order takes more looks than the formula itself.
pub(super) const CURVED: usize = 16;
/// How far off a formula is looked at to tell, along the direction in which it moves most.
pub(super) const FAR: [f64; 2] = [2.0, -2.0];

/// The chance that a comparison fails, and what makes it uncertain.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Chance {
    /// From 0 to 1.
    pub failing: f64,
    /// What makes it uncertain, largest share first; empty where that is not told.
    pub causes: Vec<Cause>,
}

/// One of the inputs that make a comparison uncertain.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Cause {
    /// What it is: `bounds of rail.throat`.
    pub name: String,
    /// Its share of the variance, from 0 to 1.
    pub share: f64,
    /// Where its uncertainty comes from.
    pub kind: InputKind,
    /// Whether its figure is the author's own, and not a built-in one.
    pub own: bool,
}

/// The chance that a condition fails; `None` where nothing in it is uncertain.
pub(in crate::rules) fn of<'m>(evaluation: &Evaluation<'m, '_>, expr: &'m Expr, value: &Value) -> Option<Chance> {
    as_closely(Closely::Exactly, evaluation, (expr, value), |_| true)
}

/// The same, as closely as it is wanted; with what makes it uncertain only where that is told of such a chance.
pub(in crate::rules) fn as_closely<'m>(
    closely: Closely,
    evaluation: &Evaluation<'m, '_>,
    (expr, value): (&'m Expr, &Value),
    is_told: impl FnOnce(f64) -> bool,
) -> Option<Chance> {
    let Value::Margin(margin) = value else { return None };
    let model = evaluation.model;
    if margin.room.terms.is_empty() || model.is_drawing() {
        return None;
    }
    let mut comparison = Comparison::of(evaluation, expr, margin);
    comparison.moving().next()?;
    let failing = comparison.if_far_off().unwrap_or_else(|| comparison.chance_of_failing(closely));
    let causes = if is_told(failing) { causes(&comparison.terms, model) } else { Vec::new() };
    Some(Chance { failing, causes })
}

/// The chance where only the long tails of a few readings reach: there is no more to a formula than its slopes.
fn chance_by_tails(room: f64, inputs: impl Iterator<Item = (f64, Axis)> + Clone) -> f64 {
    if inputs.clone().any(|(_, axis)| matches!(axis, Axis::Student(_))) {
        chance_of_sum(room, inputs)
    } else if room > 0.0 {
        0.0
    } else {
        1.0
    }
}

/// The chance of a room that goes straight with its inputs, each moving it by so much.
fn chance_of_sum(room: f64, inputs: impl Iterator<Item = (f64, Axis)> + Clone) -> f64 {
    let known = remembered::key_of_sum(room, inputs.clone());
    remembered::chance(known, || sum::of_inputs(-room, inputs))
}

/// The inputs that move a room by so much, with their shares of the variance, largest first.
fn causes(terms: &[Term], model: &Model) -> Vec<Cause> {
    let total: f64 = terms.iter().map(|term| term.amount * term.amount).sum();
    let one = |term: &Term| {
        let input = model.input(term.input)?;
        let share = term.amount * term.amount / total;
        Some(Cause { name: input.label, share, kind: input.kind, own: input.own })
    };
    let mut causes: Vec<Cause> = terms.iter().filter(|term| term.amount != 0.0).filter_map(one).collect();
    causes.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.name.cmp(&b.name)));
    causes
}

/// A comparison with what is needed to move its inputs.
pub(super) struct Comparison<'a, 'm, 'v> {
    pub(super) margin: &'a Margin,
    pub(super) compiled: Compiled<'m, 'v>,
    pub(super) axes: Vec<Axis>,
    /// By how much each of the inputs moves the room, by its standard uncertainty.
    terms: Vec<Term>,
    /// How uncertain the room is by them.
    pub(super) spread: f64,
    /// Whether an input that moves nothing where it is moves something further off.
    pub(super) bends: bool,
}

impl<'a, 'm, 'v> Comparison<'a, 'm, 'v> {
    pub(super) fn of(evaluation: &Evaluation<'m, 'v>, expr: &'m Expr, margin: &'a Margin) -> Self {
        let mut compiled = Compiled::of(evaluation, expr, margin.room.uncertainty());
        for term in &margin.room.terms {
            compiled.input(term.input);
        }
        let axes = compiled.inputs().iter().map(|input| Axis::of(evaluation.model.shape(*input))).collect();
        let mut comparison = Self { margin, compiled, axes, terms: Vec::new(), spread: 0.0, bends: false };
        comparison.look_around();
        comparison
    }

    /// How far each input moves the room: to first order, and where that is nothing, as far off as two standard
    /// uncertainties.
    fn look_around(&mut self) {
        let spread = self.margin.room.uncertainty();
        let inputs: Vec<InputId> = self.compiled.inputs().to_vec();
        let known = &self.margin.room.terms;
        let amount = |input: &InputId| {
            known.binary_search_by_key(input, |term| term.input).map_or(0.0, |index| known[index].amount)
        };
        self.terms = inputs.iter().map(|input| Term { input: *input, amount: amount(input) }).collect();
        if !self.compiled.is_straight() {
            let still: Vec<usize> = (0..inputs.len()).filter(|index| self.terms[*index].amount == 0.0).collect();
            for index in still {
                let moved = self.moves_further_off(index, spread);
                self.bends |= moved > STRAIGHT * spread;
                self.terms[index].amount = moved;
            }
        }
        self.spread = self.terms.iter().map(|term| term.amount * term.amount).sum::<f64>().sqrt();
    }

    fn moves_further_off(&self, index: usize, spread: f64) -> f64 {
        let scale = if spread > 0.0 { spread } else { 1.0 };
        let mut scratch = Scratch::default();
        let mut by = vec![0.0; self.axes.len()];
        let middle = self.compiled.at(&by, &mut scratch);
        let far = FAR.map(|far| {
            by[index] = self.axes[index].place(far);
            (self.compiled.at(&by, &mut scratch) - middle).abs() / far.abs()
        });
        let most = far[0].max(far[1]) * scale;
        if most.is_finite() { most } else { 0.0 }
    }

    /// The inputs that move it.
    fn moving(&self) -> impl Iterator<Item = &Term> {
        self.terms.iter().filter(|term| term.amount != 0.0)
    }

    /// How far each input moves it, and how it is distributed.
    fn distributed(&self) -> impl Iterator<Item = (f64, Axis)> + Clone {
        self.terms.iter().zip(&self.axes).map(|(term, axis)| (term.amount, *axis))
    }

    /// The chance where it holds or fails by many times its uncertainty.
    fn if_far_off(&self) -> Option<f64> {
        let room = self.margin.room.value;
        let far = (room / self.spread).abs();
        let is_far = far > CERTAIN && (self.compiled.is_straight() || self.stays_far(far));
        is_far.then(|| chance_by_tails(room, self.distributed()))
    }

    /// Whether it stays far off as it curves: what it misses the straight way by, two standard uncertainties off, grows with the
    /// square of the way.
    fn stays_far(&self, far: f64) -> bool {
        let missed_by = |curve: f64| curve * (CERTAIN_CURVED / FAR[0]).powi(2);
        self.curves().all(|curve| far > CERTAIN_CURVED + missed_by(curve))
    }

    /// How far off the straight way it is on both sides, in standard uncertainties: two of them off, or with few readings as far
    /// off as as much of their tails lies beyond, where a curve misses by as much more.
    pub(super) fn curves(&self) -> impl Iterator<Item = f64> {
        let middle = self.margin.room.value / self.spread;
        let mut scratch = Scratch::default();
        FAR.into_iter().map(move |far| {
            let by: Vec<f64> = self.distributed().map(|(amount, axis)| axis.far(far) * amount / self.spread).collect();
            let straight = by.iter().zip(&self.terms).map(|(by, term)| by * term.amount).sum::<f64>() / self.spread;
            let missed = (self.compiled.at(&by, &mut scratch) - (middle + straight)).abs();
            missed * (far / straight).powi(2)
        })
    }

    pub(super) fn chance_of_failing(&mut self, closely: Closely) -> f64 {
        if self.is_straight() {
            return chance_of_sum(self.margin.room.value, self.distributed());
        }
        if closely.least().is_some_and(|limit| self.is_clear_of(limit)) {
            return sum::normal_below(-self.margin.room.value / self.spread);
        }
        let axes = if self.compiled.asks() {
            self.axes.clone()
        } else {
            axes::together(&self.axes, self.compiled.moves().collect())
        };
        let known = remembered::key(&self.compiled, &axes, closely);
        remembered::chance(known, || self.chance_along_lines(&axes, closely))
    }

    fn chance_along_lines(&mut self, axes: &[Axis], closely: Closely) -> f64 {
        let mut scratch = Scratch::default();
        let mut at = |by: &[f64]| self.compiled.at(by, &mut scratch);
        let surface = (1..=CURVED).contains(&axes.len()).then(|| Surface::of(axes.len(), &mut at)).flatten();
        if let Some(surface) = surface.filter(|surface| meets_far_off(surface, axes, &mut at)) {
            return lines::failing(axes, closely, &mut |by| surface.at(by));
        }
        if !self.compiled.asks() {
            self.compiled.fit(axes.len());
        }
        let mut scratch = Scratch::default();
        lines::failing(axes, closely, &mut |by| self.compiled.at(by, &mut scratch))
    }

    /// Whether the room goes straight as far as it matters, so that it is a sum of what its inputs move it by.
    pub(super) fn is_straight(&self) -> bool {
        if self.bends || self.compiled.is_joined() {
            return false;
        }
        if self.compiled.is_straight() {
            return true;
        }
        self.curves().all(|curve| curve < STRAIGHT)
    }
}

/// Whether a surface is still met as far off as the tails of few readings reach, in standard uncertainties of the whole.
fn meets_far_off(surface: &Surface, axes: &[Axis], at: &mut impl FnMut(&[f64]) -> f64) -> bool {
    let mut by = vec![0.0; axes.len()];
    let mut meets = |index: usize, far: f64| {
        by[index] = axes[index].far(far);
        let (miss, most) = ((at(&by) - surface.at(&by)).abs(), STRAIGHT * (by[index] / far).powi(2));
        by[index] = 0.0;
        miss < most
    };
    let few = (0..axes.len()).filter(|index| matches!(axes[*index], Axis::Student(_)));
    few.flat_map(|index| FAR.map(|far| (index, far))).all(|(index, far)| meets(index, far))
}

#[cfg(test)]
mod tests {
    use super::super::compile::tests::each_comparison;
    use super::*;
    use crate::rules::Library;

    /// A product of sides that are known to a few hundredths hardly curves, so that its chance is that of a sum; the cube of a
    /// thickness does, and a chance of it is looked for along lines.
    #[test]
    fn what_hardly_curves_is_taken_for_straight() {
        let mut found = Vec::new();
        each_comparison(&Library::built_in(), |rule, evaluation, expr| {
            let Ok(Value::Margin(margin)) = evaluation.value(expr) else { return };
            let comparison = Comparison::of(evaluation, expr, &margin);
            if !comparison.compiled.is_straight() && ["sheared-hook", "stiff-arm"].contains(&rule) {
                found.push((rule.to_owned(), comparison.is_straight()));
            }
        });
        found.dedup();
        assert_eq!(found, [("stiff-arm".to_owned(), false), ("sheared-hook".to_owned(), true)]);
    }
}
