//! Sheets as they were judged last, so that after a change only what it reaches is judged again.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use super::{Home, SheetFile};
use crate::inspect::Analysis;
use crate::rules::Kept;

/// What was judged of sheets, by their full paths, each with the project that it was checked by.
#[derive(Debug, Default)]
pub struct Judged(RefCell<BTreeMap<PathBuf, (Arc<Home>, Kept)>>);

impl Judged {
    /// What a sheet means and what the rules find in it, starting from what was judged of it last.
    #[must_use]
    pub fn analysis<'w>(&self, sheet: &SheetFile<'w>) -> Analysis<'w> {
        let known = self.0.borrow_mut().remove(&sheet.full);
        let before = known.filter(|(home, _)| Arc::ptr_eq(home, sheet.home)).map(|(_, kept)| kept);
        sheet.analysis().after(before)
    }

    /// Keeps what was judged.
    pub fn keep(&self, sheet: SheetFile, analysis: Analysis) {
        let kept = analysis.into_kept().map(|kept| (Arc::clone(sheet.home), kept));
        self.0.borrow_mut().extend(kept.map(|kept| (sheet.full, kept)));
    }

    /// Keeps it of no other sheets than some.
    pub fn retain(&self, is_wanted: impl Fn(&PathBuf) -> bool) {
        self.0.borrow_mut().retain(|path, _| is_wanted(path));
    }
}
