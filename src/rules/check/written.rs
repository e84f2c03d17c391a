//! The words of a pack's text that name something: each is told at its place.

use crate::fault::{Code, Fault, PackFault, RuleFault, near};
use crate::pack::PackFile;
use crate::pack::schema::{BASES, Entries, RawBlock, RawPack, RawRule, RawValue, SURE, Text};
use crate::rules::body::span;
use crate::rules::finding::Level;
use crate::rules::library::Library;
use crate::rules::types::Kind;
use crate::source::SourceId;
use crate::syntax::is_name;
use crate::vocabulary::{Block, FieldKind};

/// Every fault in the words of a pack file.
pub(in crate::rules) fn written(library: &Library, file: &PackFile) -> Vec<Fault> {
    let mut written = Written { library, id: file.id, faults: Vec::new() };
    for name in names(&file.pack) {
        written.name(name);
    }
    for (name, rule) in &file.pack.rules.0 {
        written.rule(name, rule);
    }
    for (name, task) in &file.pack.tasks.0 {
        written.about(name, &task.about);
    }
    for (name, block) in &file.pack.blocks.0 {
        written.block(name, block);
    }
    for (basis, sure) in judged(&file.pack) {
        written.one_of(basis, &BASES);
        written.one_of(sure, &SURE);
    }
    written.faults
}

/// Every fault in the words of one rule.
pub(in crate::rules) fn written_rule(library: &Library, name: &Text, rule: &RawRule, id: SourceId) -> Vec<Fault> {
    let mut written = Written { library, id, faults: Vec::new() };
    written.rule(name, rule);
    written.faults
}

/// What formulas and sheets call things by.
fn names(pack: &RawPack) -> impl Iterator<Item = &Text> {
    fn keys<T>(entries: &Entries<T>) -> impl Iterator<Item = &Text> {
        entries.0.iter().map(|(name, _)| name)
    }
    let blocks = pack
        .blocks
        .0
        .iter()
        .flat_map(|(name, raw)| std::iter::once(name).chain(keys(&raw.fields)).chain(keys(&raw.derives)));
    let profiles = [&pack.materials, &pack.machines, &pack.instruments].into_iter().flat_map(keys);
    let rules = pack
        .rules
        .0
        .iter()
        .flat_map(|(name, rule)| std::iter::once(name).chain(keys(&rule.limits)).chain(keys(&rule.r#where)));
    let tasks = pack
        .tasks
        .0
        .iter()
        .flat_map(|(name, task)| std::iter::once(name).chain(keys(&task.limits)).chain(keys(&task.r#where)));
    let shared = pack
        .shared
        .0
        .iter()
        .flat_map(|(name, shared)| std::iter::once(name).chain(keys(&shared.limits)).chain(keys(&shared.r#where)));
    blocks.chain(profiles).chain(rules).chain(tasks).chain(shared)
}

/// How each number was had, and how sure it is.
fn judged(pack: &RawPack) -> impl Iterator<Item = (&Text, &Text)> {
    let profiles = [&pack.materials, &pack.machines, &pack.instruments].into_iter();
    let profiles = profiles.flat_map(|section| &section.0).flat_map(|(_, profile)| &profile.values.0);
    let learnt = pack.learnt.0.iter().flat_map(|(_, learnt)| &learnt.values.0);
    let rules = pack.rules.0.iter().flat_map(|(_, rule)| &rule.limits.0);
    let tasks = pack.tasks.0.iter().flat_map(|(_, task)| &task.limits.0);
    let shared = pack.shared.0.iter().flat_map(|(_, shared)| &shared.limits.0);
    let chances = pack.chances.0.iter().flat_map(|(_, by_level)| &by_level.0);
    let others = pack.resolution.0.iter().chain(&pack.steps.0).chain(&pack.learning.0);
    let values = profiles.chain(learnt).chain(rules).chain(tasks).chain(shared).chain(chances).chain(others);
    let values = values.map(|(_, RawValue { basis, sure, .. })| (basis, sure));
    values.chain(pack.tables.0.iter().map(|(_, table)| (&table.basis, &table.sure)))
}

struct Written<'l> {
    library: &'l Library,
    id: SourceId,
    faults: Vec<Fault>,
}

impl Written<'_> {
    fn fault(&mut self, at: &Text, code: impl Into<Code>) {
        self.faults.push(Fault::of(code, span(at, self.id)));
    }

    fn name(&mut self, name: &Text) {
        if !is_name(&name.value) {
            let joined = name.value.split_whitespace().collect::<Vec<_>>().join("-");
            let near = Some(joined).filter(|joined| is_name(joined));
            self.fault(name, PackFault::NoName { name: name.value.to_string(), near });
        }
    }

    fn rule(&mut self, name: &Text, rule: &RawRule) {
        self.about(name, &rule.about);
        for other in rule.yields_to.iter().filter(|other| self.library.rule(&other.value).is_none()) {
            let near = near(&other.value, self.library.rules.iter().map(|rule| rule.name.as_str()));
            let (rule, other_name) = (name.value.to_string(), other.value.to_string());
            self.fault(other, RuleFault::YieldsToNothing { rule, other: other_name, near });
        }
        for (key, said) in [("says", &rule.says), ("doubts", &rule.doubts), ("help", &rule.help)] {
            for level in said.0.iter().filter_map(|(level, _)| level.as_ref()) {
                self.said_at(key, level, rule);
            }
        }
    }

    /// What is said at a level at which a rule finds nothing is never read. Words that are no levels are told where they are
    /// read.
    fn said_at(&mut self, key: &str, level: &Text, rule: &RawRule) {
        let levels = || rule.holds.0.iter().map(|(level, _)| level).chain(&rule.reading);
        if Level::named(&level.value).is_some() && !levels().any(|one| one.value == level.value) {
            let levels = levels().map(|level| level.value.to_string()).collect();
            let (key, word) = (key.to_owned(), level.value.to_string());
            self.fault(level, RuleFault::SaidOfNoLevel { key, level: word, levels });
        }
    }

    /// The kinds of block that a rule or task is about.
    fn about(&mut self, name: &Text, about: &[Text]) {
        for kind in about.iter().filter(|kind| self.library.vocabulary.block(&kind.value).is_none()) {
            let (of, block) = (name.value.to_string(), kind.value.to_string());
            let near = self.near_block(&kind.value);
            self.fault(kind, RuleFault::AboutNothing { of, block, near });
        }
    }

    fn near_block(&self, word: &str) -> Option<String> {
        near(word, self.library.vocabulary.blocks.iter().map(|block| block.name.as_str()))
    }

    fn block(&mut self, name: &Text, raw: &RawBlock) {
        let vocabulary = &self.library.vocabulary;
        for outer in raw.r#in.iter().filter(|outer| vocabulary.block(&outer.value).is_none() && outer.value != "sheet")
        {
            let (block, word) = (name.value.to_string(), outer.value.to_string());
            let near = self.near_block(&outer.value);
            self.fault(outer, PackFault::InNoBlock { block, outer: word, near });
        }
        let Some(block) = vocabulary.block(&name.value) else { return };
        for (_, field) in &raw.fields.0 {
            self.field_of(block, "along", field.along.as_ref(), Some(&FieldKind::Direction));
            self.field_of(block, "unless", field.unless.as_ref(), Some(&FieldKind::Flag));
            self.field_of(block, "keeps-to", field.keeps_to.as_ref(), Some(&FieldKind::Dimension));
            self.field_of(block, "or", field.or.as_ref(), None);
        }
        if let Some(body) = &raw.body {
            self.field_of(block, "along", body.along.as_ref(), Some(&FieldKind::Direction));
            self.field_of(block, "across", body.across.as_ref(), Some(&FieldKind::Direction));
            self.field_of(block, "through", body.through.as_ref(), Some(&FieldKind::Flag));
        }
    }

    /// A field of the block itself, of a kind where that matters.
    fn field_of(&mut self, block: &Block, key: &str, word: Option<&Text>, takes: Option<&FieldKind>) {
        let Some(word) = word else { return };
        let (key, name) = (key.to_owned(), word.value.to_string());
        let Some(field) = block.fields.iter().find(|field| field.name == word.value) else {
            let near = near(&word.value, block.fields.iter().map(|field| field.name.as_str()));
            self.fault(word, PackFault::NamesNoFieldOfBlock { key, name, near });
            return;
        };
        let [found, takes] = [Some(&field.kind), takes].map(|kind| kind.map_or(Kind::Any, Kind::of_field));
        if !found.fits(&takes) {
            let [takes, found] = [takes, found].map(|kind| kind.describe());
            self.fault(word, PackFault::FieldOfOtherKind { key, name, takes, found });
        }
    }

    fn one_of(&mut self, word: &Text, known: &[&str]) {
        if !word.value.is_empty() && !known.contains(&word.value.as_str()) {
            let near = near(&word.value, known.iter().copied());
            let known = known.iter().map(|&word| word.to_owned()).collect();
            self.fault(word, PackFault::NoChoice { word: word.value.to_string(), known, near });
        }
    }
}
