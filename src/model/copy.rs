//! `like`: features that take over what others say.

use std::collections::HashMap;

use super::bind::Binder;
use super::{FeatureId, Field, Model, Written, limits};
use crate::fault::{WordFault, near};
use crate::syntax::tree::Path;

/// The features that wait for their `like`, in the order of the text.
#[derive(Default)]
pub(super) struct Copies {
    list: Vec<Copy>,
    /// Which of them goes into a feature.
    by_feature: HashMap<FeatureId, usize>,
}

/// A feature that waits for its `like`.
struct Copy {
    into: FeatureId,
    from: Path,
    /// Along which axis it is the mirror image.
    mirrored: Option<usize>,
    state: CopyState,
}

#[derive(Clone, Copy, PartialEq)]
enum CopyState {
    Waiting,
    Running,
    Done,
}

impl Binder<'_> {
    pub(super) fn remember_copy(&mut self, into: FeatureId, from: Path, mirrored: Option<usize>) {
        self.copies.by_feature.insert(into, self.copies.list.len());
        self.copies.list.push(Copy { into, from, mirrored, state: CopyState::Waiting });
    }

    pub(super) fn copy_all(&mut self) {
        for index in 0..self.copies.list.len() {
            self.copy(index, 0);
        }
    }

    fn copy(&mut self, index: usize, depth: usize) {
        let Copy { into, from, mirrored, state } = &self.copies.list[index];
        let (into, at, mirrored, state) = (*into, from.span, *mirrored, *state);
        if state == CopyState::Done {
            return;
        }
        let fault = if state == CopyState::Running {
            Some(WordFault::CopyOfItself { name: from.text() }.at(at))
        } else if depth > limits::CHAIN {
            Some(WordFault::CopyChain { most: limits::CHAIN }.at(at))
        } else {
            None
        };
        if let Some(fault) = fault {
            self.model.report(fault);
            self.copies.list[index].state = CopyState::Done;
            self.model.features[into.0].incomplete = true;
            return;
        }
        self.copies.list[index].state = CopyState::Running;
        if let Some(source) = self.copy_source(into, index) {
            // What the source or anything in it copies comes first.
            let mut first = Vec::new();
            self.copies_in(source, &mut first);
            first.sort_unstable();
            for other in first {
                self.copy(other, depth + 1);
            }
            self.model.features[into.0].like = Some(source);
            self.merge(source, into, mirrored);
            self.model.features[into.0].incomplete |= self.model.feature(source).incomplete;
        } else {
            self.model.features[into.0].incomplete = true;
        }
        self.copies.list[index].state = CopyState::Done;
    }

    /// The waiting features that a feature is or holds.
    fn copies_in(&self, id: FeatureId, found: &mut Vec<usize>) {
        found.extend(self.copies.by_feature.get(&id));
        for child in self.model.feature(id).children.iter() {
            self.copies_in(child, found);
        }
    }

    fn copy_source(&mut self, into: FeatureId, index: usize) -> Option<FeatureId> {
        let from = self.copies.list[index].from.clone();
        let parent = self.model.feature(into).parent.unwrap_or(Model::SHEET);
        let kind = self.model.feature(into).block;
        let Some(source) = self.model.feature_at(parent, &from) else {
            let same_kind = self.model.features.iter().filter(|feature| feature.block.name == kind.name);
            let near = near(&from.text(), same_kind.map(|feature| feature.name.as_str()));
            self.model.report(WordFault::NothingToCopy { name: from.text(), near }.at(from.span));
            return None;
        };
        let found = self.model.feature(source).block;
        if found.name != kind.name {
            let (kind, wanted) = (found.name.to_string(), kind.name.to_string());
            self.model.report(WordFault::CopyOfKind { name: from.text(), kind, wanted }.at(from.span));
            return None;
        }
        if self.model.outward(into).any(|id| id == source) {
            let code = if source == into { WordFault::LikeItself {} } else { WordFault::LikeOuter {} };
            self.model.report(code.at(from.span));
            return None;
        }
        Some(source)
    }

    /// Gives `into` whatever `source` has and it has not, in its mirror image along an axis where one is named.
    fn merge(&mut self, source: FeatureId, into: FeatureId, mirrored: Option<usize>) {
        let fields: Vec<(String, Written)> = self
            .model
            .feature(source)
            .fields
            .iter()
            .filter_map(|field| Some((field.name.clone(), field.written.clone()?)))
            .collect();
        for (name, mut written) in fields {
            if let Some(axis) = mirrored {
                written.mirrored[axis] = !written.mirrored[axis];
            }
            let index = self.known_field(into, &name).or_else(|| {
                let open = self.model.feature(into).block.open.as_ref()?;
                let fields = &mut self.model.features[into.0].fields;
                fields.push(Field::new(name, open, fields.len()));
                Some(self.model.feature(into).fields.len() - 1)
            });
            let Some(index) = index else { continue };
            if self.rival(into, index).is_some_and(|rival| rival.written.is_some()) {
                continue;
            }
            let field = &mut self.model.features[into.0].fields[index];
            field.written.get_or_insert(written);
        }
        self.merge_attempted(source, into);
        let children: Vec<FeatureId> = self.model.feature(source).children.iter().collect();
        for child in children {
            self.merge_child(child, into, mirrored);
        }
    }

    /// What the source meant to say is not missing in its copy either. Of a block that takes any word
    /// there is no telling what that was.
    fn merge_attempted(&mut self, source: FeatureId, into: FeatureId) {
        let vocabulary = self.model.vocabulary;
        let feature = self.model.feature(source);
        let attempted = &feature.attempted;
        let unclear = feature.block.open.is_some() && !attempted.is_empty();
        let fields = feature.block.fields.iter().map(|field| &field.name);
        let blocks = vocabulary.blocks_in(&feature.block.name).map(|block| &block.name);
        let words = fields.chain(blocks).map(crate::pack::Words::as_str);
        let known: Vec<String> = words.filter(|word| attempted.contains(*word)).map(str::to_owned).collect();
        let into = &mut self.model.features[into.0];
        into.incomplete |= unclear;
        into.attempted.extend(known);
    }

    fn merge_child(&mut self, child: FeatureId, into: FeatureId, mirrored: Option<usize>) {
        let source = self.model.feature(child);
        let (block, name, name_span) = (source.block, source.name.clone(), source.name_span);
        let own = &self.model.feature(into).children;
        let own = own.named(&name).or_else(|| block.single.then(|| own.of_kind(&block.name)).flatten());
        let span = self.model.feature(into).span;
        let target = match own {
            Some(own) if self.model.feature(own).block.name == block.name => Some(own),
            Some(_) => None,
            None => self.add(block, (name, name_span), span, into),
        };
        if let Some(target) = target {
            let profile = self.model.feature(child).profile.clone();
            self.model.features[target.0].like = Some(child);
            self.model.features[target.0].profile = self.model.features[target.0].profile.take().or(profile);
            self.merge(child, target, mirrored);
        }
    }
}
