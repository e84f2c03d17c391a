//! The last line of a report: the verdict, what was found, and what all that rests on.

use std::path::Path;

use super::Counts;
use crate::inspect::{Inspection, Noted};
use crate::quantity::counted;
use crate::rules::{Basis, Finding, Unasked, Verdict};
use crate::source::printable_line;

/// So many facts that were not asked, or cautions, are named.
const NAMED: usize = 3;

/// `clip.dryfit: go with care: 1 care; 31 checks hold on 6 features; not asked: 2 (no bears on catch, no hottest on box)`
#[must_use]
pub fn verdict_line(inspection: &Inspection) -> String {
    format!("{}: {}", printable_line(&inspection.name), with_grounds(inspection))
}

/// What is said of a sheet: its verdict, unless nothing was checked, and what goes after it.
#[derive(Debug, Clone)]
pub(crate) struct Said {
    pub verdict: Option<Verdict>,
    pub after: String,
}

impl std::fmt::Display for Said {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.verdict.iter().try_for_each(|verdict| verdict.fmt(f))?;
        f.write_str(&self.after)
    }
}

/// With what was found, and what all that rests on.
pub(crate) fn with_grounds(inspection: &Inspection) -> Said {
    let counts = Counts::of(inspection.found()).words();
    let said = with_counts(inspection);
    let joint = if counts.is_empty() { ": " } else { "; " };
    match rests_on(&inspection.basis) {
        Some(rests) => Said { after: format!("{}{joint}{}", said.after, printable_line(&rests)), ..said },
        None => said,
    }
}

/// With what was found.
pub(super) fn with_counts(inspection: &Inspection) -> Said {
    let counts = Counts::of(inspection.found()).words();
    let said = said(inspection);
    if counts.is_empty() { said } else { Said { after: format!("{}: {counts}", said.after), ..said } }
}

/// What is said where only some rules were looked at: a go of these is none of the sheet's.
pub(super) fn reached(by: &str) -> String {
    format!("Only rules that {by} reaches count here; the verdict on the sheet is `dryfit inspect`'s.")
}

/// `go, with 2 permits, 1 of them not checked by day`: what was accepted is never passed over, and where somebody can be
/// hurt it is never only go.
fn said(inspection: &Inspection) -> Said {
    let verdict = inspection.verdict();
    if is_of_nothing(inspection) {
        let after = inspection.noted.as_ref().map_or("nothing to check".into(), |noted| notes(inspection, noted));
        return Said { verdict: None, after };
    }
    let mut after = permits(inspection);
    let cautions = cautions(inspection);
    if verdict == Verdict::Go && !cautions.is_empty() {
        let named = named(cautions.iter().map(|(rule, about)| format!("{rule} on {about}")));
        after = format!("{after}, cautions acknowledged: {named}; nothing here shows that it will hold");
    }
    Said { verdict: Some(verdict), after }
}

/// `notes on clip.dryfit: 4 readings and 1 more line of 1 object; …`: what follows from them is told elsewhere.
fn notes(inspection: &Inspection, noted: &Noted) -> String {
    let Noted { sheet, objects, readings, others, .. } = noted;
    let path = Path::new(&inspection.name).with_file_name(sheet);
    let (objects, path) = (counted(*objects, "object"), path.display());
    if readings + others == 0 {
        return format!("notes on {sheet}: nothing is filled in yet, on {objects}");
    }
    let more = if *others == 0 { String::new() } else { format!(" and {}", counted(*others, "other line")) };
    let readings = counted(*readings, "reading");
    format!("notes on {sheet}: {readings}{more} on {objects}; `dryfit compare {path}` tells what follows")
}

/// Whether no rule had anything to look at, and nothing was found.
#[must_use]
pub(super) fn is_of_nothing(inspection: &Inspection) -> bool {
    inspection.basis.features == 0 && inspection.verdict() == Verdict::Go
}

fn permits(inspection: &Inspection) -> String {
    let permits = |undated: bool| {
        let counts = |finding: &&Finding| finding.permitted.as_ref().is_some_and(|by| by.is_undated() || !undated);
        let mut permits: Vec<(&str, &str)> =
            inspection.found().filter(counts).map(|finding| (finding.rule.as_str(), finding.about.as_str())).collect();
        permits.sort_unstable();
        permits.dedup();
        permits.len()
    };
    let (all, undated) = (permits(false), permits(true));
    let with = match all {
        0 => return String::new(),
        1 => ", with 1 permit".to_owned(),
        count => format!(", with {count} permits"),
    };
    match undated {
        0 => with,
        every if every == all => format!("{with}, not checked by day"),
        some => format!("{with}, {some} of them not checked by day"),
    }
}

/// The cautions that the sheet has an answer to: rule and feature.
pub(super) fn cautions(inspection: &Inspection) -> Vec<(&str, &str)> {
    let answered = inspection.found().filter(|finding| finding.acknowledged.is_some());
    let mut cautions: Vec<(&str, &str)> =
        answered.map(|finding| (finding.rule.as_str(), finding.about.as_str())).collect();
    cautions.dedup();
    cautions
}

/// That there may be mends which were not looked for.
pub(super) fn unadvised(inspection: &Inspection) -> Option<String> {
    let findings = match inspection.unadvised {
        0 => return None,
        1 => "1 more finding".into(),
        many => format!("{many} more findings"),
    };
    Some(format!("mends of {findings} were not looked for: `dryfit mend` does"))
}

/// `31 checks hold on 6 features; not asked: 2 (no bears on catch, no hottest on box)`
pub(super) fn rests_on(basis: &Basis) -> Option<String> {
    let verb = if basis.hold == 1 { "holds" } else { "hold" };
    let held = (basis.features > 0)
        .then(|| format!("{} {verb} on {}", counted(basis.hold, "check"), counted(basis.features, "feature")));
    let not_asked = (!basis.not_asked.is_empty()).then(|| {
        format!("not asked: {} ({})", basis.not_asked.len(), named(basis.not_asked.iter().map(Unasked::text)))
    });
    let parts: Vec<String> = held.into_iter().chain(not_asked).collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn named(all: impl ExactSizeIterator<Item = String>) -> String {
    let more = all.len().saturating_sub(NAMED);
    let mut names: Vec<String> = all.take(NAMED).collect();
    if more > 0 {
        names.push(format!("and {more} more"));
    }
    names.join(", ")
}
