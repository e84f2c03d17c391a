//! The ways out of a line that cannot be read.

use crate::fault::{Help, exchange};
use crate::source::is_unprintable;

/// What a line means that begins with a number: a size, so many holes, a chamfer, or a value without its field.
pub(super) fn number_first(found: &str) -> String {
    let is_number = |text: &&str| text.starts_with(|c: char| c.is_ascii_digit());
    let parts: Vec<&str> = found.split(['x', '×']).collect();
    match parts.as_slice() {
        [count, ""] => {
            format!("how many there are is the field `count`: `hole corner {{ diameter 3.2 mm; count {count} }}`")
        }
        [width, angle] if is_number(angle) => {
            format!("a chamfer is its width alone, a field of an `edge`: `edge rim {{ chamfer {width} mm }}`")
        }
        [_, width, height] if is_number(width) && is_number(height) => {
            format!("a size has its field before it: `size {}`", found.replace(['x', '×'], " x "))
        }
        _ => "name the field first, then its value: `thickness 2.4 mm`".into(),
    }
}

/// What a line looks like, where nothing better is known.
pub(super) fn form(in_formula: bool) -> Help {
    if in_formula {
        "an expression is made of names, numbers with units, and signs: `2 * machine.line`".into()
    } else {
        "a line is a word and its value: `thickness 2.4 mm`, `arm jaw { … }`".into()
    }
}

/// What a `let` looks like.
pub(super) const A_LET: &str = "write it as `let name = value`, for example `let slack = 0.3 mm`";

/// The field as it is written without the sign that was between its name and its value.
pub(super) fn field_text(field: Option<&(String, String)>) -> String {
    match field {
        Some((name, value)) => quoted(&format!("{name} {value}")),
        None => "the field's name and its value: `thickness 2.4 mm`".into(),
    }
}

/// The way out where a field has a sign between its name and its value; the sign is taken out where both are known.
pub(super) fn without_sign(sign: &str, field: Option<&(String, String)>) -> Help {
    let words = format!("write {}", field_text(field));
    if field.is_some() { exchange(sign, "", words) } else { words.into() }
}

/// The same as a name of the author's own.
pub(super) fn let_text(field: Option<&(String, String)>) -> String {
    match field {
        Some((name, value)) => quoted(&format!("let {name} = {value}")),
        None => "`let slack = 0.3 mm`".into(),
    }
}

/// A token in a message: in backquotes, with what cannot be shown made visible.
pub(super) fn quoted(token: &str) -> String {
    let shown: String = token
        .chars()
        .map(|c| if is_unprintable(c) { format!("U+{:04X}", u32::from(c)) } else { c.to_string() })
        .collect();
    format!("`{shown}`")
}
