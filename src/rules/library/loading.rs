//! A library while it is put together of packs.

use std::collections::HashMap;
use std::sync::Arc;

use super::chances::Chances;
use super::{Library, Resolution};
use crate::fault::{Fault, PackFault, RuleFault, SettingsFault, near};
use crate::pack::cite::{self, Cited};
use crate::pack::schema::{Entries, RawPack, RawRule, Text};
use crate::pack::{BUILT_IN, Formula, Later, PackError, PackFile, Project, Words, parts, seldom};
use crate::quantity::{Dimension, Unit};
use crate::rules::body::{Shared, span};
use crate::rules::check;
use crate::rules::finding::Level;
use crate::rules::rule::Rule;
use crate::rules::task::Task;
use crate::source::{Source, SourceId};
use crate::syntax::tree::{Expr, ExprKind};
use crate::vocabulary::{Act, Builder};

#[derive(Default)]
pub(super) struct Loading {
    words: Builder,
    rules: Vec<Rule>,
    built_in_tasks: Later<Vec<Task>>,
    own_tasks: Vec<Task>,
    /// Where each rule is among them.
    places: HashMap<Words, usize>,
    /// What rules have in common, by name.
    shared: HashMap<Words, Shared>,
    /// The sources that packs name.
    cited: Later<Cited>,
    chances: Chances,
    resolution: Resolution,
    faults: Vec<Fault>,
}

/// Faults of a project that are told one by one.
const MOST_FAULTS: usize = 100;

/// What packs let follow from the fields of one block.
const MOST_DERIVED: usize = 1000;

impl Loading {
    pub(super) fn of_built_in() -> Self {
        let mut loading = Self::default();
        let parts = parts();
        for part in &parts {
            loading.shared(&part.pack, BUILT_IN, None);
        }
        let shared = Arc::new(loading.shared.clone());
        let seldom = seldom(&parts);
        loading.words.add_seldom(&seldom);
        loading.built_in_tasks = Task::later(&seldom, &shared);
        loading.cited = Later::by(move || seldom.iter().flat_map(cite::named).collect());
        let count = parts.iter().map(|part| part.rules.len()).sum();
        loading.places.reserve(count);
        loading.rules.reserve(count);
        for mut part in parts {
            loading.words.add_later(&mut part);
            loading.words.add(&part.pack, BUILT_IN, None);
            loading.rules(&part.pack, BUILT_IN, None);
            for rule in part.rules {
                loading.places.insert(rule.name.value.clone(), loading.rules.len());
                loading.rules.push(Rule::later(rule, &shared));
            }
        }
        loading
    }

    pub(super) fn project(mut self, project: Project) -> Result<Library, PackError> {
        let Project { mut files, sources, .. } = project;
        if let Some(fault) = crowded(&files) {
            return Err(PackError { faults: vec![fault], sources });
        }
        self.cite(&mut files);
        for file in &files {
            self.shared(&file.pack, file.id, Some(sources.get(file.id)));
        }
        for file in &files {
            let text = sources.get(file.id);
            self.words.add(&file.pack, file.id, Some(text));
            self.rules(&file.pack, file.id, Some(text));
        }
        for file in &files {
            self.adjust(&file.pack, file.id, sources.get(file.id));
        }
        let (library, mut faults) = self.finish();
        faults.extend(check::library(&library));
        faults.extend(files.iter().flat_map(|file| check::written(&library, file)));
        faults.extend(check::unshared(&library, &files, &sources));
        if faults.is_empty() {
            faults.extend(files.iter().flat_map(|file| check::examples(&library, file, sources.get(file.id))));
        }
        faults.sort_by_key(|fault| fault.at);
        faults.dedup();
        shorten(&mut faults);
        if faults.is_empty() { Ok(library) } else { Err(PackError { faults, sources }) }
    }

    /// Puts the sources' texts where packs name them, also those of the built-in pack.
    fn cite(&mut self, files: &mut [PackFile]) {
        for file in &mut *files {
            if let Some(cited) = self.cited.get_mut() {
                cited.extend(cite::named(&file.pack));
            }
        }
        for file in files {
            for word in cite::cite(&mut file.pack, &self.cited) {
                if let Some(near) = near(&word.value, self.cited.keys().map(Words::as_str)) {
                    let fault = RuleFault::NoSourceNamed { name: word.value.to_string(), near };
                    self.faults.push(fault.at(span(word, file.id)));
                }
            }
        }
    }

    /// Limits and steps that several rules have in common.
    fn shared(&mut self, pack: &RawPack, id: SourceId, file: Option<&Source>) {
        for (name, raw) in &pack.shared.0 {
            let shared = Shared::read(&raw.limits, &raw.r#where, id, file);
            if self.shared.insert(name.value.clone(), shared).is_some() {
                self.faults.push(RuleFault::SharedTwice { name: name.value.to_string() }.at(span(name, id)));
            }
        }
    }

    fn take_shared(&mut self, rule: &mut Rule, raw: &RawRule, id: SourceId) {
        for name in &raw.shares {
            let Some(shared) = self.shared.get(&name.value) else {
                let near = near(&name.value, self.shared.keys().map(Words::as_str));
                self.faults.push(RuleFault::NothingShared { name: name.value.to_string(), near }.at(span(name, id)));
                continue;
            };
            if let Err(twice) = rule.body_mut().map_or(Ok(()), |body| body.take(shared)) {
                let (rule, shared, twice) = (rule.name.to_string(), name.value.to_string(), twice.to_string());
                self.faults.push(RuleFault::SharedAndOwn { rule, shared, name: twice }.at(span(name, id)));
            }
        }
    }

    pub(super) fn finish(self) -> (Library, Vec<Fault>) {
        let (vocabulary, mut faults) = self.words.finish();
        faults.extend(self.faults);
        faults.extend(self.chances.never_reached());
        let chances = self.chances.shares();
        let Self { mut rules, built_in_tasks, own_tasks, resolution, .. } = self;
        let acts = |kind: &Words| vocabulary.block(kind).map(|block| block.act);
        for rule in &mut rules {
            rule.about_permits = rule.about.iter().any(|kind| acts(kind) == Some(Act::Permits));
        }
        (Library { vocabulary, rules, built_in_tasks, own_tasks, chances, resolution, today: None }, faults)
    }

    fn resolution(&mut self, pack: &RawPack, id: SourceId) {
        for (name, raw) in &pack.resolution.0 {
            let formula = Formula::new(&raw.value, id, None);
            let number = |expr: &Expr| match &expr.kind {
                ExprKind::Number { value, unit: Some(unit) } => Unit::named(&unit.text).map(|unit| (*value, unit)),
                _ => None,
            };
            let said = formula.expr().ok().and_then(number).map(|(value, unit)| (value * unit.factor, unit.dimension));
            match (name.value.as_str(), said) {
                ("length", Some((value, Dimension::LENGTH))) => self.resolution.length = value,
                ("share", Some((value, Dimension::NONE))) => self.resolution.share = value,
                _ => {
                    self.faults.push(SettingsFault::ResolutionForm {}.at(span(name, id)));
                }
            }
        }
    }

    fn rules(&mut self, pack: &RawPack, id: SourceId, file: Option<&Source>) {
        self.chances.take(pack, id, &mut self.faults);
        self.resolution(pack, id);
        for (name, raw) in &pack.rules.0 {
            if self.places.insert(name.value.clone(), self.rules.len()).is_some() {
                self.faults.push(RuleFault::RuleTwice { name: name.value.to_string() }.at(span(name, id)));
                continue;
            }
            let mut rule = Rule::read(name, raw, id, file, &mut self.faults);
            self.take_shared(&mut rule, raw, id);
            self.rules.push(rule);
        }
        for (name, raw) in &pack.tasks.0 {
            let (mut task, raw) = Task::read(name, raw, id, file, &mut self.faults);
            self.take_shared(task.rule_mut(), &raw, id);
            self.own_tasks.push(task);
        }
    }

    /// Levels and limits that a project wants to be different.
    fn adjust(&mut self, pack: &RawPack, id: SourceId, file: &Source) {
        for (name, level) in &pack.levels.0 {
            let Some(index) = self.known_rule(name, id) else { continue };
            let rule = &self.rules[index];
            let wanted = Level::named(&level.value);
            if rule.caution {
                self.faults.push(SettingsFault::CautionLevel { rule: rule.name.to_string() }.at(span(level, id)));
                continue;
            }
            if rule.reading.is_some() {
                self.faults.push(SettingsFault::ReadingLevel { rule: rule.name.to_string() }.at(span(level, id)));
                continue;
            }
            if wanted.is_some_and(|wanted| wanted > rule.worst()) {
                let code = SettingsFault::LevelRaised { rule: rule.name.to_string(), most: rule.worst().to_string() };
                self.faults.push(code.at(span(level, id)));
                continue;
            }
            match level.value.as_str() {
                "off" => self.rules[index].most = None,
                word => {
                    if let Some(level) = Level::named(word) {
                        self.rules[index].most = Some(level);
                    } else {
                        self.faults.push(SettingsFault::NoLevel { word: word.into() }.at(span(level, id)));
                    }
                }
            }
        }
        for (name, limits) in &pack.limits.0 {
            if let Some(index) = self.known_rule(name, id) {
                self.adjust_limits(index, limits, id, file);
            }
        }
    }

    fn adjust_limits(&mut self, index: usize, limits: &Entries<Text>, id: SourceId, file: &Source) {
        for (name, value) in &limits.0 {
            let rule = &mut self.rules[index];
            let mut limits = rule.body_mut().into_iter().flat_map(|body| &mut body.limits);
            if let Some(limit) = limits.find(|limit| limit.name == name.value) {
                let was = std::mem::replace(&mut limit.value, Formula::new(value, id, Some(file)));
                limit.was.get_or_insert(was);
                limit.source = "set by this project".into();
                limit.basis = "judgement".into();
                continue;
            }
            let known: Vec<String> = rule.limits.iter().map(|limit| limit.name.to_string()).collect();
            let near = near(&name.value, known.iter().map(String::as_str));
            let (rule, limit) = (rule.name.to_string(), name.value.to_string());
            self.faults.push(RuleFault::NoLimit { rule, limit, known, near }.at(span(name, id)));
        }
    }

    fn known_rule(&mut self, name: &Text, id: SourceId) -> Option<usize> {
        let index = self.places.get(&name.value).copied();
        if index.is_none() {
            // Each is compared with all that there are: only as many as are told.
            let known = if self.faults.len() < MOST_FAULTS { self.rules.as_slice() } else { &[] };
            let now = known.iter().find(|rule| rule.was.contains(&name.value));
            let now = now.map(|now| now.name.to_string());
            let near = near(&name.value, known.iter().map(|rule| rule.name.as_str()));
            self.faults.push(SettingsFault::NoRule { name: name.value.to_string(), now, near }.at(span(name, id)));
        }
        index
    }
}

/// The first of what follows from the fields of a block that is one too many: each is looked up among the others.
fn crowded(files: &[PackFile]) -> Option<Fault> {
    let mut counts: HashMap<&str, usize> = HashMap::new();
    for PackFile { id, pack } in files {
        for (block, raw) in &pack.blocks.0 {
            let before = counts.entry(block.value.as_str()).or_default();
            if let Some((name, _)) = raw.derives.0.get(MOST_DERIVED - *before) {
                let (most, block) = (MOST_DERIVED, block.value.to_string());
                return Some(PackFault::TooManyDerived { most, block }.at(span(name, *id)));
            }
            *before += raw.derives.0.len();
        }
    }
    None
}

/// A pack that is wrong throughout is told of by its first faults.
fn shorten(faults: &mut Vec<Fault>) {
    let Some(more) = faults.len().checked_sub(MOST_FAULTS).filter(|more| *more > 0) else { return };
    faults.truncate(MOST_FAULTS);
    if let Some(at) = faults.last().map(|last| last.at) {
        faults.push(PackFault::More { count: more }.at(at));
    }
}
