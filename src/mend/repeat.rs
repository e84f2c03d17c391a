//! Mends applied one after another, until nothing changes.

mod round;

use std::collections::HashSet;

use super::offer::{Kind, Mend};
use super::{Advice, Sheet, advised};
use crate::inspect::Inspection;
use crate::rules::{Finding, Level};
use crate::syntax::edit::{Edit, apply};
use round::{Round, Search, Stuck};

/// After so many rounds it would never settle.
const ROUNDS: usize = 1000;

/// Which mends to apply.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct Choice {
    /// Those picked by hand; the best clean one of every finding where there are none.
    pub picks: Vec<Pick>,
    /// Also those that raise something else of a lower level, where nothing clean was found.
    pub harmful: bool,
    /// Also those that change the material.
    pub material: bool,
}

impl Choice {
    /// These, picked by hand.
    #[must_use]
    pub fn of(picks: Vec<Pick>) -> Self {
        Self { picks, ..Self::default() }
    }

    /// The same, and those that change the material.
    #[must_use]
    pub fn with_material(self) -> Self {
        Self { material: true, ..self }
    }

    /// The same, and those that raise something else of a lower level.
    #[must_use]
    pub fn with_harmful(self) -> Self {
        Self { harmful: true, ..self }
    }

    fn allows(&self, mend: &Mend, cures: Level) -> bool {
        let asked = match mend.kind {
            Kind::Material | Kind::MaterialPair => self.material,
            // What is so only its designer can say.
            Kind::Claim => false,
            Kind::Word | Kind::Dimension | Kind::Pair => true,
        };
        asked && (mend.is_mild(cures) || (self.harmful && mend.harms.iter().all(|harm| harm.level < cures)))
    }
}

/// A mend picked by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Pick {
    /// The rule.
    pub rule: String,
    /// The feature; every feature with a finding of the rule where it is not given.
    pub feature: Option<String>,
    /// Which of its mends, from 1, as they are listed before anything is changed.
    pub number: usize,
}

impl Pick {
    /// So many-th mend of a rule's finding on a feature, or on every one.
    #[must_use]
    pub fn of(rule: &str, feature: Option<&str>, number: usize) -> Self {
        Self { rule: rule.to_owned(), feature: feature.map(str::to_owned), number }
    }
}

/// A mend that was applied.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Applied {
    /// The level of the finding that it cured.
    pub level: Level,
    /// The mend.
    pub mend: Mend,
}

/// How it ended.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Ended {
    /// Nothing is left to apply.
    Settled,
    /// The mends came back to a text that was there before, which it now has again: these rules pull
    /// against each other.
    Circling(Vec<String>),
    /// Nobody wanted to know any more: what was applied is not all.
    Stopped,
    /// Two of the mends that were picked change the same place, or cure the same finding: these rules.
    Colliding(Vec<String>),
}

/// A sheet after its mends.
#[derive(Debug)]
#[non_exhaustive]
pub struct Repeated {
    /// Its text.
    pub text: String,
    /// What was applied, in order.
    pub applied: Vec<Applied>,
    /// How it ended.
    pub ended: Ended,
    /// What is left, with advice: the findings of the sheet itself.
    pub left: Vec<(Finding, Option<Advice>)>,
    /// Picks that named no mend.
    pub missed: Vec<Pick>,
}

/// Applies mends to a sheet, each proven on what the last one left, until nothing changes; or those
/// that were picked.
#[must_use]
pub fn repeat(sheet: &dyn Sheet, text: &str, choice: &Choice) -> Repeated {
    repeat_until(sheet, text, choice, &|| false)
}

/// [`repeat`], given up as soon as `is_over` says so: it is asked before each finding whose mends are looked for.
#[must_use]
pub fn repeat_until(sheet: &dyn Sheet, text: &str, choice: &Choice, is_over: &dyn Fn() -> bool) -> Repeated {
    if !choice.picks.is_empty() {
        return pick(sheet, text, choice);
    }
    // Every text that there was, with how many mends were applied to it.
    let mut texts = vec![(text.to_owned(), 0)];
    let mut applied: Vec<Applied> = Vec::new();
    let mut stuck = Stuck::new();
    loop {
        let (text, _) = &texts[texts.len() - 1];
        let (Inspection { findings: before, .. }, judged) = sheet.analysis(text).followed().split();
        let next = match Round::new((sheet, text), judged, &before, (choice, is_over)).best(&mut stuck) {
            Search::Found(next) => next,
            Search::Nothing(advice) => return ended(text, applied, Ended::Settled, (before, advice)),
            Search::Stopped => return ended(text, applied, Ended::Stopped, (before, Vec::new())),
        };
        let after = apply(text, &edits(&next));
        let again = texts.iter().position(|(text, _)| *text == after);
        if again.is_some() || texts.len() > ROUNDS {
            let circle = Ended::Circling(pulling(&applied, &next));
            // What was there before the circle began is as good as anything in it.
            let (text, count) = &texts[again.unwrap_or(texts.len() - 1)];
            applied.truncate(*count);
            return ended(text, applied, circle, looked(sheet, text, choice.material));
        }
        applied.extend(next);
        texts.push((after, applied.len()));
    }
}

type Looked = (Vec<Finding>, Vec<Option<Advice>>);

fn looked(sheet: &dyn Sheet, text: &str, material: bool) -> Looked {
    let (Inspection { findings, .. }, judged) = sheet.analysis(text).followed().split();
    let (advice, _) = advised((sheet, text), judged, &findings, material, (0..findings.len(), usize::MAX));
    (findings, advice)
}

fn ended(text: &str, applied: Vec<Applied>, ended: Ended, (findings, advice): Looked) -> Repeated {
    let left = findings.into_iter().zip(advice).collect();
    Repeated { text: text.to_owned(), applied, ended, left, missed: Vec::new() }
}

fn edits(applied: &[Applied]) -> Vec<Edit> {
    let mut edits: Vec<Edit> = applied.iter().flat_map(|applied| applied.mend.edits()).collect();
    edits.sort();
    // Copies are mended where their source is: once.
    edits.dedup();
    edits
}

/// Applies the picked mends together, as they are listed for the sheet as it is.
fn pick(sheet: &dyn Sheet, text: &str, Choice { picks, material, .. }: &Choice) -> Repeated {
    let (before, advice) = looked(sheet, text, *material);
    let (mut applied, mut missed) = (Vec::new(), Vec::new());
    for pick in picks {
        let named: Vec<Applied> =
            before.iter().zip(&advice).filter_map(|(finding, advice)| pick.taken(finding, advice.as_ref()?)).collect();
        if named.is_empty() {
            missed.push(pick.clone());
        }
        applied.extend(named);
    }
    let edits = edits(&applied);
    let twice = |at: usize| applied[..at].iter().any(|one| one.mend.is_alternative(&applied[at].mend));
    let collide = |pair: &[Edit]| pair[0].end > pair[1].start || (pair[0].start == pair[1].start);
    if edits.windows(2).any(collide) || (0..applied.len()).any(twice) {
        let rules = applied.iter().map(|applied| applied.mend.rule.clone()).collect();
        return Repeated { missed, ..ended(text, Vec::new(), Ended::Colliding(rules), (before, advice)) };
    }
    let after = apply(text, &edits);
    Repeated { missed, ..ended(&after, applied, Ended::Settled, looked(sheet, &after, *material)) }
}

impl Pick {
    /// The mend of a finding that it names.
    fn taken(&self, finding: &Finding, advice: &Advice) -> Option<Applied> {
        let meant = finding.rule == self.rule && self.feature.as_ref().is_none_or(|path| *path == finding.about);
        let mend = advice.mends.get(self.number.checked_sub(1)?).filter(|_| meant)?;
        Some(Applied { level: finding.level, mend: mend.clone() })
    }
}

/// The rules whose mends undo each other.
fn pulling(applied: &[Applied], last: &[Applied]) -> Vec<String> {
    let mends = || last.iter().map(|applied| &applied.mend);
    let again: HashSet<&str> = mends().flat_map(|mend| &mend.changes).map(|change| change.name.as_str()).collect();
    let touches = |mend: &Mend| mend.changes.iter().any(|change| again.contains(change.name.as_str()));
    let mut rules: Vec<String> =
        applied.iter().filter(|applied| touches(&applied.mend)).map(|applied| applied.mend.rule.clone()).collect();
    rules.extend(mends().map(|mend| mend.rule.clone()));
    rules.extend(mends().flat_map(|mend| &mend.harms).map(|harm| harm.rule.clone()));
    rules.sort();
    rules.dedup();
    rules
}
