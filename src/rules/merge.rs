//! What several rules say of one thing is said once.

use super::finding::Finding;
use super::library::Library;
use crate::model::FeatureId;

type Found = (FeatureId, Box<Finding>);

/// Leaves out the chance of a fault where another rule tells its cause on the same feature, and takes together
/// the rules that could not be checked for one reason.
pub(super) fn merge(library: &Library, findings: Vec<Found>) -> Vec<Found> {
    let told = |id: FeatureId, finding: &Finding| findings.iter().any(|other| tells_cause(library, id, finding, other));
    let keep: Vec<bool> = findings.iter().map(|(id, finding)| !told(*id, finding)).collect();
    let mut merged: Vec<Found> = Vec::new();
    for ((id, finding), _) in findings.into_iter().zip(keep).filter(|(_, keep)| *keep) {
        match merged.iter_mut().find(|(known, first)| *known == id && one_reason(first, &finding)) {
            Some((_, first)) => join(first, &finding),
            None => merged.push((id, finding)),
        }
    }
    merged
}

/// Whether another finding says why a comparison that holds might fail.
fn tells_cause(library: &Library, id: FeatureId, finding: &Finding, (other_id, other): &Found) -> bool {
    let open = finding.permitted.is_none() && other.permitted.is_none();
    finding.likely
        && open
        && *other_id == id
        && other.level >= finding.level
        && library.rule(&finding.rule).is_some_and(|rule| rule.yields_to.iter().any(|rule| **rule == *other.rule))
}

fn one_reason(first: &Finding, other: &Finding) -> bool {
    let reasons = first.unchecked.as_ref().zip(other.unchecked.as_ref());
    reasons.is_some_and(|(one, another)| one.reason == another.reason)
        && first.at == other.at
        && first.permitted == other.permitted
}

fn join(first: &mut Finding, other: &Finding) {
    let (Some(unchecked), Some(more)) = (&mut first.unchecked, &other.unchecked) else { return };
    unchecked.rules.extend_from_slice(&more.rules);
    first.level = first.level.max(other.level);
}
