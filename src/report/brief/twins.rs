//! Copies of a feature have the same fault in the same line of the sheet: one finding for a reader.

use crate::rules::Finding;

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
    for finding in findings {
        match groups.iter_mut().rev().find(|group| are_twins(group[0], finding)) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    groups.into_iter().map(|group| Twins { finding: group[0], copies: copies(&group[1..]) }).collect()
}

fn are_twins(one: &Finding, other: &Finding) -> bool {
    let sentence = |finding: &Finding| finding.message.replace(&format!("`{}`", finding.about), "");
    one.rule == other.rule
        && one.at == other.at
        && one.about != other.about
        && one.likely == other.likely
        && sentence(one) == sentence(other)
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
