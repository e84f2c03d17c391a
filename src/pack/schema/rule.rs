//! The shape of rules, of what they share, and of tasks at the bench.

use std::mem::take;
use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::{ByLevel, Entries, RawValue, Text};

/// Where a fact that a rule asks for stands in its text, and where the condition does under which it is asked.
#[must_use]
pub fn ask_parts(text: &str) -> (Range<usize>, Option<Range<usize>>) {
    const WHERE: &str = " where ";
    match text.find(WHERE) {
        Some(at) => (0..at, Some(at + WHERE.len()..text.len())),
        None => (0..text.len(), None),
    }
}

/// Numbers and names for parts of a calculation that several rules have in common.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawShared {
    /// What it works out, in a line.
    pub doc: Text,
    /// As for [`RawRule`].
    pub limits: Entries<RawValue>,
    /// As for [`RawRule`].
    pub r#where: Entries<Text>,
}

/// A rule.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawRule {
    /// Names that it had before.
    pub was: Vec<Text>,
    /// The kinds of feature it looks at.
    pub about: Vec<Text>,
    /// What it is about, in a few words.
    pub title: Text,
    /// Only where this holds.
    pub when: Option<Text>,
    /// The groups of `shared` whose limits and steps it has besides its own.
    pub shares: Vec<Text>,
    /// Its numbers, which a project can change.
    pub limits: Entries<RawValue>,
    /// Names for parts of the calculation: each may use others, in any order, but not in a circle.
    pub r#where: Entries<Text>,
    /// What must hold, by the level of the finding when it does not.
    pub holds: Entries<Text>,
    /// What a mend must keep to besides: a condition.
    pub aim: Option<Text>,
    /// The finding in words, with `{name}` for values.
    pub says: ByLevel,
    /// The same where it holds, but not for certain; without it `says` serves for both.
    pub doubts: ByLevel,
    /// The way out in words.
    pub help: ByLevel,
    /// The fields that may be changed to cure it.
    pub change: Vec<Text>,
    /// Raised while a sheet is read, not by a comparison; the level of its findings.
    pub reading: Option<Text>,
    /// A warning for people: it can be acknowledged, but neither permitted away nor switched off.
    pub caution: bool,
    /// Facts that it would need to have its say, `bears`, or only in some cases, `bears where cycles > 1`: where the
    /// sheet does not give one, the verdict says that it was not asked.
    pub asks: Vec<Text>,
    /// The rules that tell the cause. Where one of them stops, this rule says nothing; where one of them finds less, this rule
    /// says nothing of a mere chance of failing.
    pub yields_to: Vec<Text>,
    /// What of printing a part one way up or another it decides: bed, support or strength.
    pub aspect: Option<Text>,
    /// The explanation.
    pub why: Text,
    /// On whose authority.
    pub sources: Vec<Text>,
    /// A sheet on which it raises nothing.
    pub passes: Text,
    /// A sheet on which it raises a finding.
    pub fails: Text,
}

impl RawRule {
    /// Takes out what it says.
    #[must_use]
    pub fn take_says(&mut self) -> Self {
        Self {
            was: take(&mut self.was),
            title: take(&mut self.title),
            says: take(&mut self.says),
            doubts: take(&mut self.doubts),
            help: take(&mut self.help),
            why: take(&mut self.why),
            sources: take(&mut self.sources),
            passes: take(&mut self.passes),
            fails: take(&mut self.fails),
            ..Self::default()
        }
    }

    /// The rule with what it says.
    #[must_use]
    pub fn with_says(self, says: Self) -> Self {
        let Self { was, title, says, doubts, help, why, sources, passes, fails, .. } = says;
        Self { was, title, says, doubts, help, why, sources, passes, fails, ..self }
    }
}

/// Something to do, or to watch, at the bench.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawTask {
    /// The kinds of feature that call for it.
    pub about: Vec<Text>,
    /// When it is done: `before` the print, `during`, `after`, or at the `assembly`.
    pub at: Text,
    /// As for [`RawRule`].
    pub when: Option<Text>,
    /// As for [`RawRule`].
    pub shares: Vec<Text>,
    /// As for [`RawRule`].
    pub limits: Entries<RawValue>,
    /// As for [`RawRule`].
    pub r#where: Entries<Text>,
    /// What to do, with `{name}` for values.
    pub says: Text,
    /// Why, in half a line.
    pub because: Text,
    /// What it marks in the drawing: a `bridge`, an `overhang` or a `support`.
    pub marks: Option<Text>,
    /// On whose authority.
    pub source: Text,
}

impl RawTask {
    /// Its formulas and texts as those of a rule that compares nothing.
    #[must_use]
    pub fn as_rule(&self) -> RawRule {
        let one = |text: &Text| ByLevel(vec![(None, text.clone())]);
        RawRule {
            about: self.about.clone(),
            when: self.when.clone(),
            shares: self.shares.clone(),
            limits: self.limits.clone(),
            r#where: self.r#where.clone(),
            says: one(&self.says),
            help: one(&self.because),
            sources: vec![self.source.clone()],
            ..RawRule::default()
        }
    }
}
