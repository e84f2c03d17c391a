//! What is wrong with the formulas of a pack, gathered over all places where they are worked out.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

use super::infer::Endless;
use crate::fault::{Fault, FormulaFault, near};
use crate::source::Span;

/// Collects faults, and the names that some kinds of block have and others lack.
#[derive(Debug, Default)]
pub(in crate::rules) struct Report {
    faults: RefCell<Vec<Fault>>,
    found: RefCell<BTreeSet<Span>>,
    lacking: RefCell<BTreeMap<Span, Fault>>,
    /// Names that nothing has, each with those that are known where it was looked for.
    unknown: RefCell<BTreeMap<Span, (String, BTreeSet<String>)>>,
    /// Why what follows from fields has no end.
    endless: Cell<Option<Endless>>,
}

impl Report {
    /// Takes in a fault; a fault in a pack is a broken pack, whatever it would be in a sheet. What is wrong at a place for
    /// several kinds of block is told once.
    pub(in crate::rules) fn fault(&self, fault: Fault) {
        let fault = Fault { name: "broken-pack", ..fault };
        let mut faults = self.faults.borrow_mut();
        if !faults.iter().any(|known| known.at == fault.at && known.code.is_like(&fault.code)) {
            faults.push(fault);
        }
    }

    /// Whether nothing is wrong so far.
    pub(in crate::rules) fn is_empty(&self) -> bool {
        self.faults.borrow().is_empty() && self.unknown.borrow().is_empty()
    }

    pub(super) fn note_endless(&self, why: Endless) {
        self.endless.set(Some(why));
    }

    pub(super) fn endless(&self) -> Option<Endless> {
        self.endless.get()
    }

    /// A name that nothing has; what was meant by it is looked for among those of all the places.
    pub(super) fn unknown<'n>(&self, name: &str, at: Span, known: impl IntoIterator<Item = &'n str>) {
        let mut unknown = self.unknown.borrow_mut();
        let (_, all) = unknown.entry(at).or_insert_with(|| (name.to_owned(), BTreeSet::new()));
        all.extend(known.into_iter().map(str::to_owned));
    }

    /// A name means something at one of the places.
    pub(super) fn found(&self, at: Span) {
        self.found.borrow_mut().insert(at);
    }

    /// A name that the vocabulary knows means nothing at one of the places: not given there. The fault counts only if
    /// no place has it.
    pub(super) fn lacks(&self, fault: Fault) {
        self.lacking.borrow_mut().entry(fault.at).or_insert(fault);
    }

    /// All faults. A name that no place has can never have a value.
    pub(in crate::rules) fn finish(self) -> Vec<Fault> {
        let (mut faults, found) = (self.faults.into_inner(), self.found.into_inner());
        let lacking = self.lacking.into_inner().into_iter();
        faults.extend(lacking.filter(|(at, _)| !found.contains(at)).map(|(_, fault)| fault));
        let unknown = self.unknown.into_inner().into_iter().map(|(at, (name, known))| {
            let near = near(&name, known.iter().map(String::as_str));
            Fault { name: "broken-pack", ..FormulaFault::UnknownName { name, near }.at(at) }
        });
        faults.extend(unknown);
        faults
    }
}
