//! What is wrong with the formulas of a pack, gathered over all places where they are worked out.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

use crate::fault::Fault;
use crate::source::Span;

/// Collects faults, and the names that some kinds of block have and others lack.
#[derive(Debug, Default)]
pub(in crate::rules) struct Report {
    faults: RefCell<Vec<Fault>>,
    found: RefCell<BTreeSet<Span>>,
    lacking: RefCell<BTreeMap<Span, Fault>>,
    /// Whether derived values lead to each other without end.
    endless: Cell<bool>,
}

impl Report {
    /// Takes in a fault; a fault in a pack is a broken pack, whatever it would be in a sheet.
    pub(in crate::rules) fn fault(&self, fault: Fault) {
        let fault = Fault { name: "broken-pack", ..fault };
        let mut faults = self.faults.borrow_mut();
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }

    /// Whether nothing is wrong so far.
    pub(in crate::rules) fn is_empty(&self) -> bool {
        self.faults.borrow().is_empty()
    }

    pub(super) fn note_endless(&self) {
        self.endless.set(true);
    }

    pub(super) fn is_endless(&self) -> bool {
        self.endless.get()
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
        faults
    }
}
