//! One number of a sheet, or one bias of its machine, that explains why several dimensions came out otherwise than foretold.

use super::numbers::{is_beyond, numbers};
use super::{Entry, Lesson};
use crate::learning::cause::{Cause, Moved, cause, only};
use crate::learning::figures::Figures;
use crate::model::Model;

/// A number that could be wrong.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Suspected {
    /// Its path, or a machine's bias.
    pub what: String,
    /// By how much it would be off, and what that leaves over.
    pub cause: Cause,
    /// How many of the dimensions move with it.
    pub moves: usize,
    /// Whether it is a machine's bias, and no number of the sheet.
    pub is_bias: bool,
}

/// Several dimensions that the machine's profile does not explain.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Blame {
    /// How many numbers were tried.
    pub tried: usize,
    /// Those that leave least over, first.
    pub suspected: Vec<Suspected>,
    /// Whether the first explains all, and no other does.
    pub is_one: bool,
}

/// What could be wrong where dimensions of the drawing that a sheet has now came farther off than its machine's profile
/// explains; each with its latest reading. `None` where the profile explains them, or there is nothing to tell causes apart by.
pub(super) fn blame(model: &Model, read: &[(&Lesson, &Entry)], figures: &Figures) -> Option<Blame> {
    let moved = |(lesson, entry): &(&Lesson, &Entry)| {
        let prior = lesson.learnt.prior();
        let deviation = entry.came - entry.unbiased - prior.bias;
        let variance = prior.bias_u.powi(2) + prior.spread.powi(2) + entry.u.powi(2);
        Moved { deviation, variance, slope: 0.0 }
    };
    let all: Vec<Moved> = read.iter().map(moved).collect();
    let scores: Vec<f64> = all.iter().map(|one| one.deviation / one.variance.sqrt()).collect();
    if all.len() < 2 || !is_beyond(&scores, figures) {
        return None;
    }
    let paths: Vec<&str> = read.iter().map(|(_, entry)| entry.path.as_str()).collect();
    let mut tried: Vec<(String, Vec<f64>, bool)> =
        numbers(model, &paths).into_iter().map(|number| (number.name, number.slopes, false)).collect();
    let mut kinds: Vec<&super::Group> = read.iter().map(|(lesson, _)| &lesson.group).collect();
    kinds.sort_unstable();
    kinds.dedup();
    tried.extend(kinds.into_iter().map(|group| {
        let of = |(lesson, _): &(&Lesson, &Entry)| if lesson.group == *group { 1.0 } else { 0.0 };
        (format!("{}.{}-bias", group.machine, group.kind), read.iter().map(of).collect(), true)
    }));
    let count = |slopes: &[f64]| slopes.iter().filter(|slope| **slope != 0.0).count();
    // What moves one dimension only explains nothing that it has in common with others.
    tried.retain(|(_, slopes, _)| count(slopes) > 1);
    let suspect = |(what, slopes, is_bias): &(String, Vec<f64>, bool)| {
        let with: Vec<Moved> = all.iter().zip(slopes).map(|(one, slope)| Moved { slope: *slope, ..*one }).collect();
        Some(Suspected { what: what.clone(), cause: cause(&with)?, moves: count(slopes), is_bias: *is_bias })
    };
    let mut suspected: Vec<Suspected> = tried.iter().filter_map(suspect).collect();
    suspected.sort_by(|a, b| a.cause.left_over.total_cmp(&b.cause.left_over).then_with(|| a.what.cmp(&b.what)));
    let causes: Vec<Cause> = suspected.iter().map(|one| one.cause).collect();
    let is_one = only(&causes, figures.cause_fits, figures.cause_others) == Some(0);
    (!suspected.is_empty()).then_some(Blame { tried: tried.len(), suspected, is_one })
}
