//! The ledger: every figure with its formula's name and inputs.

use std::fmt::Write;

use super::room;
use crate::quantity::percent;
use crate::rules::{LedgerComparison, LedgerEntry};
use crate::source::{Sources, printable_line};

/// The ledger as text, feature by feature.
#[must_use]
pub fn ledger(entries: &[LedgerEntry], sources: &Sources) -> String {
    let mut out = String::new();
    let mut about: Option<&str> = None;
    for entry in entries {
        if about != Some(&entry.about) {
            // Writing to a text cannot fail.
            let _ = writeln!(out, "{}\n", if entry.about.is_empty() { "the sheet" } else { &entry.about });
            about = Some(&entry.about);
        }
        one(entry, sources, &mut out);
    }
    out
}

fn one(entry: &LedgerEntry, sources: &Sources, out: &mut String) {
    let _ = writeln!(out, "  {}", entry.rule);
    for (at, text) in &entry.stated {
        let source = sources.get(at.source);
        let place = source.place(at.start);
        let _ = writeln!(out, "    {text}   ({}:{}:{})", printable_line(&source.name), place.line, place.column);
    }
    for input in &entry.inputs {
        let _ = writeln!(out, "    {} {}   ({})", input.name, input.value, input.from);
    }
    for step in &entry.steps {
        let _ = writeln!(out, "    {} = {} = {}", step.name, step.formula, step.value);
    }
    for comparison in &entry.comparisons {
        self::comparison(comparison, out);
    }
    if let Some(trouble) = &entry.trouble {
        let _ = writeln!(out, "    could not be worked out: {trouble}");
    }
    out.push('\n');
}

fn comparison(comparison: &LedgerComparison, out: &mut String) {
    let word = if comparison.holds { "holds" } else { "FAILS" };
    let _ = write!(out, "    {word} ({}): {}", comparison.level, comparison.formula);
    let Some(margin) = &comparison.margin else {
        out.push('\n');
        return;
    };
    let _ = writeln!(out, ": {}; {}", margin.comparison, room(margin));
    if !margin.causes.is_empty() {
        let causes: Vec<String> =
            margin.causes.iter().map(|cause| format!("{} {}", cause.name, percent(cause.share))).collect();
        let _ = writeln!(out, "      uncertain by, in shares of the variance: {}", causes.join(", "));
    }
}
