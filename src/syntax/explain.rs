//! The reader's faults, worded in the sheet's terms.

use pest::Parser;
use pest::error::{Error, InputLocation};

use super::limits::{FAULTS, OPERATORS};
use super::{Grammar, Rule, text_end};
use crate::fault::Fault;
use crate::source::{Source, SourceId, Span, is_unprintable, printable_line};

/// A stretch of text that is no statement: finds where it goes wrong and says what to write. At the
/// top of a sheet names can be made.
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
    let stop = skip_blanks(piece, stop.min(piece.len()));
    let token = token_at(piece, stop);
    let (message, mut help) = advice(piece, stop, token, is_top);
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
fn advice(piece: &str, stop: usize, token: &str, is_top: bool) -> (String, Option<String>) {
    let before = piece.get(..stop).unwrap_or_default().trim_end();
    let says = |message: String, help: &str| (message, Some(help.to_owned()));
    match token.chars().next() {
        Some(c) => at_token(piece, stop, token, c, is_top),
        None if sign_behind(before).is_some() => {
            let direction = sign_behind(before).unwrap_or_default();
            says("a direction has its sign before its letter".into(), &format!("write `{direction}`"))
        }
        None if before.ends_with('=') || before.ends_with(['+', '-', '*', '/', '^', '<', '>']) => {
            says("the line ends where a value was expected".into(), "write the value on the same line")
        }
        None if before.matches('(').count() > before.matches(')').count() => {
            says("a parenthesis is not closed on this line".into(), "close it with `)`")
        }
        None => says("the line stops before it is complete".into(), A_LINE),
    }
}

/// `+z` for a text that ends in `z+`.
fn sign_behind(before: &str) -> Option<String> {
    let word = before.rsplit(char::is_whitespace).next()?;
    let mut letters = word.chars();
    match (letters.next()?, letters.next()?, letters.next()) {
        (axis @ 'x'..='z', sign @ ('+' | '-'), None) => Some(format!("{sign}{axis}")),
        _ => None,
    }
}

/// The same where something stands that cannot stand there.
fn at_token(piece: &str, stop: usize, token: &str, first: char, is_top: bool) -> (String, Option<String>) {
    let before = piece.get(..stop).unwrap_or_default().trim_end();
    let rest = piece.get(stop..).unwrap_or_default();
    let found = quoted(token);
    let says = |message: String, help: String| (message, Some(help));
    if first == '"'
        && let Some(inches) = inches_before(piece, stop)
    {
        let shown = quoted(&format!("{inches}\""));
        return says(
            format!("inches are written with the unit `in`, but found {shown}"),
            format!("write `{inches} in`"),
        );
    }
    match first {
        '"' if text_end(piece.as_bytes(), stop).is_none() => {
            says("this text has no closing quote".into(), "a text ends on its own line: \"like this\"".into())
        }
        '\'' | '’' | '′' | '″' | '”' if before.ends_with(|c: char| c.is_ascii_digit()) => says(
            format!("feet and inches are written with a unit, but found {found}"),
            "write inches as `in`, as in `0.5 in`; there is no unit for feet".into(),
        ),
        '“' | '”' | '„' | '‟' | '«' | '»' | '\'' | '‘' | '’' | '‚' | '`' | '´' => {
            says(format!("a text stands in straight double quotes, but found {found}"), straight(rest, first))
        }
        '=' | ':' if before == "let" || before.starts_with("let ") => says(
            "`let` takes one name, one `=` and a value".into(),
            "write it as `let name = value`, for example `let slack = 0.3 mm`".into(),
        ),
        '=' if is_top && !before.contains(|c: char| c.is_whitespace()) => {
            let field = field_with_value(before, &rest[1..]);
            let own = field
                .strip_prefix('`')
                .map_or("let slack = 0.3 mm`".into(), |field| format!("let {}", field.replacen(' ', " = ", 1)));
            says(
                format!("only `let` takes `=`, but found {found}"),
                format!("write {field}, or `{own} if it is a name of your own"),
            )
        }
        '=' => says(
            format!("a field is written without `=`, but found {found}"),
            format!("write {}; compare with `==`", field_with_value(before, &rest[1..])),
        ),
        ':' => says(
            format!("a field is written without a colon, but found {found}"),
            format!("write {}", field_with_value(before, &rest[1..])),
        ),
        ',' => comma(piece, stop),
        '[' | ']' => says(format!("found {found}"), "blocks stand in braces `{ }`".into()),
        '/' if rest.starts_with("//") || rest.starts_with("/*") || before.ends_with('/') => {
            says("a comment does not begin with a slash".into(), "begin it with `#`".into())
        }
        ')' => says("this parenthesis was never opened".into(), "take it out, or open it".into()),
        'ø' | 'Ø' | '⌀' | '∅' => says(
            format!("a diameter is written without {found}"),
            "write the number and its unit alone: `diameter 4 mm`".into(),
        ),
        c if before.is_empty() && (c.is_ascii_digit() || c == '.') => says(
            format!("a line begins with a word, but found {found}"),
            "name the field first, then its value: `thickness 2.4 mm`".into(),
        ),
        c if before.is_empty() && matches!(c, '-' | '*' | '•' | '–' | '—' | '·') => says(
            format!("a line begins with a word, but found {found}"),
            "lines need no mark in front of them; a comment begins with `#`".into(),
        ),
        c if !c.is_ascii() && !c.is_alphanumeric() => says(
            format!("the character {found} means nothing here"),
            "write units and signs in plain letters: `mm`, `deg`, `mm2`; names in a text stand in quotes".into(),
        ),
        '{' if before.trim().is_empty() => says(
            "a brace cannot begin a line".into(),
            "put it on the line above, behind the block's name: `part clip {`".into(),
        ),
        _ => says(format!("cannot make sense of {found} here"), A_LINE.into()),
    }
}

fn comma(piece: &str, stop: usize) -> (String, Option<String>) {
    if let Some((whole, decimals)) = decimal_comma_at(piece, stop) {
        let help = format!("write a point: `{whole}.{decimals}`");
        return ("a decimal comma cannot be read".into(), Some(help));
    }
    let help = "put `;` between fields on one line and `x` between the lengths of a size; only readings after `measured` have commas";
    ("a comma cannot stand here".into(), Some(help.into()))
}

/// The field as it is written without the sign that stood between its name and its value.
fn field_with_value(before: &str, after: &str) -> String {
    let name = before.rsplit(|c: char| c.is_whitespace() || matches!(c, ';' | '{')).next().unwrap_or_default();
    let value = after.split([';', '}', '#', '\n', '\r']).next().unwrap_or_default().trim();
    let readable = !name.is_empty() && !value.is_empty() && value.chars().count() <= 40;
    if readable && !value.contains(['=', ':', '"']) {
        return quoted(&format!("{name} {value}"));
    }
    "the field's name and its value: `thickness 2.4 mm`".into()
}

/// The text in straight quotes, where its end can be found.
fn straight(rest: &str, first: char) -> String {
    let inside = &rest[first.len_utf8()..];
    let end = inside.find(['“', '”', '„', '‟', '«', '»', '\'', '‘', '’', '‚', '`', '´', '"', '\n']);
    match end.map(|end| inside[..end].trim()) {
        Some(text) if !text.is_empty() && text.chars().count() <= 60 => {
            format!("write {}", quoted(&format!("\"{text}\"")))
        }
        _ => "write it \"like this\"".into(),
    }
}

/// The number whose inches are marked by the quote at a place, or by the one that opened before it.
fn inches_before(piece: &str, stop: usize) -> Option<&str> {
    let mut quotes = piece.get(..stop + 1)?.rmatch_indices('"').take(4);
    quotes.find_map(|(at, _)| {
        let before = &piece[..at];
        let number = &before[before.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/')).len()..];
        let begins =
            before.len() > number.len() && before[..before.len() - number.len()].ends_with([' ', '\t', '-', '+']);
        (begins && number.ends_with(|c: char| c.is_ascii_digit())).then_some(number)
    })
}

/// The digits before and after a comma that stands where a decimal point belongs.
fn decimal_comma_at(piece: &str, stop: usize) -> Option<(&str, &str)> {
    let (before, after) = (piece.get(..stop)?, piece.get(stop + 1..)?);
    let whole = &before[before.trim_end_matches(|c: char| c.is_ascii_digit()).len()..];
    let decimals = &after[..after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len())];
    (!whole.is_empty() && !decimals.is_empty()).then_some((whole, decimals))
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

/// A block whose brace is missing, as the indentation tells: it opens at a byte, and the line that
/// begins at another byte stands no deeper than it.
pub(super) fn lacks_brace(source: &Source, id: SourceId, open: usize, next: usize) -> Fault {
    let line = |at: usize| source.line(source.line_of(u32::try_from(at).unwrap_or(u32::MAX))).trim();
    let head = line(open).split('{').next().unwrap_or_default().trim();
    let short = |text: &str| !text.is_empty() && text.chars().count() <= 60;
    let block = if short(head) { quoted(head) } else { "this block".into() };
    let after = line(next);
    let help = match after.split('{').next().unwrap_or_default().trim() {
        _ if after.starts_with('}') => "put a `}` of its own before the `}` that closes the block around it".into(),
        before if short(before) => format!("put a `}}` on a line of its own before {}", quoted(before)),
        _ => "put a `}` on a line of its own where it ends".into(),
    };
    let end = next + source.text.get(next..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8);
    Fault::new("unclosed-block", id.span(open..open + 1), format!("{block} is never closed"))
        .label("opened here")
        .also(id.span(next..end), "not indented as if inside it")
        .help(help)
}

/// A block that is closed and was never opened: its brace belongs at a byte.
pub(super) fn unopened(source: &Source, id: SourceId, at: usize) -> Fault {
    let line = source.line_of(u32::try_from(at.saturating_sub(1)).unwrap_or(u32::MAX));
    let start = source.line_starts().get(line).map_or(0, |start| *start as usize);
    let head = source.text.get(start..at).unwrap_or_default().trim().trim_end_matches(['(', '[']).trim_end();
    let shown = if head.chars().count() <= 60 { quoted(head) } else { "this line".into() };
    let fault = Fault::new("stray-brace", id.span(start..at), format!("{shown} opens no brace, and a brace closes it"));
    fault.label("no `{` here").help(format!("end the line with a brace: {}", quoted(&format!("{head} {{"))))
}

pub(super) fn begins_with_semicolon(at: Span) -> Fault {
    Fault::new("unreadable-line", at, "a line cannot begin with `;`")
        .label("this semicolon")
        .help("a comment begins with `#`; to say something, take the `;` away")
}

/// A `let` without its sign; the texts are what follows it.
pub(super) fn let_without_sign(at: Span, texts: &[&str]) -> Fault {
    let (message, help) = match texts {
        [name, rest @ ..] if !rest.is_empty() => {
            let all = printable_line(&rest.join(" ")).into_owned();
            let value = if all.chars().count() <= 40 && !all.contains(['{', '"']) { all } else { "…".into() };
            (
                "`let` needs a `=` between the name and its value",
                format!("write `let {} = {value}`", printable_line(name)),
            )
        }
        _ => {
            ("`let` gives a name to a value", "write it as `let name = value`, for example `let slack = 0.3 mm`".into())
        }
    };
    Fault::new("unreadable-line", at, message).label("no `=` here").help(help)
}

/// `thickness { 2 mm }`
pub(super) fn value_in_braces(at: Span, head: &str, value: &str) -> Fault {
    let shown = if value.chars().count() <= 40 { printable_line(value) } else { "…".into() };
    Fault::new("unreadable-line", at, "a value stands behind its field's word, without braces of its own")
        .label("no word before it")
        .help(format!("write `{head} {shown}` if `{head}` is a field; in a block, begin with the word of the field"))
}

pub(super) fn unclosed(at: Span) -> Fault {
    Fault::new("unclosed-block", at, "this block is never closed")
        .label("opened here")
        .help("add a `}` where the block ends")
}

/// Decimal commas among readings; the text with points, where that is short.
pub(super) fn decimal_comma(at: Span, text: &str) -> Fault {
    let mut mended = text.to_owned();
    for (at, _) in text.match_indices(',') {
        if text.as_bytes().get(at + 1).is_some_and(u8::is_ascii_digit) {
            mended.replace_range(at..=at, ".");
        }
    }
    let shown = if mended.chars().count() <= 60 { quoted(&mended) } else { "`measured 2.02, 1.98 mm`".into() };
    Fault::new("unreadable-line", at, "a decimal comma cannot be told from the comma between readings")
        .label("this comma")
        .help(format!("write decimals with a point, and a space after each comma: {shown}"))
}

/// An instrument behind what was not read off it.
pub(super) fn no_reading(at: Span, instrument: &str) -> Fault {
    Fault::new("unreadable-line", at, format!("only one reading with its limit is taken `by {instrument}`"))
        .label("the instrument")
        .help(format!("write `17 mm ± 0.5 mm by {instrument}`, or `measured 17.1, 16.9 mm by {instrument}`"))
}

pub(super) fn too_long(at: Span) -> Fault {
    Fault::new("too-deep", at, format!("more than {OPERATORS} operators in one expression"))
        .label("this expression")
        .help("name parts of it with `let`")
}

pub(super) fn too_large(at: Span) -> Fault {
    Fault::new("impossible-value", at, "this number is too large to calculate with")
        .label("beyond 1.8e308")
        .help("check the exponent, and that nothing is divided by zero")
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
