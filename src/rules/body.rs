//! How a rule works something out, and what it says of it, read from a pack.

use std::collections::HashMap;
use std::ops::{Deref, Range};
use std::sync::OnceLock;

use rustc_hash::FxHashMap;

use super::finding::Level;
use super::says::{RuleSays, level_of};
use crate::fault::{Fault, RuleFault, near};
use crate::origin::Origin;
use crate::pack::schema::{Entries, RawRule, RawValue, Text, ask_parts};
use crate::pack::{Formula, Later, Words};
use crate::source::{Source, SourceId, Span};
use crate::syntax::tree::Name;

/// How a rule works something out, and what it says of it.
#[derive(Debug, Default)]
pub struct RuleBody {
    /// Only where this holds.
    pub when: Option<Formula>,
    /// Its numbers, which a project can change.
    pub limits: Vec<Limit>,
    /// Names for parts of the calculation, those that it shares with other rules last.
    pub steps: Vec<(Words, Formula)>,
    /// What must hold, worst level first.
    pub holds: Vec<(Level, Formula)>,
    /// The fields that may be changed to cure it.
    pub change: Vec<Formula>,
    /// What a mend must keep to besides.
    pub aim: Option<Formula>,
    /// For what is found while a sheet is read: the level.
    pub reading: Option<Level>,
    /// The rules that tell the cause. Where one of them stops, this rule says nothing; where one of them finds less, this rule
    /// says nothing of a mere chance of failing.
    pub yields_to: Vec<Words>,
    /// Facts that it would need to have its say: where the sheet does not give them, the verdict says so.
    pub asks: Vec<Ask>,
    /// What of printing a part one way up or another it decides, if it does.
    pub aspect: Option<Aspect>,
    /// What it says, which is read only where it fails.
    said: Later<RuleSays>,
    /// What its own names stand for, once its formulas asked for it.
    names: OnceLock<FxHashMap<Words, Own>>,
}

impl Deref for RuleBody {
    type Target = RuleSays;

    fn deref(&self) -> &RuleSays {
        &self.said
    }
}

/// What one of a rule's own names stands for: a step or a limit of this place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Own {
    Step(usize),
    Limit(usize),
}

impl Own {
    fn number(self) -> Option<u32> {
        let (place, is_limit) = match self {
            Self::Step(place) => (place, 0),
            Self::Limit(place) => (place, 1),
        };
        u32::try_from(2 * place + is_limit).ok()
    }

    fn numbered(number: u32) -> Self {
        let place = number as usize / 2;
        if number.is_multiple_of(2) { Self::Step(place) } else { Self::Limit(place) }
    }
}

/// A fact that a rule would need.
#[derive(Debug)]
#[non_exhaustive]
pub struct Ask {
    /// The field.
    pub fact: Formula,
    /// Asked only where this holds.
    pub only: Option<Formula>,
}

/// What a rule decides about printing a part one way up or another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
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
#[non_exhaustive]
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

impl RuleBody {
    /// The same of a name in one of the rule's own formulas, which is looked up once.
    pub(super) fn own_of(&self, name: &Name) -> Option<Own> {
        let own = name.seen.own(|| self.own(&name.text).and_then(Own::number)).map(Own::numbered);
        debug_assert_eq!(own, self.own(&name.text), "`{}` was looked up in another rule", name.text);
        own
    }

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

    /// Reads how a rule works; what is wrong with its shape goes to `faults`.
    pub(super) fn read(
        raw: &RawRule,
        said: Later<RuleSays>,
        id: SourceId,
        file: Option<&Source>,
        faults: &mut Vec<Fault>,
    ) -> Self {
        let formula = |text: &Text| Formula::new(text, id, file);
        let mut holds = Vec::new();
        for (level, text) in &raw.holds.0 {
            // A pack with an unknown level is not used; its formula is checked all the same.
            holds.push((level_of(level, id, faults).unwrap_or(Level::Stop), formula(text)));
        }
        holds.sort_by_key(|(level, _)| std::cmp::Reverse(*level));
        let own = Shared::read(&raw.limits, &raw.r#where, id, file);
        Self {
            when: raw.when.as_ref().map(formula),
            limits: own.limits,
            steps: own.steps,
            holds,
            change: raw.change.iter().map(formula).collect(),
            aim: raw.aim.as_ref().map(formula),
            reading: raw.reading.as_ref().and_then(|level| level_of(level, id, faults)),
            yields_to: raw.yields_to.iter().map(|rule| rule.value.clone()).collect(),
            asks: raw.asks.iter().map(|text| ask(text, id, file)).collect(),
            aspect: raw.aspect.as_ref().and_then(|word| aspect_of(word, id, faults)),
            said,
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
    /// Nothing but what rules have in common.
    pub(super) fn of_shared(shared: Shared) -> Self {
        Self { limits: shared.limits, steps: shared.steps, ..Self::default() }
    }

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

impl RuleBody {
    /// The same of all that a rule or task of the built-in pack names: that a name is there twice the tests would find.
    pub(super) fn take_named(&mut self, names: &[Text], shared: &HashMap<Words, Shared>) {
        for shared in names.iter().filter_map(|name| shared.get(&name.value)) {
            let _ = self.take(shared);
        }
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
        faults.push(RuleFault::NoAspect { word: word.value.to_string(), near }.at(span(word, id)));
    }
    aspect
}
