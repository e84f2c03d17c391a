//! Findings without boxes or colour: for logs, pipes, screen readers and narrow terminals.

use std::fmt::Write;

use super::{notes, verdict_line};
use crate::inspect::Inspection;
use crate::rules::Finding;
use crate::source::{SourceId, Sources, Span, printable};

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
    let mut last = None;
    let first = std::iter::once((finding.at, finding.label.as_str()));
    let others = finding.others.iter().map(|(at, label)| (*at, label.as_str()));
    for (at, label) in first.chain(others) {
        last = Some(place(at, label, last, sources, out));
    }
    for note in notes(finding) {
        let _ = writeln!(out, "  {}", printable(&note).replace('\n', "\n  "));
    }
}

/// `  at clip.dryfit:14:15, thickness 0.6 mm:`, under the line itself where it was not shown just before.
fn place(
    at: Span,
    label: &str,
    last: Option<(SourceId, usize)>,
    sources: &Sources,
    out: &mut String,
) -> (SourceId, usize) {
    let source = sources.get(at.source);
    let start = source.place(at.start);
    let line = (at.source, start.line);
    let text = source.line(start.line - 1).trim();
    if last != Some(line) && !text.is_empty() {
        let short: String = printable(text).chars().take(120).collect();
        let _ = writeln!(out, "  | {short}");
    }
    let name = printable(&source.name);
    let _ = writeln!(out, "    at {name}:{}:{}, {}", start.line, start.column, printable(label));
    line
}
