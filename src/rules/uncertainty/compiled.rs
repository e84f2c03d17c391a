//! A comparison made ready to be worked out at many places of its inputs.
//!
//! Working out a formula looks up names, checks units and keeps uncertainties. None of that changes when inputs move: what
//! is left is arithmetic on numbers. So the formula is walked once, together with the steps and calculated values that
//! its names lead to. What no input moves becomes a number; what goes straight with the inputs becomes its slopes, however
//! many names lead to it; and what a rule asks in a way that is not known here is left to the evaluator.

use rustc_hash::FxHashMap;

use super::chance::CURVED;
use super::surface::Surface;
use crate::model::function::Function;
use crate::model::{Evaluation, FeatureId, Mode, Value};
use crate::quantity::{InputId, Quantity};
use crate::rules::functions::mechanics::MechanicsFunction;
use crate::syntax::tree::{Comparator, Expr, Operator};

/// How far each of some inputs moves a value, by its place among the inputs.
pub(super) type Moves = Vec<(usize, f64)>;

/// A part of a formula; parts are named by their index.
pub(super) enum Node<'m, 'v> {
    /// What no input moves; no number where it is none, or cannot be worked out.
    Constant(f64),
    /// What goes straight with the inputs.
    Straight {
        middle: f64,
        moves: Moves,
    },
    Arithmetic(Operator, usize, usize),
    Negative(usize),
    /// One of the functions that any expression can use, with a value of each argument's kind.
    Basic(&'static Function, Vec<(usize, Quantity)>),
    /// The smallest of some values, or the largest.
    Picked(Pick, Vec<usize>),
    Mechanics(&'static MechanicsFunction, Vec<usize>),
    /// What a surface over its arguments stands for.
    Fitted(Surface, Vec<Argument>),
    /// Two sides, and one over how uncertain their difference is.
    Compared(Comparator, usize, usize, f64),
    Both(usize, usize),
    Any(usize, usize),
    Not(usize),
    Choice(usize, usize, usize),
    Asked(Evaluation<'m, 'v>, &'m Expr),
}

/// An argument of a function, with how far its inputs move it.
pub(super) struct Argument {
    part: usize,
    middle: f64,
    spread: f64,
}

/// Which of several values counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pick {
    Least,
    Most,
}

/// Names one part of a formula: an expression where it is, or a field.
#[derive(PartialEq, Eq, Hash)]
pub(super) enum Key {
    Step(FeatureId, usize),
    Field(FeatureId, usize, Mode),
    Derived(FeatureId, usize),
}

/// A part with its value where the inputs are.
pub(super) type Part = (usize, Option<Value>);

/// A comparison, or several joined by `and`, `or` and `not`.
pub(super) struct Compiled<'m, 'v> {
    pub(super) nodes: Vec<Node<'m, 'v>>,
    pub(super) known: FxHashMap<Key, Part>,
    /// The inputs that it depends on, in the order in which they were met.
    pub(super) inputs: Vec<InputId>,
    pub(super) root: usize,
    pub(super) asks: bool,
}

/// What was worked out at one place of the inputs.
#[derive(Default)]
pub(super) struct Scratch {
    place: u64,
    numbers: Vec<(u64, f64)>,
}

impl Compiled<'_, '_> {
    pub(super) fn inputs(&self) -> &[InputId] {
        &self.inputs
    }

    /// Whether some of it is left to the evaluator, which moves each input by itself.
    pub(super) fn asks(&self) -> bool {
        self.asks
    }

    /// How everything moves that goes straight with the inputs: what the whole depends on, unless it asks.
    pub(super) fn moves(&mut self) -> impl Iterator<Item = &mut Moves> {
        self.nodes.iter_mut().filter_map(|node| match node {
            Node::Straight { moves, .. } => Some(moves),
            _ => None,
        })
    }

    /// Whether a part goes straight with the inputs.
    pub(super) fn is_even(&self, index: usize) -> bool {
        matches!(self.nodes[index], Node::Constant(_) | Node::Straight { .. })
    }

    /// Whether it is a single comparison whose sides go straight with the inputs: then so does their difference.
    pub(super) fn is_straight(&self) -> bool {
        match &self.nodes[self.root] {
            Node::Compared(Comparator::Equal | Comparator::Unequal, ..) => false,
            Node::Compared(_, left, right, _) => self.is_even(*left) && self.is_even(*right),
            _ => false,
        }
    }

    /// Whether more than one comparison decides.
    pub(super) fn is_joined(&self) -> bool {
        !matches!(self.nodes[self.root], Node::Compared(..))
    }

    /// By how many of its standard uncertainties the comparison holds where each input is moved by so many of its own;
    /// negative where it fails. Of joined ones that of the deciding. No number where it cannot be worked out.
    pub(super) fn at(&self, by: &[f64], scratch: &mut Scratch) -> f64 {
        self.node_at(self.root, by, scratch)
    }

    fn node_at(&self, index: usize, by: &[f64], scratch: &mut Scratch) -> f64 {
        scratch.numbers.resize(self.nodes.len(), (0, 0.0));
        scratch.place += 1;
        self.number(index, by, scratch)
    }

    fn number(&self, index: usize, by: &[f64], scratch: &mut Scratch) -> f64 {
        let (place, known) = scratch.numbers[index];
        if place == scratch.place {
            return known;
        }
        let number = self.work_out(index, by, scratch);
        scratch.numbers[index] = (scratch.place, number);
        number
    }

    fn work_out(&self, index: usize, by: &[f64], scratch: &mut Scratch) -> f64 {
        let mut number = |index: usize| self.number(index, by, scratch);
        match &self.nodes[index] {
            Node::Constant(constant) => *constant,
            Node::Straight { middle, moves } => {
                middle + moves.iter().map(|(input, amount)| amount * by[*input]).sum::<f64>()
            }
            Node::Arithmetic(operator, left, right) => arithmetic(*operator, number(*left), number(*right)),
            Node::Negative(inner) | Node::Not(inner) => -number(*inner),
            Node::Basic(function, arguments) => {
                let moved = |(index, kind): &(usize, Quantity)| Quantity { value: number(*index), ..kind.clone() };
                let arguments: Vec<Quantity> = arguments.iter().map(moved).collect();
                let sound = !arguments.iter().any(|argument| argument.value.is_nan());
                let result = sound.then(|| (function.apply)(&arguments).ok()).flatten();
                result.map_or(f64::NAN, |result| result.value)
            }
            Node::Picked(pick, of) => {
                let better: fn(f64, f64) -> f64 = if *pick == Pick::Least { f64::min } else { f64::max };
                of.iter().map(|index| number(*index)).reduce(|a, b| joined(a, b, better)).unwrap_or(f64::NAN)
            }
            Node::Fitted(surface, arguments) => {
                let mut moved = [0.0; CURVED];
                for (moved, argument) in moved.iter_mut().zip(arguments) {
                    *moved = (number(argument.part) - argument.middle) / argument.spread;
                }
                surface.at(&moved)
            }
            Node::Mechanics(function, arguments) => {
                let numbers: Vec<f64> = arguments.iter().map(|index| number(*index)).collect();
                if numbers.iter().any(|number| number.is_nan()) { f64::NAN } else { function.number(&numbers) }
            }
            Node::Compared(comparator, left, right, scale) => room(*comparator, number(*left), number(*right)) * scale,
            Node::Both(a, b) => joined(number(*a), number(*b), f64::min),
            Node::Any(a, b) => joined(number(*a), number(*b), f64::max),
            Node::Choice(condition, then, otherwise) => {
                let met = number(*condition);
                if met.is_nan() { met } else { number(if met >= 0.0 { *then } else { *otherwise }) }
            }
            Node::Asked(evaluation, expr) => asked(evaluation, expr, &self.inputs, by),
        }
    }

    /// Lets a surface over its arguments stand for each function of the mechanics that it meets: those are what a formula
    /// takes its time for, also where the whole bends at a `min` or a condition and no surface meets it.
    pub(super) fn fit(&mut self, count: usize) {
        let mut scratch = Scratch::default();
        for index in 0..self.nodes.len() {
            let Node::Mechanics(function, arguments) = &self.nodes[index] else { continue };
            let is_moving = |(_, part): &(usize, &usize)| !matches!(self.nodes[**part], Node::Constant(_));
            let moving = arguments.iter().enumerate().filter(is_moving);
            let moving = moving.map(|(place, part)| Some((place, self.spread_of(*part, count, &mut scratch)?)));
            let Some(moving) = moving.collect::<Option<Vec<_>>>() else { continue };
            let still = vec![0.0; count];
            let middle = |part: &usize| self.node_at(*part, &still, &mut scratch);
            let mut numbers: Vec<f64> = arguments.iter().map(middle).collect();
            let surface = (1..=CURVED).contains(&moving.len()).then(|| {
                Surface::of(moving.len(), &mut |by| {
                    for ((place, argument), by) in moving.iter().zip(by) {
                        numbers[*place] = argument.middle + by * argument.spread;
                    }
                    function.number(&numbers)
                })
            });
            if let Some(surface) = surface.flatten() {
                self.nodes[index] = Node::Fitted(surface, moving.into_iter().map(|(_, argument)| argument).collect());
            }
        }
    }

    /// An argument with how far its inputs move it; `None` where they do not where it is.
    fn spread_of(&self, part: usize, count: usize, scratch: &mut Scratch) -> Option<Argument> {
        let mut by = vec![0.0; count];
        let middle = self.node_at(part, &by, scratch);
        let mut squares = 0.0_f64;
        for input in 0..count {
            let far = [1.0, -1.0].map(|far| {
                by[input] = far;
                (self.node_at(part, &by, scratch) - middle).abs()
            });
            by[input] = 0.0;
            squares += far[0].max(far[1]).powi(2);
        }
        let spread = squares.sqrt();
        (spread > 0.0 && spread.is_finite()).then_some(Argument { part, middle, spread })
    }
}

fn arithmetic(operator: Operator, left: f64, right: f64) -> f64 {
    let result = match operator {
        Operator::Add => left + right,
        Operator::Subtract => left - right,
        Operator::Multiply => left * right,
        Operator::Divide => left / right,
        _ => left.powf(right),
    };
    if result.is_finite() { result } else { f64::NAN }
}

/// How far a comparison is from failing; as [`Margin::new`] has it, sums of decimal fractions must not fail by the last bit.
fn room(comparator: Comparator, left: f64, right: f64) -> f64 {
    let slack = 1e-9 * left.abs().max(right.abs()).max(1e-9);
    match comparator {
        Comparator::AtMost => right - left + slack,
        Comparator::AtLeast => left - right + slack,
        Comparator::Less => right - left - slack,
        Comparator::Greater => left - right - slack,
        Comparator::Equal => slack - (left - right).abs(),
        Comparator::Unequal => (left - right).abs() - slack,
    }
}

/// A condition that cannot be worked out makes both what it is joined to and the whole so.
fn joined(a: f64, b: f64, by: fn(f64, f64) -> f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { by(a, b) }
}

/// What the evaluator says with each input moved.
pub(super) fn asked(evaluation: &Evaluation, expr: &Expr, inputs: &[InputId], by: &[f64]) -> f64 {
    let draws = inputs.iter().copied().zip(by.iter().copied()).collect();
    match evaluation.model.with_draws(draws, || evaluation.value(expr)) {
        Ok(Value::Quantity(quantity)) => quantity.value,
        Ok(Value::Margin(margin)) => margin.room.value,
        Ok(value) => value.holds().map_or(f64::NAN, |holds| if holds { 1.0 } else { -1.0 }),
        Err(_) => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Independent inputs that move an argument by 3 and by 4 move it by 5 in all (JCGM 100:2008, 5.1.2), wherever it is.
    #[test]
    fn an_argument_is_as_uncertain_as_its_inputs_make_it() {
        for middle in [0.0, 100.0] {
            let nodes = vec![Node::Straight { middle, moves: vec![(0, 3.0), (1, -4.0)] }, Node::Constant(middle)];
            let compiled = Compiled { nodes, known: FxHashMap::default(), inputs: Vec::new(), root: 0, asks: false };
            let spread = |part| compiled.spread_of(part, 2, &mut Scratch::default()).map(|argument| argument.spread);
            assert_eq!((spread(0), spread(1)), (Some(5.0), None));
        }
    }
}
