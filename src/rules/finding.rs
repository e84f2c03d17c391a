//! What a rule reports.

use std::fmt;

use serde::Serialize;

use super::AdviceNote;
use super::sentence::Sentence;
use super::uncertainty::Cause;
use crate::fault::{Fault, Meant};
use crate::quantity::Quantity;
use crate::source::Span;
use crate::syntax::tree::Comparator;

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Good to know.
    Note,
    /// May go wrong; print it with care.
    Care,
    /// Will not work as drawn.
    Stop,
}

impl Level {
    /// The level of a word.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        match word {
            "note" => Some(Self::Note),
            "care" => Some(Self::Care),
            "stop" => Some(Self::Stop),
            _ => None,
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Note => "note",
            Self::Care => "care",
            Self::Stop => "stop",
        })
    }
}

/// A finding: which rule, where, by how much, and what it was worked out from.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Finding {
    /// The rule's name.
    pub rule: String,
    /// How bad it is.
    pub level: Level,
    /// A warning of a danger to people.
    pub caution: bool,
    /// The path of the feature it is about; empty for the sheet's own text.
    pub about: String,
    /// The place that decides it.
    pub at: Span,
    /// What is there.
    pub label: String,
    /// What is wrong, in one sentence.
    pub message: Sentence,
    /// The level of the limit that it misses, or is likely to: a rule may have one to stop at and a more cautious one.
    pub missed: Option<Level>,
    /// It holds on the mean, and is reported for its chance of missing that limit.
    pub likely: bool,
    /// Other places that it depends on, each with what is there.
    pub others: Vec<(Span, String)>,
    /// How far it is from holding, for rules that compare.
    pub margin: Option<MarginNote>,
    /// What it was worked out from that the sheet does not state itself.
    pub inputs: Vec<InputNote>,
    /// What the sheet states of what it was worked out from.
    pub stated: Vec<StatedNote>,
    /// The way out, in words.
    pub help: Option<String>,
    /// The word that was meant, where another is there by mistake.
    pub meant: Option<Meant>,
    /// On whose authority.
    pub sources: Vec<String>,
    /// The permit that accepts it.
    pub permitted: Option<Acceptance>,
    /// What the sheet says to a caution, which no permit takes away.
    pub acknowledged: Option<Acceptance>,
    /// A permit accepts less than this.
    pub exceeded: Option<ExceededNote>,
    /// Of a permit that nothing needs: the features on which its rule does find something.
    pub elsewhere: Vec<Named>,
    /// What can be done about it, where that was worked out.
    pub advice: Option<AdviceNote>,
    /// The rules that could not be checked, where that is what it reports.
    pub unchecked: Option<UncheckedNote>,
}

/// A feature as a sheet names it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Named {
    /// Its path or title.
    pub path: String,
    /// It is a title, which stands in quotes.
    pub is_title: bool,
}

/// A finding accepted in writing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Acceptance {
    /// Why.
    pub reason: String,
    /// By whom, where the sheet says so.
    pub by: Option<String>,
    /// How far the finding may go, in the unit of the sheet, where the sheet says so.
    pub most: Option<Quantity>,
    /// Whether it goes down to that, and not up.
    pub downward: bool,
    /// How long; for ever where the sheet does not say.
    pub until: Option<Until>,
}

/// How long a finding is accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Until {
    /// Through a day.
    Day {
        /// The day, as `2026-11-28`.
        day: String,
        /// Whether a day was given to check it by.
        checked: bool,
    },
    /// Before a revision of the sheet.
    Revision(String),
}

impl Acceptance {
    /// Whether it ends on a day, and no day was given to check it by.
    #[must_use]
    pub fn is_undated(&self) -> bool {
        matches!(self.until, Some(Until::Day { checked: false, .. }))
    }
}

/// Rules that could not be checked on a feature, all for one reason.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct UncheckedNote {
    /// Their names.
    pub rules: Vec<String>,
    /// Why not.
    pub reason: String,
}

impl Finding {
    /// Every place of a finding that no permit was applied to yet.
    pub(super) fn places(&mut self) -> impl Iterator<Item = &mut Span> {
        let others = self.others.iter_mut().map(|(at, _)| at);
        std::iter::once(&mut self.at).chain(others).chain(self.stated.iter_mut().map(|stated| &mut stated.at))
    }

    /// The finding that a fault in a text is.
    #[must_use]
    pub fn of_fault(fault: Fault, level: Level) -> Self {
        let words = fault.words();
        Self {
            rule: fault.name.to_owned(),
            level,
            caution: false,
            about: String::new(),
            at: fault.at,
            label: words.label,
            message: words.message.into(),
            missed: None,
            likely: false,
            others: fault.others.into_iter().map(|(at, beside)| (at, beside.to_string())).collect(),
            margin: None,
            inputs: Vec::new(),
            stated: Vec::new(),
            meant: words.help.as_ref().and_then(|help| help.meant.clone()),
            help: words.help.map(|help| help.words),
            sources: Vec::new(),
            permitted: None,
            acknowledged: None,
            exceeded: None,
            elsewhere: Vec::new(),
            advice: None,
            unchecked: None,
        }
    }
}

/// A margin, in the unit that it is shown in.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct MarginNote {
    /// The comparison with its numbers: `0.6 mm >= 0.84 mm`.
    pub comparison: String,
    /// Its left side: the value.
    pub left: Quantity,
    /// How the sides are compared.
    pub comparator: Comparator,
    /// Its right side: the limit.
    pub right: Quantity,
    /// How far it is from failing; negative where it fails.
    pub room: f64,
    /// Standard uncertainty of the room.
    pub uncertainty: f64,
    /// The unit of both; empty for bare numbers.
    pub unit: String,
    /// The room as a share of the limit.
    pub share: f64,
    /// The chance that it fails, where anything in it is uncertain.
    pub chance: Option<f64>,
    /// What makes it uncertain, largest share first.
    pub causes: Vec<Cause>,
}

/// A value that the sheet does not state: a profile's, a rule's own limit, a default.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct InputNote {
    /// Its name in the rule: `machine.line`.
    pub name: String,
    /// Its value.
    pub value: String,
    /// Where it comes from: `bench`, `petg`, `default`, `the rule's limit`.
    pub from: String,
    /// The number with its unit and uncertainty, where it is one.
    pub quantity: Option<Quantity>,
}

/// A value that the sheet states.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StatedNote {
    /// Where.
    pub at: Span,
    /// Its name in the rule with its value: `hook.depth 1.2 mm`.
    pub label: String,
    /// Its name in the rule.
    pub name: String,
    /// The number with its unit and uncertainty, where it is one.
    pub quantity: Option<Quantity>,
}

/// The most that a permit accepts, where a finding is worse.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ExceededNote {
    /// Where the permit says it.
    pub at: Span,
    /// The most.
    pub most: Quantity,
    /// What the finding has instead.
    pub found: Quantity,
    /// Whether the finding gets worse downward.
    pub downward: bool,
}

/// What is to be said of a sheet as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Nothing against it.
    Go,
    /// Something to watch.
    GoWithCare,
    /// At least one stop.
    NoGo,
}

impl Verdict {
    /// The verdict on findings, permitted ones left out.
    pub fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        let open = findings.into_iter().filter(|finding| finding.permitted.is_none());
        match open.map(|finding| finding.level).max() {
            Some(Level::Stop) => Self::NoGo,
            Some(Level::Care) => Self::GoWithCare,
            Some(Level::Note) | None => Self::Go,
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Go => "go",
            Self::GoWithCare => "go with care",
            Self::NoGo => "no-go",
        })
    }
}
