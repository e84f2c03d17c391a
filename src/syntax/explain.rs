//! The reader's faults, worded in the sheet's terms.

use pest::Parser;
use pest::error::{Error, InputLocation};

use super::limits::{FAULTS, OPERATORS};
use super::{Grammar, Rule, text_end};
use crate::fault::Fault;
use crate::source::{Source, SourceId, Span, is_unprintable};

/// A stretch of text that is no statement: finds where it goes wrong and says what to write.
pub(super) fn broken(
    source: &Source,
    id: SourceId,
    range: std::ops::Range<usize>,
    known: Option<&Error<Rule>>,
) -> Fault {
    let piece = source.text[range.clone()].trim_end();
    let stop = match known {
        Some(error) => position(error),
        None => Grammar::parse(Rule::one_line, piece).err().as_ref().map_or(0, position),
    };
    let stop = skip_blanks(piece, stop.min(piece.len()));
    let token = token_at(piece, stop);
    let (message, mut help) = advice(piece, stop, token);
    if known.is_some() && help.as_deref() == Some(A_LINE) {
        help = Some("an expression is made of names, numbers with units, and signs: `2 * machine.line`".into());
    }
    let start = range.start + stop;
    let at = id.span(start..start + token.len());
    let fault = Fault::new("unreadable-line", at, message).maybe_help(help);
    if token.is_empty() { fault.label("the line stops here") } else { fault.label("unexpected") }
}

/// What a line of a sheet looks like, where nothing better is known.
const A_LINE: &str = "a line is a word and its value: `thickness 2.4 mm`, `arm jaw { … }`";

fn position(error: &Error<Rule>) -> usize {
    match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    }
}

fn skip_blanks(piece: &str, stop: usize) -> usize {
    let rest = piece.get(stop..).unwrap_or_default();
    stop + rest.len() - rest.trim_start_matches([' ', '\t']).len()
}

/// The word or sign that stands at a byte, at most a few characters.
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

/// What is wrong and what to write, from the text around the place.
fn advice(piece: &str, stop: usize, token: &str) -> (String, Option<String>) {
    let before = piece.get(..stop).unwrap_or_default().trim_end();
    let found = if token.is_empty() { "the end of the line".into() } else { quoted(token) };
    let says = |message: String, help: &str| (message, Some(help.to_owned()));
    let first = token.chars().next();
    match first {
        Some('"') if text_end(piece.as_bytes(), stop).is_none() => {
            says("this text has no closing quote".into(), "a text ends on its own line: \"like this\"")
        }
        Some('=') if before == "let" || before.starts_with("let ") => says(
            "`let` takes one name and one `=`".into(),
            "write it as `let name = value`, for example `let slack = 0.3 mm`",
        ),
        Some('=') => says(
            format!("a field is written without `=`, but found {found}"),
            "write the field's name and its value: `thickness 2.4 mm`; compare with `==`",
        ),
        Some(':') => says(
            format!("a field is written without a colon, but found {found}"),
            "write the field's name and its value: `thickness 2.4 mm`",
        ),
        Some(',') if decimal_comma_at(piece, stop) => {
            says("a decimal comma cannot be read".into(), "write a point: `1.5 mm`")
        }
        Some(',') => {
            says(format!("found {found}"), "values in a row need no commas; only readings after `measured` have them")
        }
        Some('[' | ']') => says(format!("found {found}"), "blocks stand in braces `{ }`"),
        Some('/') if piece[stop..].starts_with("//") => says(format!("found {found}"), "a comment begins with `#`"),
        Some(')') => says("this parenthesis was never opened".into(), "take it out, or open it"),
        Some(c) if before.is_empty() && (c.is_ascii_digit() || c == '.') => says(
            format!("a line begins with a word, but found {found}"),
            "name the field first, then its value: `thickness 2.4 mm`",
        ),
        None if before.ends_with('=') || before.ends_with(['+', '-', '*', '/', '^', '<', '>']) => {
            says("the line ends where a value was expected".into(), "write the value on the same line")
        }
        None if before.matches('(').count() > before.matches(')').count() => {
            says("a parenthesis is not closed on this line".into(), "close it with `)`")
        }
        None => says("the line stops before it is complete".into(), A_LINE),
        Some(c) if !c.is_ascii() && !c.is_alphanumeric() => says(
            format!("the character {found} means nothing here"),
            "write units and signs in plain letters: `mm`, `deg`, `mm2`; names in a text stand in quotes",
        ),
        Some('{') if before.trim().is_empty() => says(
            "a brace cannot begin a line".into(),
            "put it on the line above, behind the block's name: `part clip {`",
        ),
        Some(_) => says(format!("cannot make sense of {found} here"), A_LINE),
    }
}

fn decimal_comma_at(piece: &str, stop: usize) -> bool {
    let digit = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_digit);
    let bytes = piece.as_bytes();
    stop > 0 && digit(bytes.get(stop - 1)) && digit(bytes.get(stop + 1))
}

/// A token in a message: in backquotes, with what cannot be shown made visible.
fn quoted(token: &str) -> String {
    let shown: String = token
        .chars()
        .map(|c| if is_unprintable(c) { format!("U+{:04X}", u32::from(c)) } else { c.to_string() })
        .collect();
    format!("`{shown}`")
}

pub(super) fn crowded(at: Span) -> Fault {
    Fault::new("unreadable-line", at, "nothing can follow a block on its line")
        .label("belongs on a line of its own")
        .help("begin a new line after the `}`, or write `;` between them")
}

pub(super) fn stray_brace(at: Span) -> Fault {
    Fault::new("stray-brace", at, "this closing brace belongs to no block")
        .label("nothing is open here")
        .help("take it out, or look above for the block that was closed too early or never opened")
}

pub(super) fn unclosed(at: Span) -> Fault {
    Fault::new("unclosed-block", at, "this block is never closed")
        .label("opened here")
        .help("add a `}` where the block ends")
}

pub(super) fn decimal_comma(at: Span) -> Fault {
    Fault::new("unreadable-line", at, "a decimal comma cannot be told from the comma between readings")
        .label("this comma")
        .help("write decimals with a point, and a space after each comma: `measured 2.02, 1.98 mm`")
}

pub(super) fn too_long(at: Span) -> Fault {
    Fault::new("too-deep", at, format!("more than {OPERATORS} operators in one expression"))
        .label("this expression")
        .help("name parts of it with `let`")
}

pub(super) fn too_large(at: Span) -> Fault {
    Fault::new("impossible-value", at, "this number is too large to calculate with")
        .label("beyond 1.8e308")
        .help("check the exponent")
}

pub(super) fn control_character(at: Span, what: &str, c: char) -> Fault {
    let code = u32::from(c);
    let kind = if c.is_control() { "the control character" } else { "the invisible character" };
    Fault::new("control-character", at, format!("this {what} holds {kind} U+{code:04X}"))
        .label(format!("somewhere in this {what}"))
        .help("take it out: characters of its kind can rewrite a terminal or hide what a line says")
}

pub(super) fn too_many(id: SourceId, total: usize) -> Fault {
    Fault::new("unreadable-line", id.span(0..0), format!("{} further lines could not be read", total - FAULTS))
        .label("in this file")
        .help("mend the first ones; the rest often follow from them")
}
