//! Text to a tree with a span for everything that matters, and back.

mod depth;
mod explain;
pub mod format;
mod parse;
pub mod tree;

pub use parse::{expression, sheet, value};

/// The parser that pest makes of the grammar.
#[allow(missing_docs)]
mod grammar {
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/sheet.pest"]
    pub(super) struct Grammar;
}

use grammar::{Grammar, Rule};

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
