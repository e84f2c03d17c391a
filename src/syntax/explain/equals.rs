//! What is wrong where there is a `=` that cannot be there.

use super::meant::{field_with_value, last_of, statement};
use crate::fault::TextFault;

/// What the `=` at the beginning of a text is likely to mean, by what is before it.
pub(super) fn equals(before: &str, rest: &str, is_top: bool, in_formula: bool) -> TextFault {
    let (found, after) = ("=".to_owned(), &rest[1..]);
    let field = || field_with_value(before, after);
    if let Some(sign) = split_sign(before, after) {
        return TextFault::SplitSign { sign };
    }
    if in_formula || in_condition(before) {
        return TextFault::SignInCondition {};
    }
    if before == "let" {
        return TextFault::SignInLet {};
    }
    if let Some(named) = before.strip_prefix("let ") {
        let words: Vec<&str> = named.split_whitespace().collect();
        let is_name = words.len() > 1 && !words.contains(&"=");
        return if is_name { TextFault::NameInWords { name: words.join("-") } } else { TextFault::SignInLet {} };
    }
    if let Some(left) = in_demand(before) {
        return TextFault::SignInDemand { demand: equal(left, after) };
    }
    if is_top && !before.contains(char::is_whitespace) {
        return TextFault::SignAtTop { found, field: field() };
    }
    match meant_as_copy(before, after) {
        Some(copy) => TextFault::SignInCopy { copy },
        None => TextFault::SignInField { found, field: field() },
    }
}

/// What a demand compares, where a text ends in one: `slack` of `demand slack`.
fn in_demand(before: &str) -> Option<&str> {
    statement(before).strip_prefix("demand ").map(str::trim)
}

/// `slack == 3 mm`, where that is short.
fn equal(left: &str, after: &str) -> Option<String> {
    let right = after.split([';', '}', '#', '\n', '\r', '"']).next().unwrap_or_default().trim();
    let readable = !right.is_empty() && left.chars().count() + right.chars().count() <= 60;
    readable.then(|| format!("{left} == {right}"))
}

/// Whether a text ends between an `if` and its `then`.
fn in_condition(before: &str) -> bool {
    last_of(before, "if") > last_of(before, "then")
}

/// The sign that is meant by `< =` or `=<`, at its `=`.
fn split_sign(before: &str, after: &str) -> Option<String> {
    let first = before.chars().next_back().filter(|c| matches!(c, '<' | '>' | '=' | '!'));
    let turned = || after.chars().next().filter(|c| matches!(c, '<' | '>'));
    first.or_else(turned).map(|sign| format!("{sign}="))
}

/// `hole low = top`: the copy that is meant.
fn meant_as_copy(before: &str, after: &str) -> Option<String> {
    let words: Vec<&str> = before.split_whitespace().collect();
    let [kind, name] = words.as_slice() else { return None };
    let from = after.trim_start().split(|c: char| c.is_whitespace() || matches!(c, ';' | '{' | '}')).next()?;
    let is_path =
        from.starts_with(char::is_alphabetic) && from.chars().all(|c| c.is_alphanumeric() || "-_.".contains(c));
    is_path.then(|| format!("{kind} {name} like {from}"))
}

/// `gap == 3 mm`
pub(super) fn compared(text: &str) -> Option<(String, String)> {
    let (name, value) = text.split_once("==")?;
    let (name, value) = (name.trim(), value.trim());
    (!name.contains(char::is_whitespace) && value.chars().count() <= 40).then(|| (name.into(), value.into()))
}
