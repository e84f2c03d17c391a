//! What a rule says, read from a pack.

use super::body::span;
use super::finding::Level;
use super::message::{Message, Messages};
use crate::fault::{Fault, RuleFault, near};
use crate::pack::Words;
use crate::pack::schema::{ByLevel, RawRule, Text};
use crate::source::{Source, SourceId};

/// What a rule says.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct RuleSays {
    /// Names that it had before.
    pub was: Vec<Words>,
    /// What it is about, in a few words.
    pub title: Words,
    /// The finding in words.
    pub says: Messages,
    /// The same where it holds, but not for certain.
    pub doubts: Messages,
    /// The way out in words.
    pub help: Messages,
    /// The explanation.
    pub why: Words,
    /// On whose authority.
    pub sources: Vec<Words>,
    /// A sheet on which it raises nothing.
    pub passes: Words,
    /// A sheet on which it raises a finding.
    pub fails: Words,
}

impl RuleSays {
    /// Reads what a rule says; what is wrong with its shape goes to `faults`.
    pub(super) fn read(raw: &RawRule, id: SourceId, file: Option<&Source>, faults: &mut Vec<Fault>) -> Self {
        let messages = |said: &ByLevel, faults: &mut Vec<Fault>| {
            let one = |(level, text): &(Option<Text>, Text)| {
                let level = level.as_ref().and_then(|word| level_of(word, id, faults));
                (level, Message::new(text, id, file))
            };
            Messages(said.0.iter().map(one).collect())
        };
        Self {
            was: raw.was.iter().map(|name| name.value.clone()).collect(),
            title: raw.title.value.clone(),
            says: messages(&raw.says, faults),
            doubts: messages(&raw.doubts, faults),
            help: messages(&raw.help, faults),
            why: raw.why.value.clone(),
            sources: raw.sources.iter().map(|source| source.value.clone()).collect(),
            passes: raw.passes.value.clone(),
            fails: raw.fails.value.clone(),
        }
    }
}

/// The level that a word of a pack names.
pub(super) fn level_of(word: &Text, id: SourceId, faults: &mut Vec<Fault>) -> Option<Level> {
    let level = Level::named(&word.value);
    if level.is_none() {
        let near = near(&word.value, ["stop", "care", "note"]);
        faults.push(RuleFault::NoRuleLevel { word: word.value.to_string(), near }.at(span(word, id)));
    }
    level
}
