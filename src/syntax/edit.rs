//! Numbers in a text: found in its tree, changed in the tree, and exchanged in the text.

use std::ops::Range;

use super::tree::{Expr, ExprKind, Operator, Value, ValueKind};
use crate::fault::Meant;
use crate::source::Span;

/// One exchange of bytes in a text.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Edit {
    /// The first byte.
    pub start: usize,
    /// One past the last byte; the same as `start` where something is put in.
    pub end: usize,
    /// What is there afterwards.
    pub text: String,
}

/// The text with edits applied that do not overlap; every byte outside them stays.
///
/// ```
/// use dryfit::syntax::edit::{Edit, apply};
///
/// let edit = Edit { start: 10, end: 13, text: "1.9".into() };
/// assert_eq!(apply("thickness 2.6 mm", &[edit]), "thickness 1.9 mm");
/// ```
#[must_use]
pub fn apply(text: &str, edits: &[Edit]) -> String {
    let mut edits: Vec<&Edit> = edits.iter().collect();
    edits.sort();
    let (mut out, mut from) = (String::with_capacity(text.len() + 16), 0);
    for edit in edits {
        out.push_str(text.get(from..edit.start).unwrap_or_default());
        out.push_str(&edit.text);
        from = edit.end.max(from);
    }
    out.push_str(text.get(from..).unwrap_or_default());
    out
}

/// The exchange of a word for what was meant, where it is once at a place of a text: in it, or around it where it is more
/// than that. What nothing takes the place of leaves one blank between what it parted.
///
/// ```
/// use dryfit::fault::Meant;
/// use dryfit::source::SourceId;
/// use dryfit::syntax::edit::{apply, exchange};
///
/// let text = "thickness = 2,5 mm";
/// let mended = |at: std::ops::Range<usize>, word: &str, instead: &str| {
///     let meant = Meant::of(word, instead);
///     apply(text, &[exchange(text, SourceId(0).span(at), &meant).unwrap()])
/// };
/// assert_eq!(mended(10..11, "=", ""), "thickness 2,5 mm");
/// assert_eq!(mended(13..14, "2,5", "2.5"), "thickness = 2.5 mm");
/// ```
#[must_use]
pub fn exchange(text: &str, at: Span, meant: &Meant) -> Option<Edit> {
    let (place, word) = (at.range(), meant.word.as_str());
    let more = word.len().saturating_sub(text.get(place.clone())?.len());
    let around = place.start.saturating_sub(more)..(place.end + more + 1).saturating_sub(word.len());
    let is_word = |start: &usize| text.get(*start..).is_some_and(|rest| rest.starts_with(word));
    let mut found = around.filter(is_word);
    let start = found.next().filter(|_| found.next().is_none())?;
    let end = start + word.len();
    if !meant.instead.is_empty() {
        return Some(Edit { start, end, text: meant.instead.clone() });
    }
    let blanks = [' ', '\t'];
    let (before, after) = (text[..start].trim_end_matches(blanks), text[end..].trim_start_matches(blanks));
    Some(Edit { start: before.len(), end: text.len() - after.len(), text: " ".into() })
}

/// The bytes of the number alone in a text that starts with one: `2.6` of `2.6 mm`, `1 1/2` of `1 1/2 in`.
#[must_use]
pub fn digits(text: &str) -> Range<usize> {
    let end = decimal(text).end;
    end_of_fraction(text, end).map_or(0..end, |end| 0..end)
}

/// Where a fraction with a unit ends that goes on from a whole number.
fn end_of_fraction(text: &str, whole: usize) -> Option<usize> {
    let past = |from: usize, is: fn(char) -> bool| {
        let rest = text.get(from..)?;
        Some(from + rest.find(|c| !is(c)).unwrap_or(rest.len()))
    };
    let is_blank = |c: char| matches!(c, ' ' | '\t');
    let is_digit = |c: char| c.is_ascii_digit();
    let above = match past(whole, is_blank)? {
        at if at == whole => whole,
        at => past(at, is_digit).filter(|end| *end > at)?,
    };
    let below = text.get(above..)?.starts_with('/').then_some(above + 1)?;
    let end = past(below, is_digit).filter(|end| *end > below)?;
    let unit = text.get(past(end, is_blank)?..)?;
    unit.starts_with(char::is_alphabetic).then_some(end)
}

/// The bytes of the decimal number that a text starts with.
fn decimal(text: &str) -> Range<usize> {
    let bytes = text.as_bytes();
    let is_digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut end = 0;
    while is_digit(end) || bytes.get(end) == Some(&b'.') {
        end += 1;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        if is_digit(end + 1 + sign) {
            end += 1 + sign;
            while is_digit(end) {
                end += 1;
            }
        }
    }
    0..end
}

/// The expressions that a drawn value is made of: none for readings and bounds, which say what
/// was found and not what is wanted.
#[must_use]
pub fn drawn(value: &Value) -> Vec<&Expr> {
    match &value.kind {
        ValueKind::Plain(expr) | ValueKind::Toleranced { nominal: expr, .. } => vec![expr],
        ValueKind::Size(lengths) | ValueKind::Place(lengths) => lengths.iter().collect(),
        ValueKind::Direction { tilt: Some((angle, _)), .. } => vec![angle],
        ValueKind::Direction { .. }
        | ValueKind::Measured { .. }
        | ValueKind::Between { .. }
        | ValueKind::Bound { .. } => Vec::new(),
    }
}

/// Gives the number at a place another value, in the unit that it is written in.
///
/// Whether the number was found.
pub fn set_number(value: &mut Value, at: Span, number: f64) -> bool {
    match &mut value.kind {
        ValueKind::Plain(expr) | ValueKind::Toleranced { nominal: expr, .. } => set(expr, at, number),
        ValueKind::Size(lengths) | ValueKind::Place(lengths) => {
            lengths.iter_mut().any(|length| set(length, at, number))
        }
        ValueKind::Direction { tilt: Some((angle, _)), .. } => set(angle, at, number),
        ValueKind::Direction { .. }
        | ValueKind::Measured { .. }
        | ValueKind::Between { .. }
        | ValueKind::Bound { .. } => false,
    }
}

/// Adds a length to the expression that a value is.
///
/// Whether the value is that expression.
pub fn add_length(value: &mut Value, at: Span, length: &Expr) -> bool {
    let ValueKind::Plain(expr) = &mut value.kind else { return false };
    if expr.span != at {
        return false;
    }
    let (left, right) = (Box::new(expr.clone()), Box::new(length.clone()));
    expr.kind = ExprKind::Binary { operator: Operator::Add, left, right };
    true
}

fn set(expr: &mut Expr, at: Span, number: f64) -> bool {
    if expr.span == at
        && let ExprKind::Number { value, .. } = &mut expr.kind
    {
        *value = number;
        return true;
    }
    match &mut expr.kind {
        ExprKind::Call { arguments, .. } => arguments.iter_mut().any(|argument| set(argument, at, number)),
        ExprKind::Negative(inner) | ExprKind::Not(inner) | ExprKind::Named { value: inner, .. } => {
            set(inner, at, number)
        }
        ExprKind::If { condition, then, otherwise } => {
            set(condition, at, number) || set(then, at, number) || set(otherwise, at, number)
        }
        ExprKind::Binary { left, right, .. } => set(left, at, number) || set(right, at, number),
        ExprKind::Number { .. }
        | ExprKind::Text(_)
        | ExprKind::Path(_)
        | ExprKind::Direction(_)
        | ExprKind::Unreadable => false,
    }
}
