//! The pack that every run starts from.

use std::sync::OnceLock;

use serde::Deserialize;

use super::raw::RawPack;
use super::texts::{Place, place};
use crate::syntax::tree::{Expr, Value};

/// The built-in pack's files with their names, read from YAML when the program was built.
///
/// # Panics
/// Never in a program that was built: its build script wrote these bytes with the same types.
#[must_use]
pub fn built_in() -> Vec<(String, RawPack)> {
    const BYTES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/pack.bin"));
    #[allow(clippy::expect_used, reason = "no input reaches it, and a test decodes the same bytes")]
    postcard::from_bytes(BYTES).expect("the built-in pack is what the build script wrote")
}

/// Places with the trees that the texts there were read as, in the order of the places.
type Read = Vec<(Place, &'static [u8])>;

/// The expressions and the values of the built-in pack, read when the program was built.
fn formulas() -> &'static (Read, Read) {
    const BYTES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/formulas.bin"));
    static FORMULAS: OnceLock<(Read, Read)> = OnceLock::new();
    // Without them each formula is read when it is needed.
    FORMULAS.get_or_init(|| postcard::from_bytes(BYTES).unwrap_or_default())
}

/// The expression that a text of the built-in pack is.
pub(super) fn expression(text: &str) -> Option<Expr> {
    tree(&formulas().0, text)
}

/// The value that a text of the built-in pack is.
pub(super) fn value(text: &str) -> Option<Value> {
    tree(&formulas().1, text)
}

fn tree<T: Deserialize<'static>>(read: &Read, text: &str) -> Option<T> {
    let place = place(text)?;
    let at = read.binary_search_by_key(&place, |(place, _)| *place).ok()?;
    postcard::from_bytes(read.get(at)?.1).ok()
}

#[cfg(test)]
mod tests {
    use super::super::texts::text;
    use super::{expression, formulas, value};
    use crate::origin::Origin;
    use crate::pack::BUILT_IN;
    use crate::syntax;

    #[test]
    fn formulas_are_what_the_program_itself_would_read() {
        let (expressions, values) = formulas();
        assert!(!expressions.is_empty() && !values.is_empty());
        for (place, _) in expressions {
            let text = text(*place);
            assert_eq!(expression(text), syntax::expression(text, BUILT_IN, &Origin::default()).ok(), "{text}");
        }
        for (place, _) in values {
            let text = text(*place);
            assert_eq!(value(text), syntax::value(text, BUILT_IN, &Origin::default()).ok(), "{text}");
        }
    }
}
