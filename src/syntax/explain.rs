//! What is wrong where the text cannot be read.

mod equals;
mod meant;

use pest::Parser;
use pest::error::{Error, InputLocation};

use super::{Grammar, Rule, text_end};
use crate::fault::{Beside, Fault, Next, TextFault};
use crate::source::{Source, SourceId, Span, printable_line};
use equals::{compared, equals};
use meant::{
    comma_before, decimal_comma_at, field_with_value, inches_before, is_path, lacks_else, meant_as_bound,
    number_with_comma, opens_block, quoted_text, sign_behind,
};

/// A stretch of text that is no statement: finds where it goes wrong. At the top of a sheet names can be made.
pub(super) fn broken(
    source: &Source,
    id: SourceId,
    range: std::ops::Range<usize>,
    known: Option<&Error<Rule>>,
    is_top: bool,
) -> Fault {
    let piece = source.text[range.clone()].trim_end();
    let stop = match known {
        Some(error) => position(error),
        None => Grammar::parse(Rule::one_line, piece).err().as_ref().map_or(0, position),
    };
    let stop = stop.min(piece.len());
    let stop = comma_before(piece, stop).unwrap_or_else(|| skip_blanks(piece, stop));
    let token = token_at(piece, stop);
    let in_formula = known.is_some();
    let code = match token.chars().next() {
        Some(first) => at_token(piece, (stop, token, first), (is_top, in_formula))
            .unwrap_or(TextFault::Senseless { found: token.into(), in_formula }),
        None => at_end(piece.get(..stop).unwrap_or_default().trim_end(), in_formula),
    };
    let start = range.start + stop;
    code.at(id.span(start..start + token.len()))
}

fn position(error: &Error<Rule>) -> usize {
    match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    }
}

fn skip_blanks(piece: &str, stop: usize) -> usize {
    let rest = piece.get(stop..).unwrap_or_default();
    stop + rest.len() - rest.trim_start_matches([' ', '\t']).len()
}

/// The word or sign that is at a byte, at most a few characters.
fn token_at(piece: &str, stop: usize) -> &str {
    let rest = piece.get(stop..).unwrap_or_default();
    let word = rest.find(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | '-' | '.')));
    let end = match word {
        Some(0) => rest.chars().next().map_or(0, char::len_utf8),
        Some(end) => end,
        None => rest.len(),
    };
    let end = rest.char_indices().nth(40).map_or(end, |(limit, _)| end.min(limit));
    &rest[..end]
}

/// What is missing where a line stops.
fn at_end(before: &str, in_formula: bool) -> TextFault {
    if let Some(direction) = sign_behind(before) {
        return TextFault::SignAfterAxis { direction };
    }
    if before.ends_with(['=', '+', '-', '*', '/', '^', '<', '>']) {
        return TextFault::NoValue {};
    }
    if lacks_else(before) {
        return TextFault::NoElse {};
    }
    if before.matches('(').count() > before.matches(')').count() {
        return TextFault::OpenParenthesis {};
    }
    TextFault::Incomplete { in_formula }
}

/// What is wrong where there is something that cannot be there, if it can be told.
fn at_token(
    piece: &str,
    (stop, token, first): (usize, &str, char),
    (is_top, in_formula): (bool, bool),
) -> Option<TextFault> {
    let before = piece.get(..stop).unwrap_or_default().trim_end();
    let rest = piece.get(stop..).unwrap_or_default();
    let found = token.to_owned();
    if first == '"'
        && let Some(inches) = inches_before(piece, stop)
    {
        return Some(TextFault::InchMark { number: inches.into() });
    }
    Some(match first {
        '"' if text_end(piece.as_bytes(), stop).is_none() => TextFault::OpenText {},
        '\'' | '’' | '′' | '″' | '”' if before.ends_with(|c: char| c.is_ascii_digit()) => {
            TextFault::FootMark { found }
        }
        '“' | '”' | '„' | '‟' | '«' | '»' | '\'' | '‘' | '’' | '‚' | '`' | '´' => {
            TextFault::OtherQuote { found, text: quoted_text(rest, first) }
        }
        '=' => equals(before, rest, is_top, in_formula),
        ':' if before == "let" || before.starts_with("let ") => TextFault::SignInLet {},
        '<' | '>' if !(is_top && before.split_whitespace().count() < 2) => {
            TextFault::SignOfBound { found, bound: meant_as_bound(before, first, rest)? }
        }
        ':' if opens_block(before, &rest[1..]) => TextFault::ColonBlock { head: before.trim_start().into() },
        ':' => TextFault::ColonInField { found, field: field_with_value(before, &rest[1..]) },
        ',' => decimal_comma_at(piece, stop).map_or(TextFault::Comma {}, |(whole, decimals)| TextFault::DecimalComma {
            whole: whole.into(),
            decimals: decimals.into(),
        }),
        '[' | ']' => TextFault::Bracket { found },
        '/' if rest.starts_with("//") || rest.starts_with("/*") || before.ends_with('/') => TextFault::SlashComment {},
        ')' if lacks_else(before) => TextFault::NoElse {},
        ')' => TextFault::UnopenedParenthesis {},
        'ø' | 'Ø' | '⌀' | '∅' => {
            TextFault::DiameterSign { found, field: field_with_value(before, &rest[first.len_utf8()..]) }
        }
        c if before.is_empty() && (c.is_ascii_digit() || c == '.') => TextFault::NumberFirst { found },
        c if before.is_empty() && matches!(c, '-' | '*' | '•' | '–' | '—' | '·') => {
            TextFault::MarkFirst { found }
        }
        '–' | '—' | '‐' | '‑' if before.ends_with(|c: char| c.is_ascii_digit()) => TextFault::Dots { found },
        '–' | '—' | '‐' | '‑' => TextFault::Dash { found },
        '.' if rest.starts_with("..") => TextFault::Dots { found },
        '.' | '<' | '>' if is_top && !before.contains(char::is_whitespace) && piece.contains(['<', '>', '≤', '≥']) => {
            TextFault::BareDemand { demand: piece.chars().take(60).collect() }
        }
        '.' if !before.is_empty() && is_path(before) && is_path(&rest[1..]) => TextFault::PathFirst {
            path: format!("{before}{}", rest.split(char::is_whitespace).next().unwrap_or_default()),
        },
        c if !c.is_ascii() && !c.is_alphanumeric() => TextFault::StrangeCharacter { found },
        '{' if before.trim().is_empty() => TextFault::BraceFirst {},
        c if c.is_alphabetic() && number_with_comma(before).is_some() => {
            TextFault::CommaBeforeUnit { number: number_with_comma(before)?.into(), unit: found }
        }
        _ if lacks_else(before) => TextFault::NoElse {},
        _ if token == "if" => TextFault::InnerIf {},
        _ => {
            let (head, inside) = before.split_once('(')?;
            opens_block(head, inside).then(|| TextFault::Bracket { found: "(".into() })?
        }
    })
}

/// What a block's brace, at a byte, has before it since the last brace or `;` of its line.
pub(super) fn head_before(source: &Source, open: usize) -> Option<String> {
    let before = source.text.get(..open)?;
    short(before.rsplit(['\n', '\r', '{', '}', ';']).next().unwrap_or_default().trim())
}

/// A text that is short enough to be shown.
fn short(text: &str) -> Option<String> {
    (!text.is_empty() && text.chars().count() <= 60).then(|| text.to_owned())
}

/// A block whose brace is missing, as the indentation tells: it opens at a byte, and the line that
/// begins at another byte stands no deeper than it.
pub(super) fn lacks_brace(source: &Source, id: SourceId, open: usize, next: usize) -> Fault {
    let line = |at: usize| source.line(source.line_of(u32::try_from(at).unwrap_or(u32::MAX))).trim();
    let head = |line: &str| short(line.split('{').next().unwrap_or_default().trim());
    let after = line(next);
    let in_comment = |line: &str| line.split_once('#').is_some_and(|(_, comment)| comment.contains('}'));
    let follows = if in_comment(line(open)) {
        Next::InComment
    } else if after.starts_with('}') {
        Next::Brace
    } else {
        head(after).map_or(Next::Unclear, Next::Line)
    };
    let end = next + source.text.get(next..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8);
    TextFault::LacksBrace { head: head_before(source, open), next: follows }
        .at(id.span(open..open + 1))
        .also(id.span(next..end), Beside::NotInside)
}

/// A block that is closed and was never opened: its brace belongs at a byte.
pub(super) fn unopened(source: &Source, id: SourceId, at: usize) -> Fault {
    let line = source.line_of(u32::try_from(at.saturating_sub(1)).unwrap_or(u32::MAX));
    let start = source.line_starts().get(line).map_or(0, |start| *start as usize);
    let head = source.text.get(start..at).unwrap_or_default().trim().trim_end_matches(['(', '[']).trim_end();
    TextFault::Unopened { head: head.into(), is_short: head.chars().count() <= 60 }.at(id.span(start..at))
}

/// A `let` without its sign; the texts are what follows it.
pub(super) fn let_without_sign(at: Span, texts: &[&str]) -> Fault {
    let code = match texts {
        [one] if let Some((name, value)) = compared(one) => TextFault::LetCompares { name, value },
        [name, rest @ ..] if !rest.is_empty() => {
            let all = printable_line(&rest.join(" ")).into_owned();
            let value = (all.chars().count() <= 40 && !all.contains(['{', '"'])).then_some(all);
            TextFault::LetWithoutSign { name: (*name).into(), value }
        }
        _ => TextFault::LetAlone {},
    };
    code.at(at)
}

/// `thickness { 2 mm }`
pub(super) fn value_in_braces(at: Span, head: &str, value: &str) -> Fault {
    let value = (value.chars().count() <= 40).then(|| value.into());
    TextFault::ValueInBraces { head: head.into(), value }.at(at)
}

/// Decimal commas among readings; the text with points, where that is short.
pub(super) fn decimal_comma(at: Span, text: &str) -> Fault {
    let mut mended = text.to_owned();
    for (at, _) in text.match_indices(',') {
        if text.as_bytes().get(at + 1).is_some_and(u8::is_ascii_digit) {
            mended.replace_range(at..=at, ".");
        }
    }
    TextFault::ReadingComma { with_points: (mended.chars().count() <= 60).then_some(mended) }.at(at)
}
