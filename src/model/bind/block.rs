//! Blocks become features: named, put where they belong, with the profile that they start from.

use std::collections::HashSet;

use super::Binder;
use crate::fault::{WordFault, near};
use crate::model::{Children, Feature, FeatureId, Field, limits};
use crate::source::Span;
use crate::syntax::tree::{Body, Clause, Path, Statement};
use crate::vocabulary::{Act, Block, Naming};

impl<'v> Binder<'v> {
    pub(super) fn block(&mut self, clause: Clause, block: &'v Block, parent: FeatureId) {
        if self.imported && !block.is_shared() && (!self.whole || block.act == Act::Permits) {
            return;
        }
        if block.act == Act::Describes {
            self.head(&clause, clause.values.clone(), block, parent);
            if let Some(body) = clause.body {
                self.describing(body, parent);
            }
            return;
        }
        let mut values = clause.values.clone();
        let Some(name) = self.name(&clause, block, &mut values) else {
            return;
        };
        let single = block.single.then(|| self.model.feature(parent).children.of_kind(&block.name)).flatten();
        if let Some(earlier) = single {
            if self.imported {
                return;
            }
            self.twice(&clause, block, earlier);
            return;
        }
        let Some(id) = self.add(block, name.clone(), clause.span, parent) else {
            self.dropped(&clause, &name.0, parent);
            return;
        };
        self.head(&clause, values, block, id);
        if matches!(block.act, Act::Imports | Act::Recalls) {
            self.remember_import(id);
        }
        if clause.mirrored.is_some() && block.profile.is_some() {
            self.model.report(WordFault::NoImage { block: block.name.to_string() }.at(clause.span));
        }
        match (&block.profile, clause.like) {
            (Some(section), like) => self.pick_profile(id, section, like.as_ref()),
            (None, Some(from)) => self.remember_copy(id, from, clause.mirrored),
            (None, None) => {}
        }
        let bare = clause.body.is_none();
        if let Some(body) = clause.body {
            self.body(body, id);
        }
        self.bare = bare.then_some((id, false));
    }

    /// The inside of `sheet "…" { … }`: its fields are the sheet's own.
    fn describing(&mut self, body: Body, sheet: FeatureId) {
        for statement in body.statements {
            match statement {
                Statement::Clause(clause) => match self.known_field(sheet, &clause.head.text) {
                    Some(index) => self.field(clause, sheet, index),
                    None => self.unknown_word(&clause, sheet),
                },
                Statement::Let(binding) => self.binding(binding, sheet),
            }
        }
    }

    pub(in crate::model) fn add(
        &mut self,
        block: &'v Block,
        name: (String, Span),
        span: Span,
        parent: FeatureId,
    ) -> Option<FeatureId> {
        if self.full {
            return None;
        }
        if self.model.features.len() >= limits::FEATURES {
            self.full = true;
            self.model.report(WordFault::TooManyFeatures { most: limits::FEATURES }.at(span));
            return None;
        }
        if block.naming != Naming::None
            && let Some(earlier) = self.model.feature(parent).children.named(&name.0)
        {
            self.same_name(&name, earlier);
            return None;
        }
        let id = FeatureId(self.model.features.len());
        self.model.features[parent.0].children.push(id, &name.0, block);
        let mut feature = new_feature(block, name, span, Some(parent));
        feature.imported = self.imported;
        self.model.features.push(feature);
        Some(id)
    }

    /// `material petg`, `material house-blend like petg { … }`
    fn pick_profile(&mut self, id: FeatureId, section: &str, like: Option<&Path>) {
        let feature = self.model.feature(id);
        let (name, at) = match like {
            Some(path) => (path.text(), path.span),
            None => (feature.name.clone(), feature.name_span),
        };
        let known = self.model.vocabulary.profiles.get(section);
        if known.is_some_and(|known| known.contains_key(name.as_str())) {
            self.model.features[id.0].profile = Some(name);
            return;
        }
        let known: Vec<String> = known.into_iter().flat_map(|known| known.keys().map(ToString::to_string)).collect();
        let near = near(&name, known.iter().map(String::as_str));
        let kind = feature.block.name.to_string();
        let habit = self.model.vocabulary.habit(&format!("{kind}.{name}")).map(str::to_owned);
        self.model.features[id.0].incomplete = true;
        self.model.report(WordFault::NoProfile { kind, name, known, near, habit }.at(at));
    }
}

pub(super) fn new_feature(block: &Block, name: (String, Span), span: Span, parent: Option<FeatureId>) -> Feature<'_> {
    Feature {
        block,
        name: name.0,
        name_span: name.1,
        span,
        parent,
        children: Children::default(),
        fields: block
            .fields
            .iter()
            .enumerate()
            .map(|(index, field)| Field::new(field.name.clone(), field, index))
            .collect(),
        like: None,
        profile: None,
        attempted: HashSet::new(),
        incomplete: false,
        imported: false,
    }
}
