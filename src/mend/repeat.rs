//! Mends applied one after another, until nothing changes.

use std::collections::HashSet;

use super::bench::Bench;
use super::offer::{Kind, Mend};
use super::proof::Harm;
use super::{Advice, Sheet, advise, conflict, is_mendable};
use crate::rules::{Finding, Level};
use crate::syntax::edit::{Edit, apply};

/// More mends than a sheet has findings would go in circles.
const ROUNDS: usize = 200;

/// Which mends to apply.
#[derive(Debug, Clone, Default)]
pub struct Choice {
    /// Those picked by hand; the best clean one of every finding where there are none.
    pub picks: Vec<Pick>,
    /// Also those that raise something else, where nothing clean was found.
    pub harmful: bool,
    /// Also those that change the material.
    pub material: bool,
}

/// A mend picked by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// The rule.
    pub rule: String,
    /// The feature; every feature where it is not given.
    pub feature: Option<String>,
    /// Which of its mends, from 1.
    pub number: usize,
}

/// A mend that was applied.
#[derive(Debug, Clone)]
pub struct Applied {
    /// The level of the finding that it cured.
    pub level: Level,
    /// The mend.
    pub mend: Mend,
}

/// How it ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ended {
    /// Nothing is left to apply.
    Settled,
    /// A change came back to a text that was there before: these rules pull against each other.
    Circling(Vec<String>),
}

/// A sheet after its mends.
#[derive(Debug)]
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

/// Applies mends to a sheet, each proven on what the last one left, until nothing changes.
#[must_use]
pub fn repeat(sheet: &dyn Sheet, text: &str, choice: &Choice) -> Repeated {
    let mut text = text.to_owned();
    let mut seen = vec![text.clone()];
    let mut applied: Vec<Applied> = Vec::new();
    let mut picks = choice.picks.clone();
    let mut stuck = Stuck::new();
    loop {
        let before = sheet.findings(&text);
        let next = if choice.picks.is_empty() {
            best(sheet, &text, &before, choice, &mut stuck)
        } else {
            let advice = advise(sheet, &text, &before);
            picked(&before, &advice, &mut picks).ok_or(advice)
        };
        let settled = |text, applied, ended, missed, advice| {
            let left = before.iter().take(1).flatten().cloned().zip(advice).collect();
            Repeated { text, applied, ended, left, missed }
        };
        let Applied { level, mend } = match next {
            Ok(next) => next,
            Err(advice) => return settled(text, applied, Ended::Settled, picks, advice),
        };
        let edits: Vec<Edit> = mend.changes.iter().map(|change| change.edit.clone()).collect();
        let after = apply(&text, &edits);
        if seen.contains(&after) || applied.len() >= ROUNDS {
            let rules = pulling(&applied, &mend);
            let advice = advise(sheet, &text, &before);
            return settled(text, applied, Ended::Circling(rules), picks, advice);
        }
        seen.push(after.clone());
        text = after;
        applied.push(Applied { level, mend });
    }
}

/// Rules with features that no single clean change cured.
type Stuck = HashSet<(String, String)>;

/// The best mend of the worst finding that has one: stops before cares before notes. Only as many
/// findings are looked at as it takes to find one; those that no single clean change cured before,
/// and what takes more than one, come last. Where there is none, the advice on all of them.
fn best(
    sheet: &dyn Sheet,
    text: &str,
    before: &[Vec<Finding>],
    choice: &Choice,
    stuck: &mut Stuck,
) -> Result<Applied, Vec<Option<Advice>>> {
    let allowed = |mend: &&Mend| {
        let material = matches!(mend.kind, Kind::Material | Kind::MaterialPair);
        (mend.harms.is_empty() || choice.harmful) && (!material || choice.material)
    };
    let own = before.first().map_or(&[][..], Vec::as_slice);
    let mut advice: Vec<Option<Advice>> = own.iter().map(|_| None).collect();
    let mut mendable: Vec<usize> = (0..own.len()).filter(|at| is_mendable(sheet.library(), &own[*at])).collect();
    if mendable.is_empty() {
        return Err(advice);
    }
    let key = |finding: &Finding| (finding.rule.clone(), finding.about.clone());
    mendable.sort_by_key(|at| (stuck.contains(&key(&own[*at])), std::cmp::Reverse(own[*at].level)));
    let mut bench = Bench::new(sheet, text, before, 1);
    for at in &mendable {
        let finding = &own[*at];
        if let Some(mend) = bench.simple(finding).filter(|mend| allowed(&mend)) {
            return Ok(Applied { level: finding.level, mend });
        }
        stuck.insert(key(finding));
    }
    for at in mendable {
        let finding = &own[at];
        advice[at] = bench.advise(finding);
        if let Some(mend) = advice[at].iter().flat_map(|advice| &advice.mends).find(allowed) {
            return Ok(Applied { level: finding.level, mend: mend.clone() });
        }
    }
    conflict::once(&mut advice);
    Err(advice)
}

/// The first pick that names a mend of the sheet as it is now; it is used up.
fn picked(before: &[Vec<Finding>], advice: &[Option<Advice>], picks: &mut Vec<Pick>) -> Option<Applied> {
    for (index, pick) in picks.iter().enumerate() {
        for (finding, advice) in before.iter().take(1).flatten().zip(advice) {
            let meant = finding.rule == pick.rule && pick.feature.as_ref().is_none_or(|path| *path == finding.about);
            let mend =
                advice.as_ref().filter(|_| meant).and_then(|advice| advice.mends.get(pick.number.checked_sub(1)?));
            if let Some(mend) = mend {
                let next = Applied { level: finding.level, mend: mend.clone() };
                picks.remove(index);
                return Some(next);
            }
        }
    }
    None
}

/// The rules whose mends undo each other.
fn pulling(applied: &[Applied], last: &Mend) -> Vec<String> {
    let touches =
        |mend: &Mend| mend.changes.iter().any(|change| last.changes.iter().any(|own| own.name == change.name));
    let mut rules: Vec<String> =
        applied.iter().filter(|applied| touches(&applied.mend)).map(|applied| applied.mend.rule.clone()).collect();
    rules.push(last.rule.clone());
    rules.extend(last.harms.iter().map(|harm: &Harm| harm.rule.clone()));
    rules.sort();
    rules.dedup();
    rules
}
