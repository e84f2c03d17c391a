//! One sheet judged, and all of them counted.

use std::fmt;
use std::path::Path;

use super::mends;
use super::program::{Finding, inspect};
use super::verdict::Verdict;

/// How far the program and the practitioner agree on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    Clean,
    FalseStop,
    FalseCare,
    Caught,
    WrongLevel,
    Missed,
    RightMend,
    HarmfulMend,
    UselessMend,
    Unreadable,
}

impl Outcome {
    pub fn words(self) -> &'static str {
        match self {
            Self::Clean | Self::Caught | Self::RightMend => "ok",
            Self::FalseStop => "FALSE STOP",
            Self::FalseCare => "FALSE CARE",
            Self::WrongLevel => "WRONG LEVEL",
            Self::Missed => "MISSED",
            Self::HarmfulMend => "HARMFUL MEND",
            Self::UselessMend => "USELESS MEND",
            Self::Unreadable => "UNREADABLE",
        }
    }
}

/// Judges one sheet; its folder and name say what is asked of it.
pub fn judge(sheet: &Path) -> (Outcome, String) {
    let verdict = Verdict::read(&std::fs::read_to_string(sheet).unwrap());
    let in_mends = sheet.parent().is_some_and(|folder| folder.ends_with("mends"));
    let judged = match (in_mends, verdict.good) {
        (true, _) => mends::judge(sheet, &verdict),
        (false, true) => judge_good(sheet, &verdict),
        (false, false) => judge_bad(sheet, &verdict),
    };
    judged.unwrap_or_else(|fault| (Outcome::Unreadable, fault))
}

fn judge_good(sheet: &Path, verdict: &Verdict) -> Result<(Outcome, String), String> {
    let findings = inspect(sheet, &[])?;
    let allowed = |one: &Finding| {
        verdict.allowed.iter().any(|place| place.level == "care" && one.level == "care" && one.is_at(&place.path))
    };
    let wrong = |level: &str| {
        let wrong = |one: &&Finding| !one.accepted && one.level == level && !allowed(one);
        findings.iter().filter(wrong).map(Finding::shown).collect::<Vec<_>>().join(" | ")
    };
    Ok(match (wrong("stop"), wrong("care")) {
        (stops, _) if !stops.is_empty() => (Outcome::FalseStop, stops),
        (_, cares) if !cares.is_empty() => (Outcome::FalseCare, cares),
        _ => (Outcome::Clean, String::new()),
    })
}

fn judge_bad(sheet: &Path, verdict: &Verdict) -> Result<(Outcome, String), String> {
    let findings = inspect(sheet, &[])?;
    let (outcome, found) = matched(&findings, verdict);
    let all = || findings.iter().map(Finding::shown).collect::<Vec<_>>().join(" | ");
    let mut why = found.map_or_else(|| format!("expected {:?}; found {}", verdict.expected, all()), Finding::shown);
    let judged_mends = !verdict.wanted.is_empty() || !verdict.keep.is_empty();
    if judged_mends && let (Outcome::HarmfulMend, harm) = mends::judge(sheet, verdict)? {
        why = format!("{why} | HARMFUL MEND (not counted): {harm}");
    }
    Ok((outcome, why))
}

/// Whether one of the expected findings came, and which finding it is.
pub fn matched<'a>(findings: &'a [Finding], verdict: &Verdict) -> (Outcome, Option<&'a Finding>) {
    let mut near = None;
    for place in &verdict.expected {
        for one in findings.iter().filter(|one| !one.accepted && verdict.is_on_topic(&one.text)) {
            let counts = one.level == "care" || one.level == "stop";
            if place.level == "caution" {
                if one.caution && counts {
                    return (Outcome::Caught, Some(one));
                }
            } else if one.is_at(&place.path) {
                if one.level == place.level {
                    return (Outcome::Caught, Some(one));
                }
                near = near.or(counts.then_some(one));
            }
        }
    }
    near.map_or((Outcome::Missed, None), |one| (Outcome::WrongLevel, Some(one)))
}

/// How many sheets came out how.
#[derive(Default)]
pub struct Score {
    outcomes: Vec<(String, Outcome)>,
}

impl Score {
    pub fn add(&mut self, name: &str, outcome: Outcome) {
        self.outcomes.push((name.to_owned(), outcome));
    }

    pub fn count(&self, outcome: Outcome) -> usize {
        self.outcomes.iter().filter(|(_, one)| *one == outcome).count()
    }

    /// The sheets on which the program does not agree.
    pub fn wrong(&self) -> impl Iterator<Item = &String> {
        self.outcomes.iter().filter(|(_, outcome)| outcome.words() != "ok").map(|(name, _)| name)
    }

    fn named(&self, start: &str) -> usize {
        self.outcomes.iter().filter(|(name, _)| name.starts_with(start)).count()
    }

    fn unreadable(&self, start: &str) -> usize {
        let unreadable =
            |(name, outcome): &&(String, Outcome)| name.starts_with(start) && *outcome == Outcome::Unreadable;
        self.outcomes.iter().filter(unreadable).count()
    }
}

impl fmt::Display for Score {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let stops = self.count(Outcome::FalseStop) + self.unreadable("good-");
        let missed = self.count(Outcome::Missed) + self.unreadable("bad-");
        let useless = self.count(Outcome::UselessMend) + self.unreadable("mends/");
        write!(f, "good: {stops} false stops, {} false cares", self.count(Outcome::FalseCare))?;
        write!(f, " of {}; bad: {missed} missed", self.named("good-"))?;
        write!(f, ", {} at the wrong level of {}", self.count(Outcome::WrongLevel), self.named("bad-"))?;
        write!(f, "; mends: {} harmful, {useless} useless", self.count(Outcome::HarmfulMend))?;
        write!(f, " of {}", self.named("mends/"))
    }
}
