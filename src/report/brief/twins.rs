//! Copies of a feature have the same fault in the same line of the sheet, and so have parts that one line about all of them
//! decides: one finding for a reader.

use std::collections::HashMap;

use crate::rules::Finding;
use crate::source::Span;

/// So many others are named.
const NAMED: usize = 3;

/// A finding, and in words the features that have it too.
pub(super) struct Twins<'f> {
    pub finding: &'f Finding,
    pub others: Option<String>,
}

/// Findings in their order, each with its twins: they say the same of another feature at the same place.
pub(super) fn twins<'f>(findings: impl Iterator<Item = &'f Finding>) -> Vec<Twins<'f>> {
    let mut groups: Vec<Vec<&Finding>> = Vec::new();
    let mut at_place: HashMap<(&str, Span), Vec<usize>> = HashMap::new();
    for finding in findings {
        let known = at_place.entry((&finding.rule, finding.at)).or_default();
        if let Some(group) = known.iter().rev().find(|group| are_twins(groups[**group][0], finding)) {
            groups[*group].push(finding);
        } else {
            known.push(groups.len());
            groups.push(vec![finding]);
        }
    }
    groups.into_iter().map(|group| Twins { finding: group[0], others: named(&group[1..]) }).collect()
}

/// Whether two findings of one rule at one place say the same of two features.
fn are_twins(one: &Finding, other: &Finding) -> bool {
    let rest = |finding: &Finding| (finding.likely, finding.unchecked.clone());
    one.about != other.about && one.message.is_alike(&other.message) && rest(one) == rest(other)
}

/// `` `clip.lower-jaw` and `clip.upper-jaw` ``
fn named(others: &[&Finding]) -> Option<String> {
    let names: Vec<String> = others.iter().take(NAMED).map(|finding| format!("`{}`", finding.about)).collect();
    let more = others.len().saturating_sub(NAMED);
    Some(match names.as_slice() {
        [] => return None,
        [one] => one.clone(),
        [earlier @ .., last] if more == 0 => format!("{} and {last}", earlier.join(", ")),
        all => format!("{} and {more} more", all.join(", ")),
    })
}
