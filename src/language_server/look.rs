//! One look at one open text: read, bound and judged with what it uses, as it is in the editor.

use std::cell::OnceCell;

use serde_json::{Value, json};

use super::address::address_of;
use super::place::{Encoding, Lines, Stretch};
use crate::files::Files;
use crate::inspect::Analysis;
use crate::rules::LedgerEntry;
use crate::source::{SourceId, Span};
use crate::workspace::SheetFile;

/// The text that was looked at, the first of the sources.
pub(super) const OWN: SourceId = SourceId(0);

pub(super) struct Look<'a> {
    pub(super) sheet: SheetFile<'a>,
    pub(super) analysis: Analysis<'a>,
    /// Every rule with its numbers, worked out when it is first asked for.
    pub(super) ledger: OnceCell<Vec<LedgerEntry>>,
    pub(super) lines: Lines<'a>,
    pub(super) text: &'a str,
    pub(super) address: &'a str,
    pub(super) encoding: Encoding,
    pub(super) files: &'a dyn Files,
}

impl Look<'_> {
    pub(super) fn stretch(&self, span: Span) -> Stretch {
        self.lines.stretch(span.range())
    }

    /// Where a span is, in whichever text it lies.
    pub(super) fn location(&self, span: Span) -> Value {
        if span.source == OWN {
            return json!({ "uri": self.address, "range": self.stretch(span) });
        }
        let source = self.analysis.sources.get(span.source);
        let address = source.path.as_deref().map_or_else(|| self.address.to_owned(), address_of);
        json!({ "uri": address, "range": Lines::of(&source.text, self.encoding).stretch(span.range()) })
    }

    pub(super) fn ledger(&self) -> &[LedgerEntry] {
        self.ledger.get_or_init(|| self.analysis.ledger(None))
    }
}
