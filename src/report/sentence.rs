//! The sentences that a finding is told in.

use super::chance;
use crate::quantity::Quantity;
use crate::rules::{Acceptance, ExceededNote, Finding, Named, Until};
use crate::source::Span;

/// So many features are named to a permit that is on the wrong one.
const NAMED: usize = 3;

/// What a finding says in one sentence: its rule's own, by what chance it misses a limit that it is within, and what its
/// permit has to do with it.
#[must_use]
pub fn message(finding: &Finding) -> String {
    let mut message = match &finding.unchecked {
        Some(unchecked) => format!("{} could not be checked here: {}", and(&unchecked.rules), unchecked.reason),
        None => finding.message.to_string(),
    };
    if let Some(chance) = finding.margin.as_ref().and_then(chance::in_words).filter(|_| finding.likely) {
        message = format!("{message}; within the limit on the mean, but {chance} will miss it");
    }
    if let Some(exceeded) = &finding.exceeded {
        message = format!("{message}; it is {}, and this is {}", permitted(exceeded), exceeded.found.text());
    }
    if !finding.elsewhere.is_empty() {
        let in_words = |named: &Named| if named.is_title { written(named) } else { format!("`{}`", named.path) };
        let names: Vec<String> = finding.elsewhere.iter().take(NAMED).map(in_words).collect();
        let more = finding.elsewhere.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        message = format!("{message}; it finds something on {}{more}", names.join(", "));
    }
    message
}

/// A feature's name as the sheet would write it.
fn written(named: &Named) -> String {
    if named.is_title { format!("\"{}\"", named.path) } else { named.path.clone() }
}

/// What a permit says of what it accepts: why, who accepts it, how far and how long.
#[must_use]
pub fn acceptance(acceptance: &Acceptance) -> String {
    let by = acceptance.by.as_ref().map(|by| format!("accepted by {by}"));
    let limit = acceptance.most.as_ref().map(|most| how_far(most, acceptance.downward));
    let until = acceptance.until.as_ref().map(|until| match until {
        Until::Day { day, checked: true } => format!("until {day}"),
        Until::Day { day, checked: false } => format!("until {day} (not checked: no day was given to check it by)"),
        Until::Revision(revision) => format!("until revision {revision}"),
    });
    [Some(acceptance.reason.clone()), by, limit, until].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// The way out.
#[must_use]
pub fn help(finding: &Finding) -> Option<String> {
    let help = finding.help.as_deref();
    let Some(first) = finding.elsewhere.first() else { return help.map(str::to_owned) };
    let meant = format!("if that is meant, write `on {}`", written(first));
    Some(help.map_or_else(|| meant.clone(), |help| format!("{meant}; else {help}")))
}

/// The places that a finding depends on besides its own, each with what is there.
#[must_use]
pub(super) fn others(finding: &Finding) -> Vec<(Span, String)> {
    let exceeded = finding.exceeded.iter().map(|exceeded| (exceeded.at, permitted(exceeded)));
    finding.others.iter().cloned().chain(exceeded).collect()
}

/// `permitted up to 1 %`
fn permitted(exceeded: &ExceededNote) -> String {
    format!("permitted {}", how_far(&exceeded.most, exceeded.downward))
}

/// `up to 1 %`
fn how_far(most: &Quantity, downward: bool) -> String {
    format!("{} {}", if downward { "down to" } else { "up to" }, most.text())
}

/// `` `thin-wall`, `stiff-arm` and `weak-hold` ``
fn and(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match names.split_last() {
        Some((last, earlier)) if !earlier.is_empty() => format!("{} and {last}", earlier.join(", ")),
        _ => names.concat(),
    }
}
