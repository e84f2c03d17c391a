//! What is to do at the bench, read from a pack: data like rules, and worked out by the same formulas.

use std::collections::HashMap;
use std::ops::Deref;
use std::sync::Arc;

use super::body::{Shared, span};
use super::judge::{Applies, judge_when};
use super::rule::Rule;
use super::scope::RuleScope;
use super::sentence::Sentence;
use crate::fault::{Fault, RuleFault, near};
use crate::model::{FeatureId, Model};
use crate::pack::schema::{RawRule, RawTask, Text};
use crate::pack::{BUILT_IN, Later, Seldom, Words};
use crate::source::{Source, SourceId};

/// When something is done at the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Moment {
    /// Before the print.
    Before,
    /// While it prints.
    During,
    /// When it is off the bed.
    After,
    /// When it is put together.
    Assembly,
}

impl Moment {
    /// The words that a pack says for them.
    const WORDS: [(&str, Self); 4] =
        [("before", Self::Before), ("during", Self::During), ("after", Self::After), ("assembly", Self::Assembly)];
}

/// What the drawing marks for a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Mark {
    /// A roof between two supports.
    Bridge,
    /// An underside that hangs over.
    Overhang,
    /// Where it is printed on support.
    Support,
}

impl Mark {
    /// The words that a pack says for them.
    const WORDS: [(&str, Self); 3] =
        [("bridge", Self::Bridge), ("overhang", Self::Overhang), ("support", Self::Support)];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.into_iter().find(|(_, mark)| *mark == self).map_or("", |(word, _)| word)
    }
}

/// Something to do, or to watch, at the bench.
#[derive(Debug)]
pub struct Task {
    /// When.
    pub moment: Moment,
    /// What it marks in the drawing.
    marks: Option<Mark>,
    /// What it is about, and its formulas: a rule that compares nothing.
    rule: Rule,
}

/// A task for one feature, in words.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Errand {
    /// The task's name.
    pub task: String,
    /// When.
    pub moment: Moment,
    /// The feature's path.
    pub about: String,
    /// What to do.
    pub says: Sentence,
    /// Why, in half a line.
    pub because: Sentence,
    /// On whose authority.
    pub source: String,
    /// How high over the bed its feature ends, where the sheet says where it is: in millimetres.
    pub height: Option<f64>,
    /// What the drawing marks there.
    pub marks: Option<Mark>,
    /// Which feature.
    #[serde(skip)]
    pub feature: FeatureId,
}

impl Task {
    /// Reads a task; what is wrong with its shape goes to `faults`.
    pub(super) fn read(
        name: &Text,
        raw: &RawTask,
        id: SourceId,
        file: Option<&Source>,
        faults: &mut Vec<Fault>,
    ) -> (Self, RawRule) {
        let rule = raw.as_rule();
        let moment = Moment::WORDS.into_iter().find(|(word, _)| *raw.at.value == **word);
        if moment.is_none() {
            let near = near(&raw.at.value, Moment::WORDS.map(|(word, _)| word));
            faults.push(RuleFault::NoMoment { word: raw.at.value.to_string(), near }.at(span(&raw.at, id)));
        }
        let moment = moment.map_or(Moment::Before, |(_, moment)| moment);
        let marks = raw.marks.as_ref().and_then(|word| {
            let mark = Mark::WORDS.into_iter().find(|(known, _)| *word.value == **known);
            if mark.is_none() {
                let near = near(&word.value, Mark::WORDS.map(|(word, _)| word));
                faults.push(RuleFault::NoMark { word: word.value.to_string(), near }.at(span(word, id)));
            }
            mark.map(|(_, mark)| mark)
        });
        (Self { moment, marks, rule: Rule::read(name, &rule, id, file, faults) }, rule)
    }

    /// The tasks of the built-in pack, read when a checklist asks for them; the tests hold that nothing is wrong with them.
    pub(super) fn later(seldom: &Seldom, shared: &Arc<HashMap<Words, Shared>>) -> Later<Vec<Self>> {
        let (seldom, shared) = (Arc::clone(seldom), Arc::clone(shared));
        let task = move |(name, raw): &(Text, RawTask)| {
            let (mut task, raw) = Self::read(name, raw, BUILT_IN, None, &mut Vec::new());
            task.rule.body_mut().into_iter().for_each(|body| body.take_named(&raw.shares, &shared));
            task
        };
        Later::by(move || seldom.iter().flat_map(|pack| &pack.tasks.0).map(&task).collect())
    }

    pub(super) fn rule_mut(&mut self) -> &mut Rule {
        &mut self.rule
    }

    /// What is to do for a feature; `None` where nothing is, or where something is not given that it says before its first
    /// semicolon. A reason that lacks a value is left out.
    #[must_use]
    pub fn errand(&self, model: &Model, feature: FeatureId) -> Option<Errand> {
        if !self.rule.about.contains(&model.feature(feature).block.name) {
            return None;
        }
        let scope = RuleScope::new(&self.rule, model, feature);
        let evaluation = scope.evaluation();
        if !matches!(judge_when(&self.rule, &evaluation), Applies::Yes) {
            return None;
        }
        let [says, because] = [&self.rule.says, &self.rule.help].map(|said| said.iter().next());
        Some(Errand {
            task: self.rule.name.to_string(),
            moment: self.moment,
            about: model.path(feature),
            says: says?.fill_known(&evaluation)?,
            because: because.and_then(|because| because.fill_known(&evaluation)).unwrap_or_default(),
            source: self.rule.sources.first().map_or(String::new(), ToString::to_string),
            height: model.height(feature).map(|(_, top)| top),
            marks: self.marks,
            feature,
        })
    }
}

impl Deref for Task {
    type Target = Rule;

    fn deref(&self) -> &Rule {
        &self.rule
    }
}
