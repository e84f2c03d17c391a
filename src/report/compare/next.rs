//! What the next prints come out as, and what to draw instead.

use std::collections::BTreeMap;

use super::{band, hundredths, per_cent};
use crate::learning::revision::{damped_correction_variance, full_correction_variance};
use crate::lessons::{Comparison, Revision, Row};
use crate::quantity::number_to;

/// What each dimension comes out as if it is printed again as it was drawn, and what to draw instead.
pub(super) fn next_prints(compared: &Comparison) -> Vec<String> {
    let mut latest: BTreeMap<&str, &Row> = BTreeMap::new();
    latest.extend(compared.rows.iter().filter(|row| !row.suspect).map(|row| (row.entry.path.as_str(), row)));
    let of = |path: &str| compared.revisions.iter().find(move |one| one.what == path);
    let each = latest.into_values().map(|row| {
        let (drawn, next) = (hundredths(row.entry.drawn), row.lesson.next(row.entry));
        let text = format!("{}: drawn {drawn} again, the next comes out {}", row.entry.path, band(&next));
        match (of(&row.entry.path), row.in_hand) {
            (Some(revision), _) => format!("{text}, and {} fit; {}", per_cent(revision.as_it_is), instead(revision)),
            (None, Some(in_hand)) => {
                format!("{text}, and {} fit", per_cent(next.within(in_hand.limits.0, in_hand.limits.1)))
            }
            (None, None) => text,
        }
    });
    let mut all: Vec<String> = each.collect();
    let is_shared = |one: &&Revision| compared.rows.iter().all(|row| row.entry.path != one.what);
    all.extend(compared.revisions.iter().filter(is_shared).map(shared));
    all
}

fn instead(revision: &Revision) -> String {
    if revision.is_worth_it {
        format!("drawn {}, {} do", hundredths(revision.drawn.value), per_cent(revision.drawn.chance))
    } else {
        "no other value is better: leave it".into()
    }
}

/// A number that several dimensions may follow from: one change for all of them.
fn shared(revision: &Revision) -> String {
    let follows = revision.moves.iter().map(|(path, value)| format!("{path} {}", hundredths(*value)));
    let follows: Vec<String> = follows.collect();
    let now = format!(
        "{}: at {} now, {} of prints fit in all that follows from it",
        revision.what,
        hundredths(revision.now),
        per_cent(revision.as_it_is)
    );
    if revision.is_worth_it {
        format!(
            "{now}; at {}, {} do: {}",
            hundredths(revision.drawn.value),
            per_cent(revision.drawn.chance),
            follows.join(", ")
        )
    } else {
        format!("{now}; no other value is better: leave it")
    }
}

/// Why a change is smaller than what was off.
pub(super) fn damped(compared: &Comparison) -> Option<String> {
    compared.revisions.iter().find(|one| one.is_worth_it)?;
    let share = compared.figures.shares().feature;
    let [whole, part] = [full_correction_variance(share, 1.0), damped_correction_variance(share, 1.0)];
    Some(format!(
        "none of these takes out the whole deviation of one print: on a known machine that would leave {} times the variance of no change, this leaves {} times",
        number_to(whole, 2),
        number_to(part, 2)
    ))
}
