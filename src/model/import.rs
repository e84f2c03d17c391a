//! What `with` needs from outside: another sheet's statements.

use super::bind::Binder;
use super::{FeatureId, Model, limits};
use crate::fault::{Fault, WordFault};
use crate::source::Span;
use crate::syntax::tree::{Body, ExprKind, ValueKind};
use crate::vocabulary::Act;

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
        Err(WordFault::NoFile { file: file.into() }.at(at))
    }
}

/// A sheet that is named as one to bring in.
#[derive(Debug)]
pub(super) struct Wanted {
    file: String,
    at: Span,
    /// Whether all of it is wanted, not only what sheets share.
    whole: bool,
}

impl Binder<'_> {
    pub(super) fn remember_import(&mut self, id: FeatureId) {
        let feature = self.model.feature(id);
        let whole = feature.block.act == Act::Recalls;
        let Some(written) = feature.fields.first().and_then(|field| field.written.as_ref()) else { return };
        if let ValueKind::Plain(expr) = &written.value.kind
            && let ExprKind::Text(file) = &expr.kind
        {
            self.imports.push(Wanted { file: file.clone(), at: written.value.span, whole });
        }
    }

    pub(super) fn import_all(&mut self, importer: &dyn Importer) {
        self.imported = true;
        let mut count = 0;
        while let Some(Wanted { file, at, whole }) = self.imports.pop() {
            count += 1;
            self.whole = whole;
            if count > limits::IMPORTS {
                self.model.report(WordFault::TooManySheets { most: limits::IMPORTS }.at(at));
                return;
            }
            match importer.import(&file, at) {
                Ok(Some((body, faults))) => {
                    for fault in faults {
                        self.model.report(fault);
                    }
                    self.body(body, Model::SHEET);
                }
                Ok(None) => {}
                Err(fault) => self.model.report(fault),
            }
        }
    }
}
