//! What a change makes of the findings: of those that it reaches, or of the whole sheet with the changed text.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::Sheet;
use super::offer::Change;
use crate::model::{FeatureId, Model, Variation};
use crate::rules::{Finding, Level, Reached, Recheck};
use crate::syntax::edit::{Edit, apply};

/// A margin may become smaller by so much of its limit before that counts as harm: what is open
/// already and moves by a hair is not made worse.
const HAIR: f64 = 0.005;

/// What a finding is known by: which sheet, which rule, on which feature.
pub(super) type Key = (usize, String, String);

/// How bad the findings of one key are.
#[derive(Debug, Clone, Copy, PartialEq)]
struct State {
    count: usize,
    /// The worst level of those that no permit accepts.
    open: Option<Level>,
    share: f64,
    chance: f64,
}

/// Findings by what they are known by.
#[derive(Debug, Default)]
pub(super) struct Findings {
    states: BTreeMap<Key, State>,
    messages: BTreeMap<Key, String>,
}

impl Findings {
    fn open(&self, key: &Key) -> Option<Level> {
        self.states.get(key).and_then(|state| state.open)
    }

    pub(super) fn of(sheets: &[Vec<Finding>]) -> Self {
        let mut findings = Self::default();
        for (sheet, list) in sheets.iter().enumerate() {
            for finding in list {
                findings.add(sheet, finding);
            }
        }
        findings
    }

    fn add(&mut self, sheet: usize, finding: &Finding) {
        let key = (sheet, finding.rule.clone(), finding.about.clone());
        let state =
            self.states.entry(key.clone()).or_insert(State { count: 0, open: None, share: f64::INFINITY, chance: 0.0 });
        state.count += 1;
        if finding.permitted.is_none() {
            state.open = state.open.max(Some(finding.level));
        }
        if let Some(margin) = &finding.margin {
            state.share = state.share.min(margin.share);
            state.chance = state.chance.max(margin.chance.unwrap_or(0.0));
        }
        self.messages.entry(key).or_insert_with(|| finding.message.clone());
    }
}

/// Something that a change makes worse.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Harm {
    /// The sheet, if it is not the one that is mended but one that uses it.
    pub whose: Option<String>,
    /// The rule.
    pub rule: String,
    /// The feature.
    pub feature: String,
    /// How bad it is.
    pub level: Level,
    /// Its finding.
    pub message: String,
    /// Whether it was there before, and is worse now.
    pub worse: bool,
}

impl Harm {
    /// Whether it is the finding itself, which stays at a lower level.
    fn is_of(&self, (_, rule, feature): &Key) -> bool {
        self.whose.is_none() && self.rule == *rule && self.feature == *feature
    }

    /// What its finding is known by.
    pub(super) fn known(&self) -> (&str, &str, Level) {
        (&self.rule, &self.feature, self.level)
    }
}

/// What inspecting the changed sheet showed.
#[derive(Debug, Clone)]
pub(super) struct Proof {
    /// The finding is gone.
    pub(super) gone: bool,
    /// The lower level that it stays at.
    pub(super) leaves: Option<Level>,
    /// What is new or worse.
    pub(super) harms: Vec<Harm>,
    /// A permit is needed no more.
    pub(super) spends: bool,
    /// The features whose findings may differ; `None` for all.
    pub(super) reached: Option<Arc<[FeatureId]>>,
}

impl Proof {
    fn said(&self) -> (bool, Option<Level>, &[Harm]) {
        (self.gone, self.leaves, &self.harms)
    }
}

/// The findings after a change.
struct After {
    findings: Findings,
    /// The features that they are on; every one where the whole sheet was inspected.
    features: Option<Arc<[FeatureId]>>,
    /// What is new or worse.
    harms: Vec<Harm>,
    /// A permit is needed no more.
    spends: bool,
}

/// Inspects changed texts, each once.
pub(super) struct Prover<'s> {
    sheet: &'s dyn Sheet,
    text: &'s str,
    before: Findings,
    recheck: Recheck<'s>,
    known: HashMap<Vec<Edit>, Arc<After>>,
}

impl<'s> Prover<'s> {
    pub(super) fn new(sheet: &'s dyn Sheet, text: &'s str, before: &[Vec<Finding>], model: &mut Model) -> Self {
        let recheck = Recheck::new(sheet.library(), model);
        Self { sheet, text, before: Findings::of(before), recheck, known: HashMap::new() }
    }

    pub(super) fn recheck(&self) -> &Recheck<'s> {
        &self.recheck
    }

    /// What a change does to the whole sheet, and to those that use it.
    pub(super) fn prove(&mut self, model: &mut Model, changes: &[Change], (rule, at): (&str, FeatureId)) -> Proof {
        let mut edits: Vec<Edit> = changes.iter().map(|change| change.edit.clone()).collect();
        edits.sort();
        let known = self.known.get(&edits).map(Arc::clone);
        let after = known.unwrap_or_else(|| {
            let after = Arc::new(self.reached(model, changes).unwrap_or_else(|| self.whole(&edits)));
            self.known.insert(edits.clone(), Arc::clone(&after));
            after
        });
        let key = (0, rule.to_owned(), model.path(at));
        let proof = self.proof(&after, &key, at);
        // What is not looked at again is as it was: in debug builds that is held against the whole.
        debug_assert_eq!(proof.said(), self.proof(&self.whole(&edits), &key, at).said(), "{edits:?}");
        proof
    }

    /// Only what the change reaches, where nothing else can change and no other sheet uses this one.
    fn reached(&self, model: &mut Model, changes: &[Change]) -> Option<After> {
        if !self.sheet.users().is_empty() {
            return None;
        }
        let variations: Vec<Variation> = changes.iter().map(|change| change.variation.clone()).collect();
        let Reached { features, findings, spends } = self.recheck.again(model, &variations)?;
        let after = self.after(&[findings], Some(features.into()));
        Some(After { spends: after.spends || spends, ..after })
    }

    fn whole(&self, edits: &[Edit]) -> After {
        self.after(&self.sheet.findings(&apply(self.text, edits)), None)
    }

    fn after(&self, sheets: &[Vec<Finding>], features: Option<Arc<[FeatureId]>>) -> After {
        let findings = Findings::of(sheets);
        let mut harms = harms(&self.before, &findings, &self.sheet.users());
        // That a permit is needed no more is news, and no harm.
        let all = harms.len();
        harms.retain(|harm| !self.sheet.library().is_about_permits(&harm.rule));
        let spends = harms.len() < all;
        After { findings, features, harms, spends }
    }

    fn proof(&self, after: &After, key: &Key, at: FeatureId) -> Proof {
        let Proof { mut gone, mut leaves, harms, spends, reached } = Proof {
            gone: !after.findings.states.contains_key(key),
            leaves: after.findings.open(key).filter(|now| self.before.open(key) > Some(*now)),
            harms: after.harms.iter().filter(|harm| !harm.is_of(key)).cloned().collect(),
            spends: after.spends,
            reached: after.features.clone(),
        };
        if reached.as_ref().is_some_and(|features| features.binary_search(&at).is_err()) {
            // Out of its reach: as it was.
            (gone, leaves) = (false, None);
        }
        Proof { gone, leaves, harms, spends, reached }
    }
}

fn harms(before: &Findings, after: &Findings, users: &[&str]) -> Vec<Harm> {
    let mut harms = Vec::new();
    for (key, now) in &after.states {
        let was = before.states.get(key);
        if was.is_some_and(|was| !is_worse(was, now)) {
            continue;
        }
        let (sheet, rule, feature) = key.clone();
        let message = after.messages.get(key).cloned().unwrap_or_default();
        let level = now.open.unwrap_or(Level::Note);
        let whose = sheet.checked_sub(1).and_then(|user| users.get(user)).map(|user| (*user).to_owned());
        harms.push(Harm { whose, rule, feature, level, message, worse: was.is_some() });
    }
    harms
}

fn is_worse(was: &State, now: &State) -> bool {
    now.count > was.count || now.open > was.open || now.share < was.share - HAIR || now.chance > was.chance + HAIR
}
