//! What a change makes of the findings: of those that it reaches, or of the whole sheet with the changed text.

use std::cell::{Cell, OnceCell};
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::Sheet;
use super::offer::Change;
use crate::model::{FeatureId, Model, Variation};
use crate::rules::{Checks, Finding, Level, Reached, Recheck};
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
    /// How likely the worst is to fail; what fails on the mean does for certain here, and its room says how badly.
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

    /// Those of a sheet itself.
    fn of_own(own: &[Finding]) -> Self {
        let mut findings = Self::default();
        for finding in own {
            findings.add(0, finding);
        }
        findings
    }

    /// With those of the sheets that use it.
    fn with(mut self, others: &[Vec<Finding>]) -> Self {
        for (sheet, list) in others.iter().enumerate() {
            for finding in list {
                self.add(sheet + 1, finding);
            }
        }
        self
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
            let chance = if finding.likely { margin.chance.unwrap_or(0.0) } else { 1.0 };
            state.chance = state.chance.max(chance);
        }
        self.messages.entry(key).or_insert_with(|| finding.message.to_string());
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
    /// Whether a permit accepts it.
    pub permitted: bool,
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
    /// The sheet's own findings as it is.
    before: Findings,
    /// Those of the sheets that use it, looked for where a change reaches what they see.
    others: OnceCell<Findings>,
    recheck: Recheck<'s>,
    known: HashMap<Vec<Edit>, Arc<After>>,
    /// How many rules were run for proofs on features, since somebody asked.
    looks: Cell<usize>,
}

impl<'s> Prover<'s> {
    pub(super) fn new(
        (sheet, text): (&'s dyn Sheet, &'s str),
        before: &[Finding],
        model: &mut Model,
        checks: Option<Checks>,
    ) -> Self {
        let library = sheet.library();
        let recheck = match checks {
            Some(checks) => Recheck::of(library, model, checks),
            None => Recheck::new(library, model),
        };
        Self {
            sheet,
            text,
            before: Findings::of_own(before),
            others: OnceCell::new(),
            recheck,
            known: HashMap::new(),
            looks: Cell::new(0),
        }
    }

    /// How the findings of a key were before any change.
    fn was(&self, key: &Key) -> Option<&State> {
        if key.0 == 0 {
            return self.before.states.get(key);
        }
        let others = || Findings::default().with(&self.sheet.others(self.text));
        self.others.get_or_init(others).states.get(key)
    }

    /// How many rules were run on features since this was asked last.
    pub(super) fn looks_taken(&self) -> usize {
        self.looks.take()
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
            let whole = || {
                self.looks.set(self.looks.get() + self.recheck.count());
                self.whole(&edits)
            };
            let after = Arc::new(self.reached(model, changes).unwrap_or_else(whole));
            self.known.insert(edits.clone(), Arc::clone(&after));
            after
        });
        let key = (0, rule.to_owned(), model.path(at));
        let proof = self.proof(&after, &key, at);
        // What is not looked at again is as it was: in debug builds that is held against the whole.
        debug_assert_eq!(proof.said(), self.proof(&self.whole(&edits), &key, at).said(), "{edits:?}");
        proof
    }

    /// Only what the change reaches, where nothing else can change and no other sheet sees it.
    fn reached(&self, model: &mut Model, changes: &[Change]) -> Option<After> {
        let variations: Vec<Variation> = changes.iter().map(|change| change.variation.clone()).collect();
        if variations.iter().any(|variation| model.is_shared(variation)) && !self.sheet.users().is_empty() {
            return None;
        }
        let Reached { features, findings, spends, looks } = self.recheck.again(model, &variations)?;
        self.looks.set(self.looks.get() + looks);
        let after = self.after(Findings::of_own(&findings), Some(features.into()));
        Some(After { spends: after.spends || spends, ..after })
    }

    fn whole(&self, edits: &[Edit]) -> After {
        let text = apply(self.text, edits);
        self.after(Findings::of_own(&self.sheet.findings(&text)).with(&self.sheet.others(&text)), None)
    }

    fn after(&self, findings: Findings, features: Option<Arc<[FeatureId]>>) -> After {
        let mut harms = self.harms(&findings);
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

    fn harms(&self, after: &Findings) -> Vec<Harm> {
        let mut harms = Vec::new();
        for (key, now) in &after.states {
            let was = self.was(key);
            if was.is_some_and(|was| !is_worse(was, now)) {
                continue;
            }
            let (sheet, rule, feature) = key.clone();
            let message = after.messages.get(key).cloned().unwrap_or_default();
            let level = now.open.unwrap_or(Level::Note);
            let whose = sheet.checked_sub(1).and_then(|user| self.sheet.users().get(user).map(ToString::to_string));
            harms.push(Harm {
                whose,
                rule,
                feature,
                level,
                message,
                worse: was.is_some(),
                permitted: now.open.is_none(),
            });
        }
        harms
    }
}

/// More findings of a key, a higher level, or less room at the same level: the limit of another one has a room of its own.
fn is_worse(was: &State, now: &State) -> bool {
    let nearer = now.share < was.share - HAIR || now.chance > was.chance + HAIR;
    now.count > was.count || now.open > was.open || (now.open == was.open && nearer)
}
