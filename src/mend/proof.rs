//! A change applied to the text, the whole sheet inspected again, and the findings compared.

use std::collections::{BTreeMap, HashMap};

use super::Sheet;
use crate::rules::{Finding, Level};
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
pub struct Harm {
    /// Which sheet: 0 for the one that is mended, then those that use it.
    pub sheet: usize,
    /// The rule.
    pub rule: String,
    /// The feature.
    pub feature: String,
    /// Its finding.
    pub message: String,
    /// Whether it was there before, and is worse now.
    pub worse: bool,
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
}

/// Inspects changed texts, each once.
pub(super) struct Prover<'s> {
    sheet: &'s dyn Sheet,
    text: &'s str,
    before: Findings,
    known: HashMap<Vec<Edit>, std::rc::Rc<Findings>>,
}

impl<'s> Prover<'s> {
    pub(super) fn new(sheet: &'s dyn Sheet, text: &'s str, before: &[Vec<Finding>]) -> Self {
        Self { sheet, text, before: Findings::of(before), known: HashMap::new() }
    }

    /// What a change does to the whole sheet, and to those that use it.
    pub(super) fn prove(&mut self, edits: &[Edit], rule: &str, feature: &str) -> Proof {
        let mut edits = edits.to_vec();
        edits.sort();
        let (sheet, text) = (self.sheet, self.text);
        let after = self
            .known
            .entry(edits)
            .or_insert_with_key(|edits| Findings::of(&sheet.findings(&apply(text, edits))).into());
        let key = (0, rule.to_owned(), feature.to_owned());
        let open = |findings: &Findings| findings.states.get(&key).and_then(|state| state.open);
        let leaves = open(after).filter(|now| open(&self.before) > Some(*now));
        Proof { gone: !after.states.contains_key(&key), leaves, harms: harms(&self.before, after) }
    }
}

fn harms(before: &Findings, after: &Findings) -> Vec<Harm> {
    let mut harms = Vec::new();
    for (key, now) in &after.states {
        let was = before.states.get(key);
        if was.is_some_and(|was| !is_worse(was, now)) {
            continue;
        }
        let (sheet, rule, feature) = key.clone();
        let message = after.messages.get(key).cloned().unwrap_or_default();
        harms.push(Harm { sheet, rule, feature, message, worse: was.is_some() });
    }
    harms
}

fn is_worse(was: &State, now: &State) -> bool {
    now.count > was.count || now.open > was.open || now.share < was.share - HAIR || now.chance > was.chance + HAIR
}
