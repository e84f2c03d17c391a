//! A rule, read from a pack.

use std::collections::HashMap;
use std::ops::{Deref, Range};
use std::sync::{Arc, OnceLock};

use rustc_hash::FxHashMap;

use super::finding::Level;
use super::message::{Message, Messages};
use crate::fault::{Fault, PackFault, near};
use crate::origin::Origin;
use crate::pack::schema::{ByLevel, Entries, RawRule, RawValue, RuleApart, Text, ask_parts};
use crate::pack::{BUILT_IN, Formula, Later, Stored, Words};
use crate::source::{Source, SourceId, Span};

/// A rule: what tells whether a sheet calls for it, and the rest, which of the built-in pack's rules is read when one does.
#[derive(Debug)]
pub struct Rule {
    /// Its name.
    pub name: Words,
    /// Where its name is in the pack.
    pub at: Span,
    /// The kinds of feature that it looks at.
    pub about: Vec<Words>,
    /// A warning for people: it can be acknowledged, but neither permitted away nor switched off.
    pub caution: bool,
    /// The worst level that the project wants it to have; `None` where it is switched off.
    pub most: Option<Level>,
    /// Whether it looks at permits, which are spent only once all others have run.
    pub about_permits: bool,
    whole: Later<RuleBody>,
}

/// What a rule says, and how it works it out.
#[derive(Debug, Default)]
pub struct RuleBody {
    /// Names that it had before.
    pub was: Vec<Words>,
    /// What it is about, in a few words.
    pub title: Words,
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
    /// The rules that tell the cause, where this one finds a chance of failing only: theirs is enough.
    pub yields_to: Vec<Words>,
    /// Facts that it would need to have its say: where the sheet does not give them, the verdict says so.
    pub asks: Vec<Ask>,
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
    /// What its own names stand for, once its formulas asked for it.
    names: OnceLock<FxHashMap<Words, Own>>,
}

/// What one of a rule's own names stands for: a step or a limit of this place.
#[derive(Debug, Clone, Copy)]
pub(super) enum Own {
    Step(usize),
    Limit(usize),
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

impl Deref for Rule {
    type Target = RuleBody;

    fn deref(&self) -> &RuleBody {
        &self.whole
    }
}

impl Rule {
    /// A rule of the built-in pack, read when it is first needed; the tests hold that nothing is wrong with it.
    pub(super) fn later(apart: RuleApart<Stored<RawRule>>, shared: &Arc<HashMap<Words, Shared>>) -> Self {
        let (whole, shared) = (apart.whole, Arc::clone(shared));
        let read = move || {
            let raw = whole.read();
            let mut body = RuleBody::read(&raw, BUILT_IN, None, &mut Vec::new());
            for shared in raw.shares.iter().filter_map(|name| shared.get(&name.value)) {
                // That a name is there twice is a fault that the tests would find.
                let _ = body.take(shared);
            }
            body
        };
        Self::new(&apart.name, &apart.about, apart.caution, BUILT_IN, Later::by(read))
    }

    fn new(name: &Text, about: &[Text], caution: bool, id: SourceId, whole: Later<RuleBody>) -> Self {
        Self {
            name: name.value.clone(),
            at: span(name, id),
            about: about.iter().map(|kind| kind.value.clone()).collect(),
            most: Some(Level::Stop),
            caution,
            about_permits: false,
            whole,
        }
    }

    /// What it says, to be changed.
    pub(super) fn body_mut(&mut self) -> Option<&mut RuleBody> {
        self.whole.get_mut()
    }

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
        let body = RuleBody::read(raw, id, file, faults);
        Self::new(name, &raw.about, raw.caution, id, body.into())
    }
}

impl RuleBody {
    /// What a name stands for, if it is one of the rule's own. Of two that are alike the first step counts, then the
    /// first limit.
    pub(super) fn own(&self, name: &str) -> Option<Own> {
        let names = || {
            let limits = self.limits.iter().enumerate().map(|(place, limit)| (limit.name.clone(), Own::Limit(place)));
            let steps = self.steps.iter().enumerate().map(|(place, (name, _))| (name.clone(), Own::Step(place)));
            limits.rev().chain(steps.rev()).collect()
        };
        self.names.get_or_init(names).get(name).copied()
    }

    fn read(raw: &RawRule, id: SourceId, file: Option<&Source>, faults: &mut Vec<Fault>) -> Self {
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
            was: raw.was.iter().map(|name| name.value.clone()).collect(),
            title: raw.title.value.clone(),
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
            yields_to: raw.yields_to.iter().map(|rule| rule.value.clone()).collect(),
            asks: raw.asks.iter().map(|text| ask(text, id, file)).collect(),
            aspect: raw.aspect.as_ref().and_then(|word| aspect_of(word, id, faults)),
            why: raw.why.value.clone(),
            sources: raw.sources.iter().map(|source| source.value.clone()).collect(),
            passes: raw.passes.value.clone(),
            fails: raw.fails.value.clone(),
            names: OnceLock::new(),
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

impl RuleBody {
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

/// Where a text is in its pack.
pub(super) fn span(text: &Text, id: SourceId) -> Span {
    let (start, length) = text.at.unwrap_or_default();
    id.span(start as usize..(start + length) as usize)
}

fn aspect_of(word: &Text, id: SourceId, faults: &mut Vec<Fault>) -> Option<Aspect> {
    let aspect = Aspect::named(&word.value);
    if aspect.is_none() {
        let near = near(&word.value, ["bed", "support", "strength"]);
        faults.push(PackFault::NoAspect { word: word.value.to_string(), near }.at(span(word, id)));
    }
    aspect
}

fn level_of(word: &Text, id: SourceId, faults: &mut Vec<Fault>) -> Option<Level> {
    let level = Level::named(&word.value);
    if level.is_none() {
        let near = near(&word.value, ["stop", "care", "note"]);
        faults.push(PackFault::NoRuleLevel { word: word.value.to_string(), near }.at(span(word, id)));
    }
    level
}

#[cfg(test)]
mod tests {
    use crate::inspect::inspect_text;
    use crate::rules::Library;

    /// What no feature of a sheet calls for costs nothing: the rule's formulas and words are not even read.
    #[test]
    fn rules_that_no_feature_calls_for_are_not_read() {
        let library = Library::built_in();
        let sheet = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 2 mm } }\n";
        assert!(inspect_text(&library, "tray.dryfit", sheet).findings.is_empty());
        let called = ["sheet", "machine", "material", "part", "wall"];
        let (read, left): (Vec<_>, Vec<_>) = library.rules.iter().partition(|rule| rule.whole.is_read());
        for rule in &read {
            assert!(rule.about.iter().any(|kind| called.contains(&kind.as_str())), "{} was read", rule.name);
        }
        assert!(left.len() > 2 * read.len(), "{} of {} rules were read", read.len(), library.rules.len());
    }
}
