//! Findings for programs. The shape is versioned: fields are added within a version, never renamed,
//! removed or given another meaning.

use std::fmt::Write;

use serde::Serialize;

use super::advice::AdviceShape;
use super::numbers::{self, Input, Margin, Stated};
use super::sentence::{acceptance, help, others};
use super::text_range::TextRange;
use super::verdict::{cautions, is_of_nothing};
use super::{Counts, message};
use crate::inspect::Inspection;
use crate::rules::{Basis, Finding, Level, Verdict};
use crate::source::{Sources, Span, is_unprintable};
use crate::syntax::edit::exchange;

/// The name and version of the shape.
const SHAPE: &str = "dryfit-findings/1";

/// A whole run. Sheets are rendered one by one, so that a run over thousands stays small.
#[derive(Debug)]
#[non_exhaustive]
pub struct Run {
    /// Each sheet as [`sheet_json`] rendered it.
    pub sheets: Vec<String>,
    /// The worst verdict.
    pub verdict: Verdict,
    /// What could not be read.
    pub unreadable: Vec<Unreadable>,
    /// What is wrong with the project's packs, as [`packs_json`] rendered it: then nothing was checked.
    pub packs: Option<String>,
}

/// A file that could not be read.
#[derive(Debug, Clone, Serialize)]
#[non_exhaustive]
pub struct Unreadable {
    /// Its name.
    pub path: String,
    /// Why.
    pub message: String,
}

impl Run {
    /// A run of which everything could be read.
    #[must_use]
    pub fn of(sheets: Vec<String>, verdict: Verdict) -> Self {
        Self { sheets, verdict, unreadable: Vec::new(), packs: None }
    }

    /// The run as one JSON text.
    #[must_use]
    pub fn json(&self) -> String {
        let head = Head { shape: SHAPE, tool: concat!("dryfit ", env!("CARGO_PKG_VERSION")), verdict: self.verdict };
        let head = text(&head);
        let unreadable = text(&self.unreadable);
        let open = head.trim_end_matches('}');
        let packs = self.packs.as_deref().unwrap_or("[]");
        let sheets = self.sheets.join(",");
        format!("{open},\"sheets\":[{sheets}],\"unreadable\":{unreadable},\"packs\":{packs}}}\n")
    }
}

#[derive(Serialize)]
struct Head<'a> {
    shape: &'a str,
    tool: &'a str,
    verdict: Verdict,
}

/// Plain data with texts as keys always has a JSON form. What could rewrite a terminal is escaped,
/// so that the report can be looked at as it is.
pub(super) fn text(value: &impl Serialize) -> String {
    let json = serde_json::to_string(value).unwrap_or_default();
    if !json.contains(is_unprintable) {
        return json;
    }
    let mut escaped = String::with_capacity(json.len() + 64);
    for c in json.chars() {
        if is_unprintable(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                // Writing to a text cannot fail.
                let _ = write!(escaped, "\\u{unit:04x}");
            }
        } else {
            escaped.push(c);
        }
    }
    escaped
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Sheet<'a> {
    #[serde(rename = "sheet")]
    name: &'a str,
    verdict: Verdict,
    counts: Counts,
    hidden: usize,
    nothing_to_check: bool,
    cautions: Vec<(&'a str, &'a str)>,
    basis: &'a Basis,
    findings: Vec<Entry<'a>>,
}

#[derive(Serialize)]
struct Entry<'a> {
    rule: &'a str,
    level: Level,
    caution: bool,
    feature: &'a str,
    message: String,
    place: PlaceShape<'a>,
    label: &'a str,
    others: Vec<Other<'a>>,
    margin: Option<Margin<'a>>,
    inputs: Vec<Input<'a>>,
    stated: Vec<Stated<'a>>,
    missed: Option<Level>,
    likely: bool,
    help: Option<String>,
    sources: &'a [String],
    edit: Option<EditShape>,
    permitted: Option<String>,
    acknowledged: Option<String>,
    advice: Option<AdviceShape<'a>>,
}

#[derive(Serialize)]
struct PlaceShape<'a> {
    sheet: &'a str,
    #[serde(flatten)]
    range: TextRange,
}

/// Bytes of the text that a word takes the place of.
#[derive(Serialize)]
struct EditShape {
    byte: usize,
    bytes: usize,
    text: String,
}

#[derive(Serialize)]
struct Other<'a> {
    place: PlaceShape<'a>,
    label: String,
}

/// A finding where its texts are not at hand.
#[derive(Serialize)]
pub(super) struct Told<'a> {
    rule: &'a str,
    level: Level,
    feature: &'a str,
    message: String,
    help: Option<String>,
    permitted: Option<String>,
}

impl<'a> Told<'a> {
    pub(super) fn of(finding: &'a Finding) -> Self {
        Self {
            rule: &finding.rule,
            level: finding.level,
            feature: &finding.about,
            message: message(finding),
            help: help(finding),
            permitted: finding.permitted.as_ref().map(acceptance),
        }
    }
}

/// A result of another command as one JSON text with a line end.
pub(crate) fn result_json(value: &impl Serialize) -> String {
    text(value) + "\n"
}

/// A sheet with its findings as one JSON text.
#[must_use]
pub fn sheet_json(inspection: &Inspection) -> String {
    text(&Sheet {
        name: &inspection.name,
        verdict: inspection.verdict(),
        counts: Counts::of(inspection.found()),
        hidden: inspection.hidden.len(),
        nothing_to_check: is_of_nothing(inspection),
        cautions: cautions(inspection),
        basis: &inspection.basis,
        findings: inspection.findings.iter().map(|finding| entry(finding, &inspection.sources)).collect(),
    })
}

/// The faults of a project's packs as one JSON text.
#[must_use]
pub fn packs_json(inspection: &Inspection) -> String {
    let findings: Vec<Entry> = inspection.findings.iter().map(|f| entry(f, &inspection.sources)).collect();
    text(&findings)
}

fn entry<'a>(finding: &'a Finding, sources: &'a Sources) -> Entry<'a> {
    let other = |(at, label): (Span, String)| Other { place: place(at, sources), label };
    Entry {
        rule: &finding.rule,
        level: finding.level,
        caution: finding.caution,
        feature: &finding.about,
        message: message(finding),
        place: place(finding.at, sources),
        label: &finding.label,
        others: others(finding).into_iter().map(other).collect(),
        margin: finding.margin.as_ref().map(numbers::margin),
        inputs: finding.inputs.iter().map(numbers::input).collect(),
        stated: finding.stated.iter().map(numbers::stated).collect(),
        missed: finding.missed,
        likely: finding.likely,
        help: help(finding),
        sources: &finding.sources,
        edit: finding.meant.as_ref().and_then(|meant| {
            let edit = exchange(&sources.get(finding.at.source).text, finding.at, meant)?;
            Some(EditShape { byte: edit.start, bytes: edit.end - edit.start, text: edit.text })
        }),
        permitted: finding.permitted.as_ref().map(acceptance),
        acknowledged: finding.acknowledged.as_ref().map(acceptance),
        advice: finding.advice.as_ref().map(AdviceShape::of),
    }
}

fn place(at: Span, sources: &Sources) -> PlaceShape<'_> {
    PlaceShape { sheet: &sources.get(at.source).name, range: TextRange::of(at, sources) }
}
