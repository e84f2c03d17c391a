//! The lines of a sheet that a change would touch, with the proposed text beside them.

use std::fmt::Write;
use std::ops::Range;

use super::{INDENT, cut};
use crate::inspect::Inspection;
use crate::report::look::Look;
use crate::rules::{ChangeNote, MendNote, RaisedNote};
use crate::source::{Source, SourceId, Span, printable_line};

/// The number of a line, right-aligned in so many columns.
const NUMBER: usize = 5;
/// Columns before a line's text: its number and a bar.
const BEFORE: usize = NUMBER + 3;
/// Blanks between a line and what is proposed beside it.
const BETWEEN: usize = 3;
/// So many of the values that move along are told.
const TOLD: usize = 2;

/// A line of the sheet with the place in it that would change.
struct Touched {
    /// Its number, from 1.
    number: usize,
    /// Where in the text.
    at: Range<usize>,
    /// `try`, `or`; of changes that go together `try both:`, and `and` before each further one.
    word: String,
    /// What is changed, by its last name.
    name: String,
    /// What it should be.
    to: String,
    /// It is put in where nothing was.
    is_added: bool,
    /// It states a fact.
    claim: bool,
    /// What else is to be known of the mend, after its last line.
    cost: Option<String>,
}

/// Draws them for the mends of a finding; whether there is any.
pub(super) fn proposals<'m>(
    inspection: &Inspection,
    mends: impl Iterator<Item = &'m MendNote>,
    look: Look,
    out: &mut String,
) -> bool {
    let source = inspection.sources.get(SourceId(0));
    let mut lines: Vec<Touched> = Vec::new();
    for (rank, mend) in mends.enumerate() {
        for (index, change) in mend.changes.iter().enumerate() {
            let first = if rank == 0 { "try" } else { "or" };
            let word = match (mend.changes.len(), index) {
                (_, 1..) => "and".to_owned(),
                (1, _) => first.to_owned(),
                (2, _) => format!("{first} both:"),
                _ => format!("{first} all of:"),
            };
            let cost = if index + 1 == mend.changes.len() { cost(mend) } else { None };
            lines.push(touched(source, change, mend.claim, word, cost));
        }
    }
    let widest = |texts: &[String]| texts.iter().map(|text| text.chars().count()).max().unwrap_or(0);
    let proposed: Vec<String> = lines.iter().map(|line| line.proposed(source.line(line.number - 1))).collect();
    let beside = widest(&proposed) + BETWEEN;
    let code = |beside: usize| -> Option<Vec<String>> {
        lines.iter().map(|line| around(source, line.number, &line.at, look, beside)).collect()
    };
    // Where a line and what is proposed do not fit side by side, the one is above the other.
    let shown = code(beside).or_else(|| code(0)).unwrap_or_else(|| vec![String::new(); lines.len()]);
    // A line that was cut may need no name any more.
    let proposed: Vec<String> = lines.iter().zip(&shown).map(|(line, code)| line.proposed(code)).collect();
    let (widest, beside) = (widest(&shown), widest(&proposed) + BETWEEN);
    let mut last = None;
    for ((line, code), proposed) in lines.iter().zip(&shown).zip(&proposed) {
        // The same line is not shown twice in a row.
        let is_new = last.replace((line.number, code)) != Some((line.number, code));
        let (number, code) = if is_new { (line.number.to_string(), code.as_str()) } else { (String::new(), "") };
        // Writing to a text cannot fail.
        if BEFORE + widest + beside <= look.width {
            let _ = writeln!(out, "{number:>NUMBER$} | {code:widest$}{:BETWEEN$}{proposed}", "");
        } else {
            let own = if code.is_empty() { String::new() } else { format!("{number:>NUMBER$} | {code}\n") };
            let _ = writeln!(out, "{own}{:NUMBER$} |   {proposed}", "");
        }
        if let Some(cost) = &line.cost {
            out.push_str(&look.paragraph(cost, INDENT + BETWEEN));
        }
    }
    !lines.is_empty()
}

/// The line of a place, where nothing can be proposed for it.
pub(super) fn excerpt(inspection: &Inspection, at: Span, look: Look, out: &mut String) {
    let source = inspection.sources.get(at.source);
    let place = source.place(at.start);
    let Some(code) = around(source, place.line, &at.range(), look, 0).filter(|code| !code.is_empty()) else { return };
    let other = at.source != SourceId(0);
    let name = if other { format!("{}:", printable_line(&source.name)) } else { String::new() };
    let number = format!("{name}{}", place.line);
    let _ = writeln!(out, "{}", cut(&format!("{number:>NUMBER$} | {code}"), look));
}

fn touched(source: &Source, change: &ChangeNote, claim: bool, word: String, cost: Option<String>) -> Touched {
    let at = change.byte..change.byte + change.bytes;
    let number = source.place(u32::try_from(at.start).unwrap_or(u32::MAX)).line;
    let name = change.name.rsplit('.').next().unwrap_or(&change.name);
    let is_added = change.bytes == 0 && change.text.trim_start_matches([';', '\r', '\n', ' ', '\t']).starts_with(name);
    let shown = |text: &str| printable_line(text).into_owned();
    // What is put in is put into the block that begins here.
    let begin = source.line_starts()[number - 1] as usize;
    let at = if is_added { begin..begin } else { at };
    Touched { number, at, word, name: shown(name), to: shown(&change.to), is_added, claim, cost }
}

impl Touched {
    /// `try 0.84 mm`; with the name where the line has other values too.
    fn proposed(&self, line: &str) -> String {
        let Self { word, name, to, .. } = self;
        let bare = line.trim_start_matches(['…', '.', ' ']);
        let is_only = bare.trim_start_matches("let ").starts_with(name.as_str()) && !line.contains(';');
        match (self.claim, self.is_added) {
            (true, _) if word.starts_with("or") => format!("or say {name} {to}, if it is so"),
            (true, _) => format!("say {name} {to}, if it is so"),
            (false, true) => format!("{word} {name} {to} (new)"),
            (false, false) if is_only => format!("{word} {to}"),
            (false, false) => format!("{word} {name} {to}"),
        }
    }
}

/// What a mend raises, and what moves along with it.
fn cost(mend: &MendNote) -> Option<String> {
    let on = |raised: &RaisedNote| {
        let RaisedNote { rule, feature, .. } = raised;
        let on = if feature.is_empty() { rule.clone() } else { format!("{rule} on {feature}") };
        let whose = raised.sheet.as_ref().map_or(String::new(), |sheet| format!(" in {sheet}"));
        let permitted = if raised.permitted { " (permitted)" } else { "" };
        format!("{on}{whose}{permitted}")
    };
    let raises = (!mend.raises.is_empty())
        .then(|| format!("but it raises {}", mend.raises.iter().map(on).collect::<Vec<_>>().join(" and ")));
    // A copy's field takes the same value, which needs no word.
    let last = |path: &str| path.rsplit('.').next().map(str::to_owned);
    let is_copy = |(path, _, to): &&(String, String, String)| {
        mend.changes.iter().any(|change| change.to == *to && last(&change.name) == last(path))
    };
    let others: Vec<_> = mend.moves.iter().filter(|moved| !is_copy(moved)).collect();
    let mut moves: Vec<String> = others.iter().take(TOLD).map(|(path, _, to)| format!("{path} becomes {to}")).collect();
    let more = others.len().saturating_sub(TOLD);
    if more > 0 {
        moves.push(format!("{more} more {}", if more == 1 { "value moves" } else { "values move" }));
    }
    let all: Vec<String> = raises.into_iter().chain(moves).collect();
    (!all.is_empty()).then(|| printable_line(&all.join(", ")).into_owned())
}

/// A line as it is shown: without its indentation, its comment left out where it does not fit, and cut around a place
/// in it where it is longer still. `None` where not even the place's own statement fits beside so many columns.
fn around(source: &Source, number: usize, at: &Range<usize>, look: Look, beside: usize) -> Option<String> {
    let (text, start) = (source.line(number - 1), source.line_starts()[number - 1] as usize);
    let room = look.width.checked_sub(BEFORE + beside)?;
    let shown = |text: &str| look.letters(&printable_line(text.trim_start_matches('\u{feff}').trim())).into_owned();
    // A line may be as long as a sheet: of none more is counted than fits.
    let fits = |text: &str| text.trim().chars().nth(room).is_none();
    if fits(text) {
        return Some(shown(text));
    }
    let from = at.start.saturating_sub(start).min(text.len());
    let to = at.end.saturating_sub(start).clamp(from, text.len());
    let comment = text[to..].char_indices().take(room + 1).find(|(at, _)| text[to + at..].starts_with(" #"));
    let bare = comment.map_or(text, |(comment, _)| &text[..to + comment]);
    if fits(bare) {
        return Some(shown(bare));
    }
    // From the statement's beginning to its end.
    let first = text[..from].rfind(['{', ';', '}']).map_or(0, |at| at + 1);
    let last = bare[to..].find(['{', ';', '}']).map_or(bare.len(), |at| to + at);
    let gap = look.gap();
    let before = if first > 0 { format!("{gap} ") } else { String::new() };
    let after = if last < bare.len() { format!(" {gap}") } else { String::new() };
    let statement = shown(&bare[first..last]);
    let room = room.checked_sub(before.chars().count() + after.chars().count())?;
    if beside > 0 && statement.chars().count() > room {
        return None;
    }
    let kept: String = statement.chars().take(room).collect();
    Some(format!("{before}{}{after}", kept.trim_end()))
}
