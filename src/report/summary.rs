//! What a run over several sheets comes to, and what to do next.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use super::look::Look;
use super::table::table;
use super::{Counts, verdict_line};
use crate::inspect::Inspection;
use crate::rules::{Finding, Level, Verdict};
use crate::source::printable_line;

/// So many sheets that are a go are named; of more only the number is told.
const NAMED: usize = 20;

/// A sheet in the summary.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Row {
    /// Its name.
    pub name: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// What was found.
    pub counts: Counts,
    /// How many facts were not asked.
    pub not_asked: usize,
    /// The rule of its worst finding that is not permitted, the first of them.
    pub worst: Option<String>,
    /// A mend is known for one of its findings, or was not looked for.
    pub mendable: bool,
    /// The findings by rule and level, for the tally.
    pub rules: Vec<(String, Level)>,
}

impl Row {
    /// The row of a sheet.
    #[must_use]
    pub fn of(inspection: &Inspection) -> Self {
        let open = || inspection.found().filter(|finding| finding.permitted.is_none());
        // Of those with the same level the first.
        let worst = open().fold(None, |worst: Option<&Finding>, finding| match worst {
            Some(worst) if worst.level >= finding.level => Some(worst),
            _ => Some(finding),
        });
        Self {
            name: printable_line(&inspection.name).into_owned(),
            verdict: inspection.verdict(),
            counts: Counts::of(inspection.found()),
            not_asked: inspection.basis.not_asked.len(),
            worst: worst.map(|finding| finding.rule.clone()),
            mendable: inspection.unadvised > 0
                || open().filter_map(|finding| finding.advice.as_ref()).any(|advice| !advice.mends.is_empty()),
            rules: open().map(|finding| (finding.rule.clone(), finding.level)).collect(),
        }
    }
}

/// The verdict of a sheet on one line.
#[must_use]
pub fn quiet(inspection: &Inspection) -> String {
    format!("{}\n", verdict_line(inspection))
}

/// A table of several sheets, no-go first, and how many there are of each verdict.
#[must_use]
pub fn summary(rows: &[Row], look: Look) -> String {
    let of = |verdict: Verdict| rows.iter().filter(move |row| row.verdict == verdict);
    let mut cells: Vec<Vec<String>> = Vec::new();
    for verdict in [Verdict::NoGo, Verdict::GoWithCare, Verdict::Go] {
        let is_named = |row: &&Row| verdict != Verdict::Go || rows.len() <= NAMED || row.counts.words() != "";
        for row in of(verdict).filter(is_named) {
            // What was not asked stands with the findings, where there are any.
            let found = match (row.counts.words(), row.not_asked) {
                (none, 1..) if none.is_empty() => format!("not asked: {}", row.not_asked),
                (words, _) => words,
            };
            cells.push(vec![verdict.to_string(), row.name.clone(), found]);
        }
    }
    let mut out = table(&cells, look);
    let count = |verdict| of(verdict).count();
    let (go, care, no_go) = (count(Verdict::Go), count(Verdict::GoWithCare), count(Verdict::NoGo));
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{} sheets: {go} go, {care} go with care, {no_go} no-go", rows.len());
    out
}

/// The commands that come next, for the worst sheet; empty where nothing was found.
#[must_use]
pub fn next_steps(rows: &[Row]) -> String {
    let worst = rows.iter().filter(|row| row.worst.is_some()).fold(None, |worst: Option<&Row>, row| match worst {
        Some(worst) if worst.verdict >= row.verdict => Some(worst),
        _ => Some(row),
    });
    let Some((row, rule)) = worst.and_then(|row| Some((row, row.worst.as_ref()?))) else { return String::new() };
    let name = if row.name.contains(' ') { format!("\"{}\"", row.name) } else { row.name.clone() };
    if row.mendable {
        format!("next: dryfit mend {name}\n      dryfit why {rule}\n")
    } else {
        format!("next: dryfit why {rule}\n")
    }
}

/// How often each rule finds something, over all sheets; what finds most comes first.
#[must_use]
pub fn tally(rows: &[Row], look: Look) -> String {
    let mut by_rule: BTreeMap<&str, ([usize; 3], BTreeSet<&str>)> = BTreeMap::new();
    for row in rows {
        for (rule, level) in &row.rules {
            let (counts, sheets) = by_rule.entry(rule).or_default();
            counts[*level as usize] += 1;
            sheets.insert(&row.name);
        }
    }
    let mut rules: Vec<_> = by_rule.into_iter().collect();
    rules.sort_by_key(|(_, (counts, _))| std::cmp::Reverse(counts.iter().sum::<usize>()));
    let mut cells = vec![["rule", "stop", "care", "note", "sheets"].map(str::to_owned).to_vec()];
    let shown = |count: usize| if count == 0 { "-".to_owned() } else { count.to_string() };
    for (rule, ([note, care, stop], sheets)) in rules {
        let counts = [stop, care, note, sheets.len()].map(shown);
        cells.push([vec![rule.to_owned()], counts.to_vec()].concat());
    }
    if cells.len() == 1 {
        return "nothing was found\n".into();
    }
    table(&cells, look)
}
