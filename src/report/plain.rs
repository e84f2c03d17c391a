//! Findings without boxes or colour: for logs, pipes, screen readers and narrow terminals.

use std::fmt::Write;

use super::sentence::others;
use super::{message, notes, verdict_line};
use crate::inspect::Inspection;
use crate::rules::Finding;
use crate::source::{SourceId, Sources, Span, printable, printable_line};

/// The findings of a sheet and its verdict.
#[must_use]
pub fn plain(inspection: &Inspection) -> String {
    format!("{}{}\n", plain_findings(inspection), verdict_line(inspection))
}

/// The findings alone, for what has no verdict.
#[must_use]
pub fn plain_findings(inspection: &Inspection) -> String {
    let mut out = String::new();
    for finding in &inspection.findings {
        one(finding, &inspection.sources, &mut out);
        out.push('\n');
    }
    out
}

fn one(finding: &Finding, sources: &Sources, out: &mut String) {
    let permitted = if finding.permitted.is_some() { " (permitted)" } else { "" };
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{}{permitted}: {} [{}]", finding.level, printable_line(&message(finding)), finding.rule);
    let mut last = None;
    let first = std::iter::once((finding.at, finding.label.as_str()));
    let others = others(finding);
    let others = others.iter().map(|(at, label)| (*at, label.as_str()));
    for (at, label) in first.chain(others) {
        last = Some(place(at, label, last, sources, out));
    }
    for note in notes(finding) {
        let _ = writeln!(out, "  {}", printable(&note).replace('\n', "\n  "));
    }
}

/// Characters of a sheet's line that are shown.
const SHOWN: usize = 120;

/// `  at clip.dryfit:14:15, thickness 0.6 mm:`, under the line itself where it was not shown just before.
fn place(
    at: Span,
    label: &str,
    last: Option<(SourceId, usize, usize)>,
    sources: &Sources,
    out: &mut String,
) -> (SourceId, usize, usize) {
    let source = sources.get(at.source);
    let start = source.place(at.start);
    let line = source.line(start.line - 1);
    let before = (at.start as usize).saturating_sub(source.line_starts()[start.line - 1] as usize);
    // In strides, so that neighbouring places share a piece.
    let skipped = if before < SHOWN { 0 } else { (before - SHOWN / 2) / (SHOWN / 2) * (SHOWN / 2) };
    let this = (at.source, start.line, skipped);
    let text = piece(line, skipped);
    if last != Some(this) && !text.is_empty() {
        let _ = writeln!(out, "  | {}", printable_line(&text));
    }
    let name = printable_line(&source.name);
    let _ = writeln!(out, "    at {name}:{}:{}, {}", start.line, start.column, printable_line(label));
    this
}

/// A line, or where many of its bytes are skipped, what follows.
fn piece(line: &str, skipped: usize) -> String {
    let from = (skipped..=line.len()).find(|at| line.is_char_boundary(*at)).unwrap_or(line.len());
    let shown: String = line[from..].trim_start_matches('\u{feff}').chars().take(SHOWN).collect();
    let shown = shown.trim();
    if skipped == 0 { shown.to_owned() } else { format!("… {shown}") }
}
