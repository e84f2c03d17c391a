//! The ledger: every figure with its formula's name and inputs.

use std::fmt::Write;

use serde::Serialize;

use super::json::result_json;
use super::look::Look;
use super::numbers::{self, Input, Margin};
use super::{acceptance, room};
use crate::quantity::percent;
use crate::rules::{Acceptance, LedgerComparison, LedgerEntry, Level};
use crate::source::{Sources, printable_line};

/// The ledger as text, feature by feature.
#[must_use]
pub fn ledger(entries: &[LedgerEntry], sources: &Sources, look: Look) -> String {
    let mut out = String::new();
    let mut about: Option<&str> = None;
    for entry in entries {
        if about != Some(&entry.about) {
            // Writing to a text cannot fail.
            let name = if entry.about.is_empty() { "the sheet" } else { &entry.about };
            let _ = writeln!(out, "{}\n", printable_line(name));
            about = Some(&entry.about);
        }
        one(entry, sources, look, &mut out);
    }
    if entries.is_empty() {
        out.push_str("no rule to show\n");
    }
    look.letters(&out).into_owned()
}

fn one(entry: &LedgerEntry, sources: &Sources, look: Look, out: &mut String) {
    let said = |word: &str, said: Option<&Acceptance>| said.map(|said| format!(" ({word}: {})", acceptance(said)));
    let permitted = said("permitted", entry.permitted.as_ref());
    let accepted = permitted.or_else(|| said("acknowledged", entry.acknowledged.as_ref())).unwrap_or_default();
    let mut marked = |mark: &str, text: String, indent: usize| {
        let folded = look.folded(&format!("{mark}{}", printable_line(&text)), indent, indent + 4);
        let _ = writeln!(out, "{:indent$}{folded}", "");
    };
    let mut line = |text: String, indent: usize| marked("", text, indent);
    line(format!("{}{accepted}", entry.rule), 2);
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
        self::comparison(comparison, look, &mut marked);
    }
    if let Some(trouble) = &entry.trouble {
        marked("", format!("could not be worked out: {trouble}"), 4);
    }
    out.push('\n');
}

fn comparison(comparison: &LedgerComparison, look: Look, line: &mut impl FnMut(&str, String, usize)) {
    let word = look.word(if comparison.holds { "holds" } else { "FAILS" });
    let told = format!(" ({}{}): {}", comparison.level, otherwise(comparison), comparison.formula);
    let Some(margin) = &comparison.margin else { return line(&word, told, 4) };
    line(&word, format!("{told}: {}; {}", margin.comparison, room(margin)), 4);
    if !margin.causes.is_empty() {
        let causes: Vec<String> =
            margin.causes.iter().map(|cause| format!("{} {}", cause.name, percent(cause.share))).collect();
        line("", format!("uncertain by, in shares of the variance: {}", causes.join(", ")), 6);
    }
}

/// The level at which it is reported, where that is not the comparison's own.
fn otherwise(comparison: &LedgerComparison) -> String {
    match comparison.reported {
        Some(level) if comparison.holds => format!(", reported as {level} for its chance of failing"),
        Some(level) if level != comparison.level => format!(", reported as {level}"),
        _ => String::new(),
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
    permitted: Option<String>,
    /// What the sheet says to a caution, which stays in the report.
    acknowledged: Option<String>,
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
    /// The level at which it is reported, as the project and the sheet's permits have it.
    reported: Option<Level>,
    margin: Option<Margin<'a>>,
}

/// The same for programs.
#[must_use]
pub fn ledger_json(sheet: &str, entries: &[LedgerEntry], sources: &Sources) -> String {
    let one = |entry| of_entry(entry, sources);
    result_json(&Document { shape: "dryfit-ledger/1", sheet, entries: entries.iter().map(one).collect() })
}

fn of_entry<'a>(entry: &'a LedgerEntry, sources: &'a Sources) -> Entry<'a> {
    let stated = |(at, text): &'a (crate::source::Span, String)| {
        let source = sources.get(at.source);
        let place = source.place(at.start);
        Stated { text, sheet: &source.name, line: place.line, column: place.column }
    };
    let comparison = |comparison: &'a LedgerComparison| Comparison {
        level: comparison.level,
        formula: &comparison.formula,
        holds: comparison.holds,
        reported: comparison.reported,
        margin: comparison.margin.as_ref().map(numbers::margin),
    };
    Entry {
        rule: &entry.rule,
        feature: &entry.about,
        permitted: entry.permitted.as_ref().map(acceptance),
        acknowledged: entry.acknowledged.as_ref().map(acceptance),
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
