//! A rule, read from a pack.

use std::ops::Range;

use super::finding::Level;
use super::message::{Message, Messages};
use crate::fault::{Fault, did_you_mean};
use crate::origin::Origin;
use crate::pack::schema::{ByLevel, Entries, RawRule, RawValue, Text, ask_parts};
use crate::pack::{Formula, Words};
use crate::source::{Source, SourceId, Span};

/// A rule.
#[derive(Debug)]
pub struct Rule {
    /// Its name.
    pub name: Words,
    /// Names that it had before.
    pub was: Vec<Words>,
    /// Where its name stands in the pack.
    pub at: Span,
    /// What it is about, in a few words.
    pub title: Words,
    /// The kinds of feature that it looks at.
    pub about: Vec<Words>,
    /// Only where this holds.
    pub when: Option<Formula>,
    /// Its numbers, which a project can change.
    pub limits: Vec<Limit>,
    /// Names for parts of the calculation, those that it shares with other rules last.
    pub steps: Vec<(Words, Formula)>,
    /// What must hold, worst level first.
    pub holds: Vec<(Level, Formula)>,
    /// The finding in words.
    pub says: Messages,
    /// The same where it holds, but not for certain.
    pub doubts: Messages,
    /// The way out in words.
    pub help: Messages,
    /// The fields that may be changed to cure it.
    pub change: Vec<Formula>,
    /// What a mend must keep to besides.
    pub aim: Option<Formula>,
    /// For what is found while a sheet is read: the level.
    pub reading: Option<Level>,
    /// The worst level that the project wants it to have; `None` where it is switched off.
    pub most: Option<Level>,
    /// A warning for people: it can be acknowledged, but neither permitted away nor switched off.
    pub caution: bool,
    /// The rules that tell the cause, where this one finds a chance of failing only: theirs is enough.
    pub yields_to: Vec<Words>,
    /// Facts that it would need to have its say: where the sheet does not give them, the verdict says so.
    pub asks: Vec<Ask>,
    /// Whether it looks at permits, which are spent only once all others have run.
    pub about_permits: bool,
    /// What of printing a part one way up or another it decides, if it does.
    pub aspect: Option<Aspect>,
    /// The explanation.
    pub why: Words,
    /// On whose authority.
    pub sources: Vec<Words>,
    /// A sheet on which it raises nothing.
    pub passes: Words,
    /// A sheet on which it raises a finding.
    pub fails: Words,
}

/// A fact that a rule would need.
#[derive(Debug)]
pub struct Ask {
    /// The field.
    pub fact: Formula,
    /// Asked only where this holds.
    pub only: Option<Formula>,
}

/// What a rule decides about printing a part one way up or another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Aspect {
    /// Whether it fits on the bed.
    Bed,
    /// Whether something needs support.
    Support,
    /// How strong something is.
    Strength,
}

impl Aspect {
    /// The aspect of a word.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        match word {
            "bed" => Some(Self::Bed),
            "support" => Some(Self::Support),
            "strength" => Some(Self::Strength),
            _ => None,
        }
    }
}

/// A number of a rule that a project can change.
#[derive(Debug, Clone)]
pub struct Limit {
    /// Its name in the rule's formulas.
    pub name: Words,
    /// The number.
    pub value: Formula,
    /// What it was before the project changed it.
    pub was: Option<Formula>,
    /// Who says so.
    pub source: Words,
    /// How it was had.
    pub basis: Words,
}

impl Rule {
    /// The worst level of its findings.
    #[must_use]
    pub fn worst(&self) -> Level {
        let own = self.holds.iter().map(|(level, _)| *level).chain(self.reading);
        own.max().unwrap_or(Level::Note)
    }

    /// Whether it runs: a rule can be switched off, a caution cannot.
    #[must_use]
    pub fn is_active(&self) -> bool {
        self.most.is_some() || self.caution
    }

    /// The level after the project's own wish; `None` where it is switched off.
    #[must_use]
    pub fn level(&self, own: Level) -> Option<Level> {
        if self.caution { Some(own) } else { Some(own.min(self.most?)) }
    }

    /// Reads a rule; what is wrong with its shape goes to `faults`.
    pub(super) fn read(
        name: &Text,
        raw: &RawRule,
        id: SourceId,
        file: Option<&Source>,
        faults: &mut Vec<Fault>,
    ) -> Self {
        let formula = |text: &Text| Formula::new(text, id, file);
        let messages = |said: &ByLevel, faults: &mut Vec<Fault>| {
            let one = |(level, text): &(Option<Text>, Text)| {
                let level = level.as_ref().and_then(|word| level_of(word, id, faults));
                (level, Message::new(text, id, file))
            };
            Messages(said.0.iter().map(one).collect())
        };
        let mut holds = Vec::new();
        for (level, text) in &raw.holds.0 {
            // A pack with an unknown level is not used; its formula is checked all the same.
            holds.push((level_of(level, id, faults).unwrap_or(Level::Stop), formula(text)));
        }
        holds.sort_by_key(|(level, _)| std::cmp::Reverse(*level));
        let own = Shared::read(&raw.limits, &raw.r#where, id, file);
        Self {
            name: name.value.clone(),
            was: raw.was.iter().map(|name| name.value.clone()).collect(),
            at: span(name, id),
            title: raw.title.value.clone(),
            about: raw.about.iter().map(|kind| kind.value.clone()).collect(),
            when: raw.when.as_ref().map(formula),
            limits: own.limits,
            steps: own.steps,
            holds,
            says: messages(&raw.says, faults),
            doubts: messages(&raw.doubts, faults),
            help: messages(&raw.help, faults),
            change: raw.change.iter().map(formula).collect(),
            aim: raw.aim.as_ref().map(formula),
            reading: raw.reading.as_ref().and_then(|level| level_of(level, id, faults)),
            most: Some(Level::Stop),
            caution: raw.caution,
            yields_to: raw.yields_to.iter().map(|rule| rule.value.clone()).collect(),
            asks: raw.asks.iter().map(|text| ask(text, id, file)).collect(),
            about_permits: false,
            aspect: raw.aspect.as_ref().and_then(|word| aspect_of(word, id, faults)),
            why: raw.why.value.clone(),
            sources: raw.sources.iter().map(|source| source.value.clone()).collect(),
            passes: raw.passes.value.clone(),
            fails: raw.fails.value.clone(),
        }
    }
}

/// Limits and steps, of a rule or of several together.
#[derive(Debug, Clone, Default)]
pub(super) struct Shared {
    pub(super) limits: Vec<Limit>,
    pub(super) steps: Vec<(Words, Formula)>,
}

impl Shared {
    pub(super) fn read(limits: &Entries<RawValue>, steps: &Entries<Text>, id: SourceId, file: Option<&Source>) -> Self {
        let formula = |text: &Text| Formula::new(text, id, file);
        let limits = limits.0.iter().map(|(name, value)| Limit {
            name: name.value.clone(),
            value: formula(&value.value),
            was: None,
            source: value.source.value.clone(),
            basis: value.basis.value.clone(),
        });
        let steps = steps.0.iter().map(|(name, text)| (name.value.clone(), formula(text)));
        Self { limits: limits.collect(), steps: steps.collect() }
    }
}

impl Rule {
    /// Takes over what it has in common with others. Gives back the first name that it has itself.
    pub(super) fn take(&mut self, shared: &Shared) -> Result<(), Words> {
        let has = |name: &Words| {
            self.limits.iter().any(|own| own.name == *name) || self.steps.iter().any(|(own, _)| own == name)
        };
        let names = shared.limits.iter().map(|limit| &limit.name).chain(shared.steps.iter().map(|(name, _)| name));
        if let Some(twice) = names.clone().find(|name| has(name)) {
            return Err(twice.clone());
        }
        self.limits.extend(shared.limits.iter().cloned());
        self.steps.extend(shared.steps.iter().cloned());
        Ok(())
    }
}

/// `bears`, or `bears where cycles > 1`.
fn ask(text: &Text, id: SourceId, file: Option<&Source>) -> Ask {
    let origin = Origin::of(&text.value, text.at, file);
    let part = |range: Range<usize>| Formula::part(text.value.part(range.clone()), id, origin.from(range.start));
    let (fact, only) = ask_parts(&text.value);
    Ask { fact: part(fact), only: only.map(part) }
}

/// Where a text stands in its pack.
pub(super) fn span(text: &Text, id: SourceId) -> Span {
    let (start, length) = text.at.unwrap_or_default();
    id.span(start as usize..(start + length) as usize)
}

fn aspect_of(word: &Text, id: SourceId, faults: &mut Vec<Fault>) -> Option<Aspect> {
    let aspect = Aspect::named(&word.value);
    if aspect.is_none() {
        let message = format!("`{}` is nothing that a way up decides", word.value);
        let help = did_you_mean(&word.value, ["bed", "support", "strength"]);
        let help = help.unwrap_or_else(|| "it decides bed, support or strength".into());
        faults.push(Fault::new("broken-pack", span(word, id), message).help(help));
    }
    aspect
}

fn level_of(word: &Text, id: SourceId, faults: &mut Vec<Fault>) -> Option<Level> {
    let level = Level::named(&word.value);
    if level.is_none() {
        let fault = Fault::new("broken-pack", span(word, id), format!("`{}` is no level", word.value));
        let help = did_you_mean(&word.value, ["stop", "care", "note"]);
        faults.push(fault.help(help.unwrap_or_else(|| "levels are stop, care and note".into())));
    }
    level
}
