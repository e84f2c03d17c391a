//! A change that may cure a finding: how much it changes, and its proof.

use std::sync::Arc;

use super::SHOWN;
use super::advisor::{Advisor, Case};
use super::driving::DrivingDimension;
use super::offer::{Change, Kind, Mend, result};
use crate::model::{Model, Value};
use crate::quantity::Dimension;
use crate::rules::Standing;

/// At most so many changes are proven for a finding; those that change most are left out.
const PROVEN: usize = 8;

/// A change that cures one rule, not yet proven.
pub(super) struct Candidate {
    pub(super) kind: Kind,
    pub(super) changes: Vec<Change>,
    pub(super) standing: Standing,
    pub(super) size: f64,
    /// The size of what changes most.
    pub(super) most: f64,
    pub(super) order: usize,
}

impl Advisor<'_> {
    /// By how much the dimension that the rule asked for changes, as a share of it.
    pub(super) fn size(&mut self, place: &DrivingDimension, value: f64) -> f64 {
        let asked =
            |model: &Model| match model.value_of(place.field.0, &model.feature(place.field.0).fields[place.field.1]) {
                Ok(Value::Quantity(quantity)) => Some(quantity.value),
                _ => None,
            };
        let before = asked(&self.model);
        let after = self.model.varied(&[place.with(value)], asked);
        // What is added where nothing was, a fillet, changes no share of anything.
        let share = |from: f64, to: f64| match (from > 0.0, to > 0.0) {
            (true, true) => (to / from).ln().abs(),
            (false, true) => 0.0,
            _ => 1.0,
        };
        match (before, after) {
            (Some(before), Some(after)) => share(before, after),
            _ => share(place.grid.value, value),
        }
    }

    /// The same as what makes a change a far one: half a slope is no other part.
    pub(super) fn stretched(place: &DrivingDimension, size: f64) -> f64 {
        if place.unit.is_some_and(|unit| unit.dimension == Dimension::ANGLE) { 0.0 } else { size }
    }

    /// Proves the candidates, those that change least first, until enough clean ones are found.
    pub(super) fn prove_all(&mut self, case: Case, mut candidates: Vec<Candidate>) -> Vec<Mend> {
        candidates.sort_by(|a, b| (a.kind.cmp(&b.kind)).then(a.size.total_cmp(&b.size)));
        let mut mends: Vec<Mend> = Vec::new();
        for candidate in candidates.into_iter().take(PROVEN) {
            if mends.iter().filter(|mend| mend.clean).count() >= SHOWN {
                break;
            }
            mends.extend(self.prove(case, candidate));
        }
        mends
    }

    pub(super) fn prove(&mut self, case: Case, mut candidate: Candidate) -> Option<Mend> {
        candidate.changes = self.agreeing.with(&mut self.model, self.text, candidate.changes);
        let feature = self.model.path(case.feature);
        let proof = self.prover.prove(&mut self.model, &candidate.changes, (&case.rule.name, case.feature));
        self.pay(self.prover.looks_taken());
        // What makes something worse than what it cures is no mend.
        if (!proof.gone && proof.leaves.is_none()) || proof.harms.iter().any(|harm| harm.level > case.level) {
            return None;
        }
        let moves = match candidate.kind {
            Kind::Material => Arc::default(),
            _ => self.moves.with(&mut self.model, &candidate.changes),
        };
        Some(Mend {
            rule: case.rule.name.to_string(),
            feature,
            kind: candidate.kind,
            clean: proof.gone && proof.harms.is_empty(),
            leaves: proof.leaves,
            harms: proof.harms,
            spends: proof.spends,
            reached: proof.reached,
            moves,
            result: result(&candidate.standing),
            share: candidate.standing.share,
            size: candidate.size,
            most: candidate.most,
            order: candidate.order,
            changes: candidate.changes,
        })
    }
}
