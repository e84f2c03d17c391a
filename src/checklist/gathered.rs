//! Things to do that differ by their feature alone, in one line.

use crate::rules::{Errand, Moment};

/// A box to tick.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// What to do, and how high the print is then.
    pub says: String,
    /// Why.
    pub because: String,
}

/// The lines of things to do, in their order; what is alike is said once, with the names of all that it is about.
pub(super) fn gathered<'e>(errands: impl Iterator<Item = &'e Errand>) -> Vec<Line> {
    let mut groups: Vec<Vec<&Errand>> = Vec::new();
    for errand in errands {
        match groups.iter_mut().find(|group| are_alike(group[0], errand)) {
            Some(group) => group.push(errand),
            None => groups.push(vec![errand]),
        }
    }
    groups.iter().map(|group| line(group)).collect()
}

/// Whether two differ by their feature alone. What does not name its feature is never put together.
fn are_alike(one: &Errand, other: &Errand) -> bool {
    one.task == other.task
        && one.says.name().is_some()
        && one.says.is_alike(&other.says)
        && one.because.is_alike(&other.because)
        && at_height(one) == at_height(other)
}

fn line(group: &[&Errand]) -> Line {
    let names: Vec<&str> = group.iter().filter_map(|errand| errand.says.name()).collect();
    let Errand { says, because, .. } = group[0];
    Line { says: says.of_all(&names) + &at_height(group[0]), because: because.of_all(&names) }
}

/// Where the print is then.
fn at_height(errand: &Errand) -> String {
    match errand.height {
        Some(height) if errand.moment == Moment::During => format!(", at {height:.1} mm"),
        _ => String::new(),
    }
}
