//! One look at a sheet: the mends that can be applied to it at once.

#[cfg(test)]
mod tests;

use std::collections::HashSet;
use std::sync::Arc;

use super::{Applied, Choice};
use crate::inspect::Judged;
use crate::mend::advisor::Advisor;
use crate::mend::offer::Mend;
use crate::mend::{Advice, Sheet, conflict, is_mendable};
use crate::model::FeatureId;
use crate::rules::Finding;

/// Rules with features that no single clean change cured.
pub(super) type Stuck = HashSet<(String, String)>;

/// One look at a sheet: the mends that can be applied to it at once.
pub(super) struct Round<'s> {
    own: &'s [Finding],
    advisor: Advisor<'s>,
    choice: &'s Choice,
    is_over: &'s dyn Fn() -> bool,
    /// The findings that may have a mend: stops before cares before notes.
    mendable: Vec<usize>,
    next: Vec<Applied>,
    /// The features whose findings may differ with the mends that were found.
    reached: HashSet<FeatureId>,
    /// Nothing more goes with them.
    closed: bool,
    /// Findings whose mend two dimensions may share, with the features that it reaches.
    waiting: Vec<(usize, Arc<[FeatureId]>)>,
}

/// What a look came to.
pub(super) enum Search {
    /// Mends to apply together.
    Found(Vec<Applied>),
    /// None: the advice on all findings.
    Nothing(Vec<Option<Advice>>),
    /// It was given up.
    Stopped,
}

impl<'s> Round<'s> {
    pub(super) fn new(
        (sheet, text): (&'s dyn Sheet, &'s str),
        judged: Judged<'s>,
        own: &'s [Finding],
        (choice, is_over): (&'s Choice, &'s dyn Fn() -> bool),
    ) -> Self {
        let mut mendable: Vec<usize> = (0..own.len()).filter(|at| is_mendable(sheet.library(), &own[*at])).collect();
        mendable.sort_by_key(|at| std::cmp::Reverse(own[*at].level));
        let advisor = Advisor::new((sheet, text), judged, own, (1, choice.material));
        Self {
            own,
            advisor,
            choice,
            is_over,
            mendable,
            next: Vec::new(),
            reached: HashSet::new(),
            closed: false,
            waiting: Vec::new(),
        }
    }

    /// The best mend of the worst finding that has one, and of those after it whatever has nothing to do
    /// with it. Those that no single clean change cured before, and what takes more than one, come last.
    /// Where there is none, the advice on all findings.
    pub(super) fn best(mut self, stuck: &mut Stuck) -> Search {
        let own = self.own;
        self.mendable.sort_by_key(|at| stuck.contains(&key(&own[*at])));
        if !self.single_changes(stuck) {
            return Search::Stopped;
        }
        if !self.next.is_empty() {
            return Search::Found(self.next);
        }
        let Some(mut all) = self.all_advice() else { return Search::Stopped };
        if !self.next.is_empty() {
            return Search::Found(self.next);
        }
        conflict::once(&mut all);
        Search::Nothing(all)
    }

    /// Takes along the clean changes of one thing each; `false` where it was given up.
    fn single_changes(&mut self, stuck: &mut Stuck) -> bool {
        let own = self.own;
        let mut apart = 0;
        for place in 0..self.mendable.len() {
            // A mend reaches the feature whose finding it cures: where all of these are reached, nothing more goes along.
            while apart < self.mendable.len() && (apart < place || self.is_reached(self.mendable[apart])) {
                apart += 1;
            }
            if self.closed || (apart == self.mendable.len() && !self.next.is_empty()) {
                break;
            }
            if (self.is_over)() {
                return false;
            }
            let at = self.mendable[place];
            let best = if self.waits(at) { None } else { self.advisor.simple(&own[at]) };
            match best.filter(|(mend, _)| self.choice.allows(mend, own[at].level)) {
                Some((mend, false)) => self.take(at, mend),
                Some((mend, true)) => {
                    self.waiting.extend(mend.reached.map(|reached| (at, reached)));
                    stuck.insert(key(&own[at]));
                }
                None => drop(stuck.insert(key(&own[at]))),
            }
        }
        true
    }

    /// All that can be done about each finding, and takes along the best of it; `None` where it was given up.
    fn all_advice(&mut self) -> Option<Vec<Option<Advice>>> {
        let own = self.own;
        let mut all: Vec<Option<Advice>> = own.iter().map(|_| None).collect();
        for place in 0..self.mendable.len() {
            if self.closed {
                break;
            }
            if (self.is_over)() {
                return None;
            }
            let at = self.mendable[place];
            all[at] = self.advisor.advise(&own[at]);
            let mut mends = all[at].iter().flat_map(|advice| &advice.mends);
            if let Some(mend) = mends.find(|mend| self.choice.allows(mend, own[at].level)) {
                self.take(at, mend.clone());
            }
        }
        Some(all)
    }

    /// Whether what the same rule found elsewhere waits with a mend that reaches what a finding is about: one look tells of
    /// all that follow from one number.
    fn waits(&self, at: usize) -> bool {
        let features = self.advisor.at_path(&self.own[at].about);
        let reaches = |reached: &[FeatureId]| features.iter().all(|feature| reached.binary_search(feature).is_ok());
        let alike = |other: usize| self.own[other].rule == self.own[at].rule;
        !features.is_empty() && self.waiting.iter().any(|(other, reached)| alike(*other) && reaches(reached))
    }

    /// Whether a mend that was found reaches what a finding is about.
    fn is_reached(&self, at: usize) -> bool {
        let features = self.advisor.at_path(&self.own[at].about);
        !features.is_empty() && features.iter().all(|feature| self.reached.contains(feature))
    }

    /// Takes a mend along if it reaches nothing that those before it reach: then its proof holds as well
    /// once they are applied. Otherwise it waits, and what reaches the same waits with it.
    fn take(&mut self, at: usize, mend: Mend) {
        let apart = if let Some(reached) = &mend.reached {
            let apart = reached.iter().all(|feature| !self.reached.contains(feature));
            self.reached.extend(reached.iter());
            apart
        } else {
            self.closed = true;
            self.next.is_empty() && self.reached.is_empty()
        };
        if apart {
            self.next.push(Applied { level: self.own[at].level, mend });
        }
    }
}

/// What a finding is known by from one round to the next.
fn key(finding: &Finding) -> (String, String) {
    (finding.rule.clone(), finding.about.clone())
}
