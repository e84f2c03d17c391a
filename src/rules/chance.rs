//! How likely a comparison is to fail, from everything that its inputs are uncertain by.
//!
//! JCGM 100:2008 (GUM) gives the combined uncertainty to first order. Where the comparison is
//! straight within two standard uncertainties, the chance is that of a sum of normal and bounded
//! inputs, worked out exactly (`sum.rs`). Where it curves, values are drawn as JCGM 101:2008
//! describes, with a fixed seed, so that one sheet always gives one answer: of the formula itself,
//! or of its second order where that meets it.

use super::sum;
use crate::model::{Evaluation, Margin, Model, Value};
use crate::quantity::{Shape, Term};
use crate::syntax::tree::Expr;

/// Beyond so many standard uncertainties a comparison holds or fails for certain.
const CERTAIN: f64 = 6.0;
/// Draws where the formula curves: a chance of a tenth comes out within 1 %.
const DRAWS: u32 = 1000;
/// Draws of its second order, which cost little: within half a per cent.
const DRAWS_OF_SURFACE: u32 = 4000;
/// A formula counts as straight if, two standard uncertainties off, it misses by less than this
/// many of them.
const STRAIGHT: f64 = 0.1;
/// And as curved to the second order, if that misses it by less than this many.
const CURVED: f64 = 0.25;
/// How far off the curves are taken, in standard uncertainties of their inputs.
const ASIDE: f64 = 1.5;
/// How far off a formula is looked at to tell its kind, along the direction in which it moves most.
const FAR: [f64; 2] = [2.0, -2.0];
/// How far off a curve must meet it as well: a bend in between, as of a `max`, can pass far off.
const NEAR: [f64; 4] = [1.0, -1.0, 0.5, -0.5];
/// And within so many standard uncertainties.
const NEARLY: f64 = 0.1;
const SEED: u64 = 0x000D_2F17;

/// The chance that a comparison fails, and what makes it uncertain.
#[derive(Debug, Clone, PartialEq)]
pub struct Chance {
    /// From 0 to 1.
    pub failing: f64,
    /// The inputs with their shares of the variance, largest first.
    pub causes: Vec<(String, f64)>,
}

/// The chance that a condition fails; `None` where nothing in it is uncertain.
pub(super) fn of(evaluation: &Evaluation, expr: &Expr, value: &Value) -> Option<Chance> {
    let Value::Margin(margin) = value else { return None };
    let spread = margin.room.uncertainty();
    if spread <= 0.0 || evaluation.model.is_drawing() {
        return None;
    }
    let failing = match margin.room.value / spread {
        far if far > CERTAIN => 0.0,
        far if far < -CERTAIN => 1.0,
        _ => {
            Formula { evaluation, expr, margin, terms: in_order(evaluation.model, margin), spread }.chance_of_failing()
        }
    };
    Some(Chance { failing, causes: causes(evaluation.model, &margin.room.terms) })
}

/// A comparison with what is needed to move its inputs.
struct Formula<'a, 'm, 'v> {
    evaluation: &'a Evaluation<'m, 'v>,
    expr: &'a Expr,
    margin: &'a Margin,
    /// The margin's terms in the order in which they are drawn.
    terms: Vec<Term>,
    spread: f64,
}

/// A margin's terms by the names of their inputs: inputs are numbered as they are first met, and what
/// was looked at before must not decide which draw each of them gets.
fn in_order(model: &Model, margin: &Margin) -> Vec<Term> {
    let mut terms: Vec<(Option<String>, Term)> =
        margin.room.terms.iter().map(|term| (model.input(term.input).map(|input| input.label), *term)).collect();
    terms.sort_by(|(a, one), (b, other)| a.cmp(b).then_with(|| one.amount.total_cmp(&other.amount)));
    terms.into_iter().map(|(_, term)| term).collect()
}

impl Formula<'_, '_, '_> {
    fn chance_of_failing(&self) -> f64 {
        let terms = &self.terms;
        let direction = |far: f64| move |term: &Term| far * term.amount / self.spread;
        let found = FAR.map(|far| self.room(direction(far)));
        let meets = |expected: [f64; 2], within: f64| {
            let near = |(found, expected): (&Option<f64>, f64)| {
                found.is_some_and(|found| (found - expected).abs() <= within * self.spread)
            };
            found.iter().zip(expected).all(near)
        };
        let model = self.evaluation.model;
        if meets(FAR.map(|far| self.margin.room.value + far * self.spread), STRAIGHT) {
            return as_sum(model, self.margin);
        }
        if let Some(surface) = self.surface() {
            let far = |far: f64| terms.iter().map(direction(far)).collect::<Vec<f64>>();
            let curved = |by: f64| self.margin.room.value + surface.at(&far(by));
            let meets_near = |by: &f64| {
                self.room(direction(*by)).is_some_and(|room| (room - curved(*by)).abs() <= NEARLY * self.spread)
            };
            if meets(FAR.map(curved), CURVED) && NEAR.iter().all(meets_near) {
                let mut by = vec![0.0; terms.len()];
                return drawn(DRAWS_OF_SURFACE, |random| {
                    by.iter_mut().zip(terms).for_each(|(by, term)| *by = draw(model, term, random));
                    self.margin.room.value + surface.at(&by) >= 0.0
                });
            }
        }
        drawn(DRAWS, |random| {
            // What cannot be worked out for a draw has not held there.
            self.moved(|term| draw(model, term, random)).and_then(|value| value.holds()) == Some(true)
        })
    }

    /// The comparison with each input moved by so many of its standard uncertainties.
    fn moved(&self, by: impl FnMut(&Term) -> f64) -> Option<Value> {
        let mut draws = Draws::new(&self.terms);
        draws.set(by);
        self.evaluation.model.with_draws(draws.values, || self.evaluation.value(self.expr)).ok()
    }

    fn room(&self, by: impl FnMut(&Term) -> f64) -> Option<f64> {
        match self.moved(by)? {
            Value::Margin(margin) => Some(margin.room.value),
            _ => None,
        }
    }

    /// How the room goes with its inputs, to the second order; `None` where it cannot be worked out
    /// aside of where the inputs stand.
    fn surface(&self) -> Option<Surface> {
        let (terms, middle) = (&self.terms, self.margin.room.value);
        let aside = |moved: &[(usize, f64)]| {
            let by = |term: &Term| moved.iter().find(|(index, _)| terms[*index].input == term.input);
            self.room(|term| by(term).map_or(0.0, |(_, by)| *by)).map(|room| room - middle)
        };
        let alone = |index| Some((aside(&[(index, ASIDE)])?, aside(&[(index, -ASIDE)])?));
        let alone = (0..terms.len()).map(alone).collect::<Option<Vec<(f64, f64)>>>()?;
        let mut crossed = Vec::new();
        for (one, (up, _)) in alone.iter().enumerate() {
            for (other, (also_up, _)) in alone.iter().enumerate().skip(one + 1) {
                let both = aside(&[(one, ASIDE), (other, ASIDE)])?;
                crossed.push((one, other, (both - up - also_up) / (ASIDE * ASIDE)));
            }
        }
        let slopes = alone.iter().map(|(up, down)| (up - down) / (2.0 * ASIDE)).collect();
        let curves = alone.iter().map(|(up, down)| (up + down) / (2.0 * ASIDE * ASIDE)).collect();
        Some(Surface { slopes, curves, crossed })
    }
}

/// How far a value moves with its inputs, in their standard uncertainties, to the second order.
struct Surface {
    slopes: Vec<f64>,
    curves: Vec<f64>,
    /// Two inputs, and how far the value moves with both at once beyond what it does with each.
    crossed: Vec<(usize, usize, f64)>,
}

impl Surface {
    fn at(&self, by: &[f64]) -> f64 {
        let alone = self.slopes.iter().zip(&self.curves).zip(by).map(|((slope, curve), by)| (slope + curve * by) * by);
        let crossed = self.crossed.iter().map(|(one, other, amount)| amount * by[*one] * by[*other]);
        alone.sum::<f64>() + crossed.sum::<f64>()
    }
}

/// The share of draws in which something does not hold.
fn drawn(draws: u32, mut holds: impl FnMut(&mut fastrand::Rng) -> bool) -> f64 {
    let mut random = fastrand::Rng::with_seed(SEED);
    let failed = (0..draws).filter(|_| !holds(&mut random)).count();
    #[allow(clippy::cast_precision_loss, reason = "some thousands")]
    let failed = failed as f64;
    failed / f64::from(draws)
}

/// The chance that the room, moved by its inputs, falls below zero.
fn as_sum(model: &Model, margin: &Margin) -> f64 {
    let (mut normal, mut bounded) = (0.0_f64, Vec::new());
    for term in &margin.room.terms {
        match model.input(term.input).map(|input| input.shape) {
            Some(Shape::Rectangular) => bounded.push(term.amount.abs() * 3.0_f64.sqrt()),
            _ => normal = normal.hypot(term.amount),
        }
    }
    sum::below(-margin.room.value, normal, bounded)
}

/// A value of an input's distribution, scaled to mean 0 and standard deviation 1.
fn draw(model: &Model, term: &Term, random: &mut fastrand::Rng) -> f64 {
    if model.input(term.input).is_some_and(|input| input.shape == Shape::Rectangular) {
        return (2.0 * random.f64() - 1.0) * 3.0_f64.sqrt();
    }
    // Box and Muller: two uniform values give a normal one.
    let radius = (-2.0 * (1.0 - random.f64()).ln()).sqrt();
    radius * (std::f64::consts::TAU * random.f64()).cos()
}

/// Moves by input, as the model takes them.
struct Draws<'t> {
    terms: &'t [Term],
    values: Vec<f64>,
}

impl<'t> Draws<'t> {
    fn new(terms: &'t [Term]) -> Self {
        let last = terms.iter().map(|term| term.input.0 as usize + 1).max().unwrap_or(0);
        Self { terms, values: vec![0.0; last] }
    }

    fn set(&mut self, mut by: impl FnMut(&Term) -> f64) {
        for term in self.terms {
            self.values[term.input.0 as usize] = by(term);
        }
    }
}

fn causes(model: &Model, terms: &[Term]) -> Vec<(String, f64)> {
    let total: f64 = terms.iter().map(|term| term.amount * term.amount).sum();
    let mut causes: Vec<(String, f64)> = terms
        .iter()
        .filter_map(|term| Some((model.input(term.input)?.label, term.amount * term.amount / total)))
        .collect();
    causes.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    causes
}
