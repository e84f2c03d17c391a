//! Text to a tree with a span for everything that matters, and back.

mod braces;
mod depth;
pub mod edit;
mod explain;
pub mod format;
mod parse;
pub mod tree;

pub use parse::{expression, is_name, sheet, value};

/// The parser that pest makes of the grammar.
#[allow(missing_docs)]
mod grammar {
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/sheet.pest"]
    pub(super) struct Grammar;
}

use grammar::{Grammar, Rule};

/// One past the quote that closes the text opening at a byte; `None` where its line ends first.
fn text_end(bytes: &[u8], from: usize) -> Option<usize> {
    let mut at = from + 1;
    loop {
        match bytes.get(at)? {
            b'"' => return Some(at + 1),
            b'\n' | b'\r' => return None,
            b'\\' => at += 1 + usize::from(!matches!(bytes.get(at + 1)?, b'\n' | b'\r')),
            _ => at += 1,
        }
    }
}

/// How large and how deep a sheet may be: the same on every machine.
pub mod limits {
    /// Bytes in one file.
    pub const FILE_BYTES: u64 = 8 * 1024 * 1024;
    /// Braces and parentheses inside each other.
    pub const NESTING: usize = 64;
    /// Operators in one expression.
    pub const OPERATORS: usize = 256;
    /// Faults listed for one file; the rest are counted.
    pub const FAULTS: usize = 100;
}
