//! What several rules say of one thing is said once.

use std::collections::HashMap;

use super::finding::{Finding, Level};
use super::library::Library;
use crate::model::FeatureId;

type Found = (FeatureId, Box<Finding>);

/// Leaves out what another rule tells the cause of on the same feature, the chance of a fault or all of it where that other
/// one is a stop, and takes together the rules that could not be checked for one reason.
pub(super) fn merge(library: &Library, findings: Vec<Found>) -> Vec<Found> {
    let mut on_feature: HashMap<FeatureId, Vec<usize>> = HashMap::new();
    for (index, (id, _)) in findings.iter().enumerate() {
        on_feature.entry(*id).or_default().push(index);
    }
    let told = |(id, finding): &Found| {
        let mut others = on_feature[id].iter().map(|other| &findings[*other].1);
        others.any(|other| (finding.likely || other.level == Level::Stop) && tells_cause(library, finding, other))
    };
    let keep: Vec<bool> = findings.iter().map(|found| !told(found)).collect();
    let mut merged: Vec<Found> = Vec::new();
    let mut unchecked: HashMap<FeatureId, Vec<usize>> = HashMap::new();
    for ((id, finding), _) in findings.into_iter().zip(keep).filter(|(_, keep)| *keep) {
        if finding.unchecked.is_some() {
            let known = unchecked.entry(id).or_default();
            if let Some(first) = known.iter().find(|first| one_reason(&merged[**first].1, &finding)) {
                join(&mut merged[*first].1, &finding);
                continue;
            }
            known.push(merged.len());
        }
        merged.push((id, finding));
    }
    merged
}

/// Whether another finding on the same feature says why a comparison fails, or why one that holds might.
fn tells_cause(library: &Library, finding: &Finding, other: &Finding) -> bool {
    finding.permitted.is_none()
        && other.permitted.is_none()
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
