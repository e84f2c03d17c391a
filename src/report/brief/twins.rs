//! Copies of a feature have the same fault in the same line of the sheet: one finding for a reader.

use std::collections::HashMap;

use crate::rules::Finding;
use crate::source::Span;

/// So many copies are named.
const NAMED: usize = 3;

/// A finding, and in words the copies that have it too.
pub(super) struct Twins<'f> {
    pub finding: &'f Finding,
    pub copies: Option<String>,
}

/// Findings in their order, each with its copies: they say the same of another feature at the same place.
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
    groups.into_iter().map(|group| Twins { finding: group[0], copies: copies(&group[1..]) }).collect()
}

/// Whether two findings of one rule at one place say the same of two features.
fn are_twins(one: &Finding, other: &Finding) -> bool {
    let rest = |finding: &Finding| (finding.likely, finding.unchecked.clone());
    one.about != other.about && one.message.is_alike(&other.message) && rest(one) == rest(other)
}

/// `` `clip.lower-jaw`, its copy ``
fn copies(copies: &[&Finding]) -> Option<String> {
    let names: Vec<String> = copies.iter().take(NAMED).map(|finding| format!("`{}`", finding.about)).collect();
    let more = copies.len().saturating_sub(NAMED);
    Some(match names.as_slice() {
        [] => return None,
        [one] => format!("{one}, its copy"),
        [earlier @ .., last] if more == 0 => format!("{} and {last}, its copies", earlier.join(", ")),
        all => format!("{} and {more} more copies", all.join(", ")),
    })
}
