//! Findings in the terminal, drawn by miette over the sheet's own lines.

use std::borrow::Cow;
use std::fmt::{self, Write};

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, Severity,
    SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};

use super::look::Look;
use super::sentence::others;
use super::verdict::unadvised;
use super::{message, notes, verdict_line};
use crate::inspect::Inspection;
use crate::rules::{Finding, Level};
use crate::source::{LINE_ENDS, Source, Sources, Span, printable, printable_line, with_line_feeds};

/// The findings of a sheet and its verdict, drawn for a terminal.
#[must_use]
pub fn terminal(inspection: &Inspection, look: Look) -> String {
    let mut out = look.folded(&verdict_line(inspection), 0, 2) + "\n";
    if let Some(unadvised) = unadvised(inspection) {
        out.push_str(&look.paragraph(&unadvised, 2));
    }
    terminal_findings(inspection, look) + &look.letters(&out)
}

/// The findings alone, for what has no verdict.
#[must_use]
pub fn terminal_findings(inspection: &Inspection, look: Look) -> String {
    let handler = GraphicalReportHandler::new_themed(theme(look));
    let handler = handler.with_width(look.width).with_links(false).with_context_lines(0);
    let shown: Vec<Shown> = shown_sources(&inspection.sources, &inspection.findings, look);
    let mut out = String::new();
    for finding in &inspection.findings {
        let drawn = Drawn::new(finding, &inspection.sources, &shown[finding.at.source.0 as usize]);
        // Writing to a text cannot fail; a finding that cannot be drawn is still told in words.
        if handler.render_report(&mut out, &drawn).is_err() {
            let _ = writeln!(out, "{}: {}", finding.level, printable_line(&message(finding)));
        }
        out.push('\n');
    }
    look.letters(&out).into_owned()
}

/// Colour for the level, and for what points at the sheet.
fn theme(look: Look) -> GraphicalTheme {
    let characters = if look.ascii { ThemeCharacters::ascii() } else { ThemeCharacters::unicode() };
    if !look.colour {
        return GraphicalTheme { characters, styles: ThemeStyles::none() };
    }
    // As in the other reports: see `colour_of`.
    let none = ThemeStyles::none();
    let bold = none.error.bold();
    let (error, warning, advice) = (bold.red(), bold.magenta(), bold.cyan());
    GraphicalTheme { characters, styles: ThemeStyles { error, warning, advice, highlights: vec![bold], ..none } }
}

/// Every text once, safe to print, with its lines known: miette on its own looks for them from the
/// first byte, for every label again.
fn shown_sources<'a>(sources: &'a Sources, findings: &[Finding], look: Look) -> Vec<Shown<'a>> {
    let count = findings.iter().map(|finding| finding.at.source.0 + 1).max().unwrap_or(0);
    (0..count).map(|id| Shown::new(sources.get(crate::source::SourceId(id)), look)).collect()
}

/// A line of more widths of the terminal than this is not drawn whole.
const WIDTHS: usize = 3;
/// Characters of such a line that are shown around a place.
const AROUND: usize = 20;

struct Shown<'a> {
    source: &'a Source,
    name: String,
    look: Look,
    text: Cow<'a, str>,
}

impl<'a> Shown<'a> {
    fn new(source: &'a Source, look: Look) -> Self {
        Self { source, look, name: printable_line(&source.name).into_owned(), text: drawable(&source.text) }
    }
}

/// A mark at the head of a file is drawn as the blanks that take its place.
fn drawable(text: &str) -> Cow<'_, str> {
    let fed = with_line_feeds(text);
    match (fed.strip_prefix('\u{feff}'), &fed) {
        (Some(rest), _) => format!("{:1$}{2}", "", '\u{feff}'.len_utf8(), printable(rest)).into(),
        (None, Cow::Borrowed(text)) => printable(text),
        (None, Cow::Owned(text)) => printable(text).into_owned().into(),
    }
}

impl Shown<'_> {
    fn is_too_wide(&self, at: Span) -> bool {
        self.source.line(self.source.line_of(at.start)).len() > WIDTHS * self.look.width
    }

    /// `at clip.dryfit:14:1500, thickness 0.6 mm: … wall w { thickness 0.6 mm }; …`
    fn told(&self, at: Span, label: &str) -> String {
        let place = self.source.place(at.start);
        let (line, gap) = (self.source.line(place.line - 1), self.look.gap());
        let around: String = line.chars().skip((place.column - 1).saturating_sub(AROUND)).take(3 * AROUND).collect();
        format!("at {}:{}:{}, {label}: {gap} {} {gap}", self.name, place.line, place.column, around.trim())
    }
}

impl SourceCode for Shown<'_> {
    fn read_span<'b>(
        &'b self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'b> + 'b>, MietteError> {
        let starts = self.source.line_starts();
        let byte = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        let first = self.source.line_of(byte(span.offset())).saturating_sub(before);
        let last = self.source.line_of(byte(span.offset() + span.len().saturating_sub(1))) + after;
        let start = starts[first] as usize;
        let end = starts.get(last + 1).map_or(self.text.len(), |next| *next as usize);
        if span.offset() + span.len() > self.text.len() {
            return Err(MietteError::OutOfBounds);
        }
        let data = self.text.as_bytes().get(start..end).ok_or(MietteError::OutOfBounds)?;
        let contents =
            MietteSpanContents::new_named(self.name.clone(), data, (start, end - start).into(), first, 0, starts.len());
        Ok(Box::new(contents))
    }
}

/// A finding as miette wants it.
struct Drawn<'a> {
    finding: &'a Finding,
    source: &'a Shown<'a>,
    labels: Vec<LabeledSpan>,
    help: Option<String>,
}

impl<'a> Drawn<'a> {
    fn new(finding: &'a Finding, sources: &Sources, source: &'a Shown<'a>) -> Self {
        let (mut labels, mut elsewhere) = (Vec::new(), Vec::new());
        if source.is_too_wide(finding.at) {
            elsewhere.push(source.told(finding.at, &finding.label));
        } else {
            labels.push(label(finding.at, &finding.label, source, true));
        }
        for (at, text) in &others(finding) {
            if at.source == finding.at.source && source.is_too_wide(*at) {
                elsewhere.push(source.told(*at, text));
            } else if at.source == finding.at.source {
                labels.push(label(*at, text, source, false));
            } else {
                let other = sources.get(at.source);
                let place = other.place(at.start);
                elsewhere.push(format!("{text}: {}:{}:{}", other.name, place.line, place.column));
            }
        }
        let mut lines = notes(finding);
        lines.splice(0..0, elsewhere);
        let help = (!lines.is_empty()).then(|| printable(&lines.join("\n")).into_owned());
        Self { finding, source, labels, help }
    }
}

/// An empty place is drawn one character wide, to the left where nothing follows.
fn label(at: Span, text: &str, source: &Shown, primary: bool) -> LabeledSpan {
    let mut range = at.range();
    range.end = range.end.min(source.text.len());
    range.start = range.start.min(range.end);
    if range.is_empty() {
        let before = source.text[..range.start].char_indices().next_back().filter(|(_, c)| !LINE_ENDS.contains(c));
        match (source.text[range.start..].chars().next().filter(|c| !LINE_ENDS.contains(c)), before) {
            (Some(next), _) => range.end += next.len_utf8(),
            (None, Some((start, _))) => range.start = start,
            (None, None) => {}
        }
    }
    let text = printable_line(text).into_owned();
    let span = (range.start, range.len());
    if primary {
        LabeledSpan::new_primary_with_span(Some(text), span)
    } else {
        LabeledSpan::new_with_span(Some(text), span)
    }
}

impl fmt::Display for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let permitted = if self.finding.permitted.is_some() { " (permitted)" } else { "" };
        write!(f, "{}{permitted}: {}", self.finding.level, printable_line(&message(self.finding)))
    }
}

impl fmt::Debug for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl std::error::Error for Drawn<'_> {}

impl Diagnostic for Drawn<'_> {
    fn code<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        Some(Box::new(&self.finding.rule))
    }

    fn severity(&self) -> Option<Severity> {
        Some(match (&self.finding.permitted, self.finding.level) {
            (Some(_), _) | (None, Level::Note) => Severity::Advice,
            (None, Level::Care) => Severity::Warning,
            (None, Level::Stop) => Severity::Error,
        })
    }

    fn help<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        self.help.as_ref().map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        (!self.labels.is_empty()).then_some(self.source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}
