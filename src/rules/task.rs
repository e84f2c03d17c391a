//! What is to do at the bench, read from a pack: data like rules, and worked out by the same formulas.

use std::ops::Deref;

use super::judge::{Applies, judge_when};
use super::rule::{Rule, span};
use super::scope::RuleScope;
use crate::fault::{Fault, PackFault, near};
use crate::model::{FeatureId, Model};
use crate::pack::schema::{ByLevel, RawRule, RawTask, Text};
use crate::source::{Source, SourceId};

/// When something is done at the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
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

/// Something to do, or to watch, at the bench.
#[derive(Debug)]
pub struct Task {
    /// When.
    pub moment: Moment,
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
    pub says: String,
    /// Why, in half a line.
    pub because: String,
    /// On whose authority.
    pub source: String,
    /// How high over the bed its feature ends, where the sheet says where it is: in millimetres.
    pub height: Option<f64>,
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
        let one = |text: &Text| ByLevel(vec![(None, text.clone())]);
        let rule = RawRule {
            about: raw.about.clone(),
            when: raw.when.clone(),
            shares: raw.shares.clone(),
            limits: raw.limits.clone(),
            r#where: raw.r#where.clone(),
            says: one(&raw.says),
            help: one(&raw.because),
            sources: vec![raw.source.clone()],
            ..RawRule::default()
        };
        let moment = Moment::WORDS.into_iter().find(|(word, _)| *raw.at.value == **word);
        if moment.is_none() {
            let near = near(&raw.at.value, Moment::WORDS.map(|(word, _)| word));
            faults.push(PackFault::NoMoment { word: raw.at.value.to_string(), near }.at(span(&raw.at, id)));
        }
        let moment = moment.map_or(Moment::Before, |(_, moment)| moment);
        (Self { moment, rule: Rule::read(name, &rule, id, file, faults) }, rule)
    }

    pub(super) fn rule_mut(&mut self) -> &mut Rule {
        &mut self.rule
    }

    /// What is to do for a feature; `None` where nothing is, or where something that it says is not given.
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
            says: says?.fill(&evaluation, None),
            because: because.map_or(String::new(), |because| because.fill(&evaluation, None)),
            source: self.rule.sources.first().map_or(String::new(), ToString::to_string),
            height: model.height(feature).map(|(_, top)| top),
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
