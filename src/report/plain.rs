//! Findings without boxes or colour: for logs, pipes, screen readers and narrow terminals.

use std::fmt::Write;

use super::{notes, verdict_line};
use crate::inspect::Inspection;
use crate::rules::Finding;
use crate::source::{Sources, Span, printable};

/// The findings of a sheet and its verdict.
#[must_use]
pub fn plain(inspection: &Inspection) -> String {
    let mut out = String::new();
    for finding in &inspection.findings {
        one(finding, &inspection.sources, &mut out);
        out.push('\n');
    }
    out.push_str(&verdict_line(inspection));
    out.push('\n');
    out
}

fn one(finding: &Finding, sources: &Sources, out: &mut String) {
    let permitted = if finding.permitted.is_some() { " (permitted)" } else { "" };
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{}{permitted}: {} [{}]", finding.level, printable(&finding.message), finding.rule);
    place(finding.at, &finding.label, sources, out);
    for (at, label) in &finding.others {
        place(*at, label, sources, out);
    }
    for note in notes(finding) {
        let _ = writeln!(out, "  {}", printable(&note).replace('\n', "\n  "));
    }
}

/// `  at clip.dryfit:14:15, thickness 0.6 mm:` and the line itself.
fn place(at: Span, label: &str, sources: &Sources, out: &mut String) {
    let source = sources.get(at.source);
    let start = source.place(at.start);
    let name = printable(&source.name);
    let _ = writeln!(out, "  at {name}:{}:{}, {}", start.line, start.column, printable(label));
    let text = source.text.lines().nth(start.line - 1).unwrap_or_default().trim();
    if !text.is_empty() {
        let short: String = printable(text).chars().take(120).collect();
        let _ = writeln!(out, "     | {short}");
    }
}
