//! The texts that are open in the editor, saved or not.

use std::collections::BTreeMap;
use std::ops::Range;
use std::path::PathBuf;

use serde::Deserialize;

use super::place::{Encoding, Lines, Stretch};
use crate::files::Texts;

/// One that is open.
#[derive(Debug, Clone)]
pub(super) struct Document {
    pub(super) path: PathBuf,
    pub(super) version: i64,
    pub(super) text: String,
}

/// A change as the protocol has it; of the whole text where it names no place.
#[derive(Debug, Deserialize)]
pub(super) struct Change {
    range: Option<Stretch>,
    text: String,
}

impl Document {
    /// Changes the text; gives the bytes that the last change wrote, where it was of a part of it.
    pub(super) fn change(&mut self, version: i64, changes: Vec<Change>, encoding: Encoding) -> Option<Range<usize>> {
        self.version = version;
        let mut typed = None;
        for change in changes {
            let bytes = match change.range {
                Some(range) => Lines::of(&self.text, encoding).bytes(range),
                None => 0..self.text.len(),
            };
            self.text.replace_range(bytes.clone(), &change.text);
            typed = change.range.map(|_| bytes.start..bytes.start + change.text.len());
        }
        typed
    }
}

/// All that are open, by address.
pub(super) type Documents = BTreeMap<String, Document>;

/// Their texts by path, to be read in place of the saved ones.
pub(super) fn texts(documents: &Documents) -> Texts {
    documents.values().map(|document| (document.path.clone(), document.text.clone())).collect()
}
