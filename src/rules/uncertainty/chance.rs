//! How likely a comparison is to fail, from everything that its inputs are uncertain by.
//!
//! JCGM 100:2008 (GUM) gives the combined uncertainty to first order. Where the comparison is
//! straight within two standard uncertainties, the chance is that of a sum of normal and bounded
//! inputs, worked out exactly (`sum.rs`). Where it curves, distributions are propagated as JCGM 101:2008
//! describes, with fixed and evenly spread points (`lattice.rs`) in place of random ones, so that one
//! sheet always gives one answer: of the formula itself, or of its second order where that meets it.

use super::lattice::Lattice;
use super::sum;
use crate::model::{Evaluation, Margin, Model, Value};
use crate::quantity::{InputKind, Shape, Term};
use crate::syntax::tree::{Comparator, Expr};

/// Beyond so many standard uncertainties a comparison holds or fails for certain.
const CERTAIN: f64 = 6.0;
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

/// The chance that a comparison fails, and what makes it uncertain.
#[derive(Debug, Clone, PartialEq)]
pub struct Chance {
    /// From 0 to 1.
    pub failing: f64,
    /// What makes it uncertain, largest share first.
    pub causes: Vec<Cause>,
}

/// One of the inputs that make a comparison uncertain.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
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
pub(in crate::rules) fn of(evaluation: &Evaluation, expr: &Expr, value: &Value) -> Option<Chance> {
    beside(&[], evaluation, expr, value)
}

/// The same, as closely as it takes to tell on which side of each of some limits the chance lies.
pub(in crate::rules) fn beside(limits: &[f64], evaluation: &Evaluation, expr: &Expr, value: &Value) -> Option<Chance> {
    let Value::Margin(margin) = value else { return None };
    if margin.room.terms.is_empty() || evaluation.model.is_drawing() {
        return None;
    }
    let formula = Formula::of(evaluation, expr, margin);
    if formula.spread <= 0.0 {
        return None;
    }
    let causes = causes(evaluation.model, &formula.terms);
    let failing = match margin.room.value / formula.spread {
        far if far > CERTAIN => 0.0,
        far if far < -CERTAIN => 1.0,
        _ => formula.in_order().chance_of_failing(limits),
    };
    Some(Chance { failing, causes })
}

/// A comparison with what is needed to move its inputs.
struct Formula<'a, 'm, 'v> {
    evaluation: &'a Evaluation<'m, 'v>,
    expr: &'a Expr,
    margin: &'a Margin,
    /// The margin's terms in the order of the points' dimensions.
    terms: Vec<Term>,
    /// How uncertain the room is by them.
    spread: f64,
    /// Whether an input that moves nothing where it stands does further off.
    bends: bool,
}

impl<'a, 'm, 'v> Formula<'a, 'm, 'v> {
    fn of(evaluation: &'a Evaluation<'m, 'v>, expr: &'a Expr, margin: &'a Margin) -> Self {
        let terms = margin.room.terms.clone();
        let mut formula = Self { evaluation, expr, margin, terms, spread: margin.room.uncertainty(), bends: false };
        let moves = formula.moves_further_off();
        formula.bends = moves.iter().any(|(_, amount)| *amount > STRAIGHT * formula.spread);
        for (index, amount) in moves.into_iter().filter(|_| formula.bends) {
            formula.terms[index].amount = amount;
        }
        formula.spread = formula.terms.iter().map(|term| term.amount * term.amount).sum::<f64>().sqrt();
        formula
    }

    /// For each input that moves nothing where it stands: how much it does, by a standard uncertainty, at the far ends.
    fn moves_further_off(&self) -> Vec<(usize, f64)> {
        let still = self.terms.iter().enumerate().filter(|(_, term)| term.amount == 0.0);
        let at = |index: usize, far: f64| {
            // A value between bounds is never beyond them.
            let bounded = is_bounded(self.evaluation.model, &self.terms[index]);
            let far = if bounded { far.clamp(-3.0_f64.sqrt(), 3.0_f64.sqrt()) } else { far };
            let mut by = vec![0.0; self.terms.len()];
            by[index] = far;
            self.rooms(&by).map_or(0.0, |[room, _]| (room - self.margin.room.value).abs() / far.abs())
        };
        still.map(|(index, _)| (index, FAR.map(|far| at(index, far)).into_iter().fold(0.0, f64::max))).collect()
    }

    /// With the terms that move it most first, then by the names of their inputs: inputs are numbered as they are first
    /// met, and what was looked at before must not decide which dimension of the points each of them gets.
    fn in_order(mut self) -> Self {
        let label = |term: Term| (self.evaluation.model.input(term.input).map(|input| input.label), term);
        let mut named: Vec<(Option<String>, Term)> = self.terms.iter().copied().map(label).collect();
        let size = |term: &Term| term.amount.abs();
        named.sort_by(|(a, one), (b, other)| size(other).total_cmp(&size(one)).then_with(|| a.cmp(b)));
        self.terms = named.into_iter().map(|(_, term)| term).collect();
        self
    }

    fn chance_of_failing(&self, limits: &[f64]) -> f64 {
        let toward = |far: f64| self.terms.iter().map(|term| far * term.amount / self.spread).collect::<Vec<f64>>();
        let far = FAR.map(|far| (toward(far), self.rooms(&toward(far))));
        let straight = |by: f64| self.margin.room.value + by * self.spread;
        let misses = |(found, by): (&Option<Rooms>, f64)| {
            found.is_none_or(|[room, _]| (room - straight(by)).abs() > STRAIGHT * self.spread)
        };
        if !self.bends && !far.iter().map(|(_, found)| found).zip(FAR).any(misses) {
            return as_sum(self.evaluation.model, self.margin);
        }
        // What cannot be worked out at a point has not held there.
        let mut holds = |by: &[f64]| self.moved(by).and_then(|value| value.holds()) == Some(true);
        let Some(aside) = self.aside() else { return self.lattice().failing(holds) };
        let near = NEAR.map(|near| (toward(near), self.rooms(&toward(near))));
        let surface = |measure: usize| aside.surface(measure, rooms(self.margin)[measure]);
        let surfaces = [0, 1].map(|measure| surface(measure).map(|surface| surface.tried(measure, &far, &near)));
        let best = surfaces.into_iter().flatten().min_by(|a, b| a.miss.total_cmp(&b.miss));
        let Some(Tried { surface, miss }) = best else { return self.lattice().failing(holds) };
        if miss <= 1.0 {
            return self.lattice().failing(|by| surface.at(by) >= 0.0);
        }
        self.lattice().failing_as_foretold(limits, |by| surface.at(by), &mut holds)
    }

    /// Points that stand for the inputs' distributions.
    fn lattice(&self) -> Lattice {
        let model = self.evaluation.model;
        Lattice::new(self.terms.iter().map(|term| (term.amount, is_bounded(model, term))))
    }

    /// The comparison with each input moved by so many of its standard uncertainties.
    fn moved(&self, by: &[f64]) -> Option<Value> {
        let last = self.terms.iter().map(|term| term.input.0 as usize + 1).max().unwrap_or(0);
        let mut draws = vec![0.0; last];
        for (term, by) in self.terms.iter().zip(by) {
            draws[term.input.0 as usize] = *by;
        }
        self.evaluation.model.with_draws(draws, || self.evaluation.value(self.expr)).ok()
    }

    fn rooms(&self, by: &[f64]) -> Option<Rooms> {
        match self.moved(by)? {
            Value::Margin(margin) => Some(rooms(&margin)),
            _ => None,
        }
    }

    /// How the room stands with each input alone, and each two of them, moved aside; `None` where it cannot be
    /// worked out there.
    fn aside(&self) -> Option<Aside> {
        let count = self.terms.len();
        let moved = |moves: &[(usize, f64)]| {
            let mut by = vec![0.0; count];
            for (index, amount) in moves {
                by[*index] = *amount;
            }
            self.rooms(&by)
        };
        let alone = |index| Some((moved(&[(index, ASIDE)])?, moved(&[(index, -ASIDE)])?));
        let alone = (0..count).map(alone).collect::<Option<Vec<_>>>()?;
        let mut both = Vec::new();
        for one in 0..count {
            for other in one + 1..count {
                both.push((one, other, moved(&[(one, ASIDE), (other, ASIDE)])?));
            }
        }
        Some(Aside { alone, both })
    }
}

/// The room in two measures that are zero together: the difference of the two sides, and the logarithm of their
/// ratio, in which what grows without bound is straighter; no number where a side is not above zero.
type Rooms = [f64; 2];

fn rooms(margin: &Margin) -> Rooms {
    let (left, right) = (margin.left.value, margin.right.value);
    let ratio = if left > 0.0 && right > 0.0 { (right / left).ln() } else { f64::NAN };
    let ratio = match margin.comparator {
        Comparator::Less | Comparator::AtMost => ratio,
        Comparator::Greater | Comparator::AtLeast => -ratio,
        Comparator::Equal | Comparator::Unequal => f64::NAN,
    };
    [margin.room.value, ratio]
}

/// The room with one input moved up and down, and with two moved up.
struct Aside {
    alone: Vec<(Rooms, Rooms)>,
    both: Vec<(usize, usize, Rooms)>,
}

impl Aside {
    /// How the room goes in a measure, to the second order; `None` where it is no number.
    fn surface(&self, measure: usize, middle: f64) -> Option<Surface> {
        let from_middle = |rooms: &Rooms| rooms[measure] - middle;
        let alone: Vec<(f64, f64)> = self.alone.iter().map(|(up, down)| (from_middle(up), from_middle(down))).collect();
        let crossed = |(one, other, both): &(usize, usize, Rooms)| {
            (*one, *other, (from_middle(both) - alone[*one].0 - alone[*other].0) / (ASIDE * ASIDE))
        };
        let surface = Surface {
            middle,
            slopes: alone.iter().map(|(up, down)| (up - down) / (2.0 * ASIDE)).collect(),
            curves: alone.iter().map(|(up, down)| (up + down) / (2.0 * ASIDE * ASIDE)).collect(),
            crossed: self.both.iter().map(crossed).collect(),
        };
        let crossed = surface.crossed.iter().map(|(_, _, amount)| amount);
        let sound = surface.slopes.iter().chain(&surface.curves).chain(crossed).all(|number| number.is_finite());
        sound.then_some(surface)
    }
}

/// How a value goes with its inputs, in their standard uncertainties, to the second order.
struct Surface {
    middle: f64,
    slopes: Vec<f64>,
    curves: Vec<f64>,
    /// Two inputs, and how far the value moves with both at once beyond what it does with each.
    crossed: Vec<(usize, usize, f64)>,
}

/// A surface held against what was found: by how much it misses, as a share of what may be missed.
struct Tried {
    surface: Surface,
    miss: f64,
}

impl Surface {
    fn at(&self, by: &[f64]) -> f64 {
        let alone = self.slopes.iter().zip(&self.curves).zip(by).map(|((slope, curve), by)| (slope + curve * by) * by);
        let crossed = self.crossed.iter().map(|(one, other, amount)| amount * by[*one] * by[*other]);
        self.middle + alone.sum::<f64>() + crossed.sum::<f64>()
    }

    fn tried(self, measure: usize, far: &[(Vec<f64>, Option<Rooms>)], near: &[(Vec<f64>, Option<Rooms>)]) -> Tried {
        let spread = self.slopes.iter().map(|slope| slope * slope).sum::<f64>().sqrt();
        let miss = |(by, found): &(Vec<f64>, Option<Rooms>), within: f64| {
            let miss = found.map_or(f64::INFINITY, |rooms| (rooms[measure] - self.at(by)).abs() / (within * spread));
            if miss.is_nan() { f64::INFINITY } else { miss }
        };
        let far = far.iter().map(|point| miss(point, CURVED));
        let miss = far.chain(near.iter().map(|point| miss(point, NEARLY))).fold(0.0, f64::max);
        Tried { surface: self, miss }
    }
}

/// The chance that the room, moved by its inputs, falls below zero.
fn as_sum(model: &Model, margin: &Margin) -> f64 {
    let (mut normal, mut bounded) = (0.0_f64, Vec::new());
    for term in &margin.room.terms {
        if is_bounded(model, term) {
            bounded.push(term.amount.abs() * 3.0_f64.sqrt());
        } else {
            normal = normal.hypot(term.amount);
        }
    }
    sum::below(-margin.room.value, normal, bounded)
}

fn is_bounded(model: &Model, term: &Term) -> bool {
    model.input(term.input).is_some_and(|input| input.shape == Shape::Rectangular)
}

fn causes(model: &Model, terms: &[Term]) -> Vec<Cause> {
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
