//! How likely a comparison is to fail, from everything that its inputs are uncertain by.
//!
//! JCGM 100:2008 (GUM) gives the combined uncertainty to first order. Where the comparison is
//! straight within two standard uncertainties, the chance is that of a sum of normal and bounded
//! inputs, worked out exactly (`sum.rs`). Where it curves, values are drawn as JCGM 101:2008
//! describes, with a fixed seed, so that one sheet always gives one answer.

use super::sum;
use crate::model::{Evaluation, Margin, Model, Value};
use crate::quantity::{Shape, Term};
use crate::syntax::tree::Expr;

/// Beyond so many standard uncertainties a comparison holds or fails for certain.
const CERTAIN: f64 = 6.0;
/// Draws where the formula curves.
const DRAWS: u32 = 1000;
/// A formula counts as straight if, two standard uncertainties off, it misses by less than this
/// many of them.
const STRAIGHT: f64 = 0.1;
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
        _ if !is_straight(evaluation, expr, margin, spread) => drawn_in_full(evaluation, expr, &margin.room.terms),
        _ => as_sum(evaluation.model, margin),
    };
    Some(Chance { failing, causes: causes(evaluation.model, &margin.room.terms) })
}

/// Whether the margin moves as its first-order terms say, two standard uncertainties either way
/// along the direction in which it moves most.
fn is_straight(evaluation: &Evaluation, expr: &Expr, margin: &Margin, spread: f64) -> bool {
    [2.0, -2.0].into_iter().all(|far| {
        let mut draws = Draws::new(&margin.room.terms);
        draws.set(|term| far * term.amount / spread);
        match evaluation.model.with_draws(draws.values, || evaluation.value(expr)) {
            Ok(Value::Margin(moved)) => {
                let expected = margin.room.value + far * spread;
                (moved.room.value - expected).abs() <= STRAIGHT * spread
            }
            _ => false,
        }
    })
}

fn drawn_in_full(evaluation: &Evaluation, expr: &Expr, terms: &[Term]) -> f64 {
    let mut random = fastrand::Rng::with_seed(SEED);
    let mut failed = 0;
    for _ in 0..DRAWS {
        let mut draws = Draws::new(terms);
        draws.set(|term| draw(evaluation.model, term, &mut random));
        let result = evaluation.model.with_draws(draws.values, || evaluation.value(expr));
        // What cannot be worked out for a draw has not held there.
        failed += u32::from(result.ok().and_then(|value| value.holds()) != Some(true));
    }
    f64::from(failed) / f64::from(DRAWS)
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
        let last = terms.last().map_or(0, |term| term.input.0 as usize + 1);
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
