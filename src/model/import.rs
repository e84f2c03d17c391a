//! What `use` needs from outside: another sheet's statements.

use crate::fault::Fault;
use crate::source::Span;
use crate::syntax::tree::Body;

/// Finds and reads the sheets that a sheet uses.
pub trait Importer {
    /// The statements of the sheet that `file` names, seen from the text that holds `at`, and the
    /// faults of its text. `Ok(None)` where it was brought in before.
    ///
    /// # Errors
    /// A fault at `at` where it cannot be had.
    fn import(&self, file: &str, at: Span) -> Result<Option<(Body, Vec<Fault>)>, Fault>;
}

/// For sheets that stand alone: a text from nowhere, an example in a rule.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoImports;

impl Importer for NoImports {
    fn import(&self, file: &str, at: Span) -> Result<Option<(Body, Vec<Fault>)>, Fault> {
        let message = format!("`{file}` cannot be used from a text that is no file");
        Err(Fault::new("unusable-sheet", at, message).help("save the sheet beside the other one"))
    }
}
