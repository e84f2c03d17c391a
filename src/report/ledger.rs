//! The ledger: every figure with its formula's name and inputs.

use std::collections::BTreeMap;
use std::fmt::Write;

use serde::Serialize;

use super::json::result_json;
use super::look::Look;
use super::numbers::{self, Input, Margin};
use super::{acceptance, room};
use crate::quantity::percent;
use crate::rules::{Finding, LedgerComparison, LedgerEntry, Level};
use crate::source::{Sources, printable, printable_line};

/// The findings that a sheet's permits accept.
#[derive(Debug)]
pub struct Accepted(BTreeMap<(String, String), String>);

impl Accepted {
    /// Of the findings of a sheet.
    #[must_use]
    pub fn of(findings: &[Finding]) -> Self {
        let accepted = |finding: &Finding| {
            let reason = acceptance(finding.permitted.as_ref()?);
            Some(((finding.rule.clone(), finding.about.clone()), reason))
        };
        Self(findings.iter().filter_map(accepted).collect())
    }

    fn reason(&self, entry: &LedgerEntry) -> Option<&str> {
        self.0.get(&(entry.rule.clone(), entry.about.clone())).map(String::as_str)
    }
}

/// The ledger as text, feature by feature.
#[must_use]
pub fn ledger(entries: &[LedgerEntry], sources: &Sources, accepted: &Accepted, look: Look) -> String {
    let mut out = String::new();
    let mut about: Option<&str> = None;
    for entry in entries {
        if about != Some(&entry.about) {
            // Writing to a text cannot fail.
            let _ = writeln!(out, "{}\n", if entry.about.is_empty() { "the sheet" } else { &entry.about });
            about = Some(&entry.about);
        }
        one(entry, sources, accepted, look, &mut out);
    }
    if entries.is_empty() {
        out.push_str("no rule to show\n");
    }
    let safe = printable(&out).into_owned();
    let safe = if look.colour { safe.replace("    FAILS ", &format!("    {} ", look.word("FAILS"))) } else { safe };
    look.letters(&safe).into_owned()
}

fn one(entry: &LedgerEntry, sources: &Sources, accepted: &Accepted, look: Look, out: &mut String) {
    let permitted = accepted.reason(entry).map_or(String::new(), |reason| format!(" (permitted: {reason})"));
    let mut line = |text: String, indent: usize| {
        let folded = look.folded(&printable_line(&text), indent, indent + 4);
        let _ = writeln!(out, "{:indent$}{folded}", "");
    };
    line(format!("{}{permitted}", entry.rule), 2);
    for (at, text) in &entry.stated {
        let source = sources.get(at.source);
        let place = source.place(at.start);
        line(format!("{text} ({}:{}:{})", source.name, place.line, place.column), 4);
    }
    for input in &entry.inputs {
        line(format!("{} {} ({})", input.name, input.value, input.from), 4);
    }
    for step in &entry.steps {
        line(format!("{} = {} = {}", step.name, step.formula, step.value), 4);
    }
    for comparison in &entry.comparisons {
        self::comparison(comparison, &mut line);
    }
    if let Some(trouble) = &entry.trouble {
        line(format!("could not be worked out: {trouble}"), 4);
    }
    out.push('\n');
}

fn comparison(comparison: &LedgerComparison, line: &mut impl FnMut(String, usize)) {
    let word = if comparison.holds { "holds" } else { "FAILS" };
    let told = format!("{word} ({}): {}", comparison.level, comparison.formula);
    let Some(margin) = &comparison.margin else { return line(told, 4) };
    line(format!("{told}: {}; {}", margin.comparison, room(margin)), 4);
    if !margin.causes.is_empty() {
        let causes: Vec<String> =
            margin.causes.iter().map(|cause| format!("{} {}", cause.name, percent(cause.share))).collect();
        line(format!("uncertain by, in shares of the variance: {}", causes.join(", ")), 6);
    }
}

#[derive(Serialize)]
struct Document<'a> {
    shape: &'static str,
    sheet: &'a str,
    entries: Vec<Entry<'a>>,
}

#[derive(Serialize)]
struct Entry<'a> {
    rule: &'a str,
    feature: &'a str,
    permitted: Option<&'a str>,
    stated: Vec<Stated<'a>>,
    inputs: Vec<Input<'a>>,
    steps: Vec<Step<'a>>,
    comparisons: Vec<Comparison<'a>>,
    trouble: Option<&'a str>,
}

#[derive(Serialize)]
struct Stated<'a> {
    text: &'a str,
    sheet: &'a str,
    line: usize,
    column: usize,
}

#[derive(Serialize)]
struct Step<'a> {
    name: &'a str,
    formula: &'a str,
    value: &'a str,
}

#[derive(Serialize)]
struct Comparison<'a> {
    level: Level,
    formula: &'a str,
    holds: bool,
    margin: Option<Margin<'a>>,
}

/// The same for programs.
#[must_use]
pub fn ledger_json(sheet: &str, entries: &[LedgerEntry], sources: &Sources, accepted: &Accepted) -> String {
    let one = |entry| of_entry(entry, sources, accepted);
    result_json(&Document { shape: "dryfit-ledger/1", sheet, entries: entries.iter().map(one).collect() })
}

fn of_entry<'a>(entry: &'a LedgerEntry, sources: &'a Sources, accepted: &'a Accepted) -> Entry<'a> {
    let stated = |(at, text): &'a (crate::source::Span, String)| {
        let source = sources.get(at.source);
        let place = source.place(at.start);
        Stated { text, sheet: &source.name, line: place.line, column: place.column }
    };
    let comparison = |comparison: &'a LedgerComparison| Comparison {
        level: comparison.level,
        formula: &comparison.formula,
        holds: comparison.holds,
        margin: comparison.margin.as_ref().map(numbers::margin),
    };
    Entry {
        rule: &entry.rule,
        feature: &entry.about,
        permitted: accepted.reason(entry),
        stated: entry.stated.iter().map(stated).collect(),
        inputs: entry.inputs.iter().map(numbers::input).collect(),
        steps: entry
            .steps
            .iter()
            .map(|step| Step { name: &step.name, formula: &step.formula, value: &step.value })
            .collect(),
        comparisons: entry.comparisons.iter().map(comparison).collect(),
        trouble: entry.trouble.as_deref(),
    }
}
