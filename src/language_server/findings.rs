//! Findings as an editor shows them.

use std::ops::Range;

use serde_json::{Value, json};

use super::look::{Look, OWN};
use super::scratch::Scratch;
use crate::report::{self, why_rule};
use crate::rules::{Finding, Level};

/// Faults that are true of nearly every text that is still being typed.
const OF_HALF_A_TEXT: [&str; 4] = ["unclosed-block", "missing-field", "unused-value", "empty-sheet"];

/// Rules on words that could go without anything changing: editors draw these pale.
const UNNECESSARY: [&str; 2] = ["unused-value", "spent-permit"];

/// The findings of a text, with links to what their rules say where there is a place for that. While some bytes of it
/// are still being typed, what is wrong only because of that waits.
pub(super) fn findings(look: &Look, typed: Option<&Range<usize>>, links: Option<&Scratch>) -> Vec<Value> {
    let typed = typed.map(|bytes| {
        let place = look.lines.stretch(bytes.clone());
        place.start.line..=place.end.line
    });
    let waits = |finding: &Finding| {
        let Some(typed) = &typed else { return false };
        let is_fault = look.analysis.library.rule(&finding.rule).is_some_and(|rule| rule.reading.is_some());
        let is_there = finding.at.source == OWN && typed.contains(&look.lines.line_of(finding.at.start as usize));
        OF_HALF_A_TEXT.contains(&finding.rule.as_str()) || (is_fault && is_there)
    };
    let open = look.analysis.findings().iter().filter(|finding| !waits(finding));
    let linked = |finding: &Finding| {
        let mut shown = shown(look, finding);
        if let Some(address) = links.and_then(|links| link(look, finding, links)) {
            shown["codeDescription"] = json!({ "href": address });
        }
        shown
    };
    open.map(linked).collect()
}

/// The address of what a finding's rule says; a client shows the finding without where none can be kept.
fn link(look: &Look, finding: &Finding, links: &Scratch) -> Option<String> {
    let rule = look.analysis.library.rule(&finding.rule)?;
    let text = || why_rule(rule, report::Look::of_width(report::WIDEST));
    links.once(&format!("{}.txt", rule.name), text).ok()
}

/// A finding as the protocol has it.
pub(super) fn shown(look: &Look, finding: &Finding) -> Value {
    let accepted = finding.permitted.as_ref().or(finding.acknowledged.as_ref());
    let severity = match finding.level {
        _ if accepted.is_some() => 4,
        Level::Stop => 1,
        Level::Care => 2,
        Level::Note => 3,
    };
    let mut message = report::message(finding);
    if let Some(permit) = accepted {
        message = format!("{message}\naccepted: {}", report::acceptance(permit));
    } else if let Some(help) = &finding.help {
        message = format!("{message}\n{help}");
    }
    let own = if finding.at.source == OWN { look.stretch(finding.at) } else { look.lines.stretch(0..0) };
    let elsewhere = (finding.at.source != OWN).then(|| (finding.at, finding.label.clone()));
    let related: Vec<Value> = finding
        .others
        .iter()
        .cloned()
        .chain(elsewhere)
        .map(|(at, label)| json!({ "location": look.location(at), "message": label }))
        .collect();
    let mut shown = json!({
        "range": own,
        "severity": severity,
        "code": finding.rule,
        "source": "dryfit",
        "message": message,
        "relatedInformation": related,
        "data": { "rule": finding.rule, "about": finding.about },
    });
    if UNNECESSARY.contains(&finding.rule.as_str()) {
        shown["tags"] = json!([1]);
    }
    shown
}
