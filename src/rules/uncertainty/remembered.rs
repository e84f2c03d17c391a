//! Chances that were worked out before: copies of a feature, other parts and other ways up come to the same numbers.
//!
//! A chance follows from the numbers of a formula alone, so that one of the same numbers is the same, whoever asked first.

use std::cell::RefCell;
use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::axes::Axis;
use super::compiled::{Compiled, Node};
use super::lines::Closely;
use crate::syntax::tree::Operator;

/// All numbers of a formula, of its inputs' distributions and of the limits that it is held against.
type Key = Box<[u64]>;

/// How many chances are remembered.
const REMEMBERED: usize = 2048;

thread_local! {
    static CHANCES: RefCell<HashMap<Key, f64>> = RefCell::default();
}

/// A chance, worked out unless it is known.
pub(super) fn chance(key: Option<Key>, work_out: impl FnOnce() -> f64) -> f64 {
    let Some(key) = key else { return work_out() };
    if let Some(known) = CHANCES.with_borrow(|known| known.get(&key).copied()) {
        return known;
    }
    let chance = work_out();
    CHANCES.with_borrow_mut(|known| {
        if known.len() >= REMEMBERED {
            known.clear();
        }
        known.insert(key, chance);
    });
    chance
}

/// What a chance is known by; `None` where some of the formula is left to the evaluator.
pub(super) fn key(compiled: &Compiled, axes: &[Axis], closely: Closely) -> Option<Key> {
    let mut key = vec![compiled.root as u64];
    for node in &compiled.nodes {
        add(node, &mut key)?;
    }
    key.extend(axes.iter().copied().map(of_axis));
    let (how, limits): (u64, &[f64]) = match closely {
        Closely::Exactly => (0, &[]),
        Closely::Beside(limits) => (1, limits),
        Closely::From(limits) => (2, limits),
    };
    key.push(how);
    key.extend(limits.iter().map(|limit| limit.to_bits()));
    Some(key.into())
}

/// What the chance of a sum is known by, of its room and how far each input moves it; `None` where all are normal, so that
/// it is worked out sooner than found.
pub(super) fn key_of_sum(room: f64, inputs: impl Iterator<Item = (f64, Axis)> + Clone) -> Option<Key> {
    inputs.clone().find(|(_, axis)| *axis != Axis::Normal)?;
    let moves = inputs.flat_map(|(amount, axis)| [amount.to_bits(), of_axis(axis)]);
    Some([SUM, room.to_bits()].into_iter().chain(moves).collect())
}

/// No formula has so many parts.
const SUM: u64 = u64::MAX;

fn of_axis(axis: Axis) -> u64 {
    match axis {
        Axis::Normal => u64::MAX,
        Axis::Bounded => u64::MAX - 1,
        Axis::Student(freedom) => u64::from(freedom),
    }
}

fn add(node: &Node, key: &mut Vec<u64>) -> Option<()> {
    let place = |part: &usize| *part as u64;
    match node {
        Node::Constant(number) => key.extend([0, number.to_bits()]),
        Node::Straight { middle, moves } => {
            key.extend([1, middle.to_bits(), moves.len() as u64]);
            key.extend(moves.iter().flat_map(|(axis, amount)| [*axis as u64, amount.to_bits()]));
        }
        Node::Arithmetic(operator, left, right) => {
            key.extend([2, hashed(&std::mem::discriminant::<Operator>(operator)), place(left), place(right)]);
        }
        Node::Negative(inner) => key.extend([3, place(inner)]),
        Node::Basic(function, arguments) => {
            key.extend([4, hashed(&function.name), arguments.len() as u64]);
            key.extend(arguments.iter().flat_map(|(part, kind)| [place(part), hashed(&kind.dimension)]));
        }
        Node::Picked(pick, of) => {
            key.extend([5, *pick as u64, of.len() as u64]);
            key.extend(of.iter().map(place));
        }
        Node::Mechanics(function, arguments) => {
            key.extend([6, hashed(&function.name), arguments.len() as u64]);
            key.extend(arguments.iter().map(place));
        }
        Node::Compared(comparator, left, right, scale) => {
            key.extend([7, *comparator as u64, place(left), place(right), scale.to_bits()]);
        }
        Node::Both(a, b) => key.extend([8, place(a), place(b)]),
        Node::Any(a, b) => key.extend([9, place(a), place(b)]),
        Node::Not(inner) => key.extend([10, place(inner)]),
        Node::Choice(condition, then, otherwise) => {
            key.extend([11, place(condition), place(then), place(otherwise)]);
        }
        Node::Fitted(..) | Node::Asked(..) => return None,
    }
    Some(())
}

fn hashed(of: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    of.hash(&mut hasher);
    hasher.finish()
}
