//! From statements to features: words looked up in the vocabulary, names bound, copies made.

mod explain;
mod field;

use std::collections::HashSet;

use super::copy::Copies;
use super::import::{Importer, Wanted};
use super::{Children, Feature, FeatureId, Field, Model, limits};
use crate::fault::{Fault, WordFault, near};
use crate::source::{SourceId, Span};
use crate::syntax::tree::{Binding, Body, Clause, Expr, ExprKind, Name, Operator, Path, Statement, Value, ValueKind};
use crate::vocabulary::{Act, Block, FieldKind, Head, Naming, Vocabulary};

/// Binds a sheet. Whatever is wrong is among the model's faults; the rest can be checked.
#[must_use]
pub fn bind<'v>(vocabulary: &'v Vocabulary, body: Body, id: SourceId, importer: &dyn Importer) -> Model<'v> {
    let top = id.span(0..0);
    let sheet = new_feature(vocabulary.sheet(), ("sheet".into(), top), top, None);
    let model = Model::of(vocabulary, vec![sheet]);
    let mut binder = Binder {
        model,
        copies: Copies::default(),
        imports: Vec::new(),
        full: false,
        imported: false,
        whole: false,
        crowded: None,
        bare: None,
        strange: Vec::new(),
        swallowed: HashSet::new(),
        mentioned: HashSet::new(),
    };
    binder.body(body, Model::SHEET);
    binder.import_all(importer);
    binder.copy_all();
    let strange = binder.tell_strange();
    binder.model.check_required(&strange);
    binder.count_mentions();
    binder.model.evaluate_written();
    binder.model.note_bounds();
    binder.model.note_exact();
    binder.model
}

fn new_feature(block: &Block, name: (String, Span), span: Span, parent: Option<FeatureId>) -> Feature<'_> {
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

pub(super) struct Binder<'v> {
    pub(super) model: Model<'v>,
    pub(super) copies: Copies,
    pub(super) imports: Vec<Wanted>,
    full: bool,
    pub(super) imported: bool,
    /// Whether all of what is imported counts, as for notes on a sheet.
    pub(super) whole: bool,
    /// The block of which it was said that it holds too many fields.
    crowded: Option<FeatureId>,
    /// The last block that stands without braces, and whether it was said that what follows it needs them.
    bare: Option<(FeatureId, bool)>,
    /// Words that resemble nothing that their feature takes, and whether a value follows them: told once
    /// it is known what else the feature lacks.
    strange: Vec<(FeatureId, bool, Fault)>,
    /// Blocks of which it was said that they hold something that stands at the top.
    swallowed: HashSet<FeatureId>,
    /// Names on lines that could not be used: what they stand for is not unused.
    mentioned: HashSet<String>,
}

impl<'v> Binder<'v> {
    pub(super) fn body(&mut self, body: Body, parent: FeatureId) {
        for line in body.broken {
            // The line's own word and the name behind it.
            self.model.features[parent.0].attempted.extend(line.iter().take(2).cloned());
            self.mentioned.extend(line);
        }
        self.bare = None;
        for statement in body.statements {
            match statement {
                Statement::Let(binding) => self.binding(binding, parent),
                Statement::Clause(clause) => self.clause(clause, parent),
            }
        }
    }

    fn binding(&mut self, binding: Binding, parent: FeatureId) {
        let Some(block) = self.model.vocabulary.acting(Act::Binds) else { return };
        let Name { text, span } = binding.name;
        if parent != Model::SHEET {
            self.model.report(WordFault::LetInBlock {}.at(binding.span));
            self.mentioned.insert(text.clone());
            if self.model.feature(Model::SHEET).children.called(&text).is_some() {
                return;
            }
        }
        let Some(id) = self.add(block, (text, span), binding.span, Model::SHEET) else { return };
        self.set(id, 0, span, binding.value);
    }

    fn clause(&mut self, clause: Clause, parent: FeatureId) {
        let outer = self.model.feature(parent).block;
        let word = clause.head.text.as_str();
        let is_sheet = outer.act == Act::Describes;
        if !is_sheet && let Some(index) = self.known_field(parent, word) {
            self.field(clause, parent, index);
            return;
        }
        // What was bought has whatever dimensions it has: a `rib` or an `edge` is one of these too.
        let is_free = outer.open.is_some() && says_an_amount(&clause);
        if let Some(block) = self.model.vocabulary.block(word).filter(|_| !is_free) {
            if block.stands_in.contains(&outer.name) {
                self.block(clause, block, parent);
            } else if let Some(bare) = self.bare_before(parent, word) {
                self.unbraced(clause, bare);
            } else {
                self.misplaced(&clause, block, parent);
            }
            return;
        }
        if outer.open.is_none()
            && let Some(now) = self.renamed(parent, word)
        {
            let mut clause = clause;
            self.old_word(&clause.head, now);
            now.clone_into(&mut clause.head.text);
            self.clause(clause, parent);
            return;
        }
        if outer.open.is_none()
            && let Some(meant) = self.spelled_otherwise(parent, word)
        {
            let mut clause = clause;
            self.unknown_word(&clause, parent);
            clause.head.text = meant;
            self.clause(clause, parent);
            return;
        }
        match &outer.open {
            Some(_) if self.model.feature(parent).fields.len() >= limits::OPEN_FIELDS + outer.fields.len() => {
                self.too_many_fields(&clause, parent);
            }
            Some(open) => {
                let fields = &mut self.model.features[parent.0].fields;
                fields.push(Field::new(word, open, fields.len()));
                let index = self.model.feature(parent).fields.len() - 1;
                self.field(clause, parent, index);
            }
            None => match self.bare_before(parent, word) {
                Some(bare) => self.unbraced(clause, bare),
                None => self.unknown_word(&clause, parent),
            },
        }
    }

    /// The word that has taken the place of a word, where it can stand here.
    fn renamed(&self, parent: FeatureId, word: &str) -> Option<&'v str> {
        let outer = self.model.feature(parent).block;
        let block = self.model.vocabulary.formerly(word).filter(|block| block.stands_in.contains(&outer.name));
        let field = || outer.formerly(word).map(|field| field.name.as_str());
        block.map(|block| block.name.as_str()).or_else(field)
    }

    /// The word that a word is but for capitals and underscores: there is no doubt what was meant.
    fn spelled_otherwise(&self, parent: FeatureId, word: &str) -> Option<String> {
        let plain = word.to_lowercase().replace('_', "-");
        let outer = self.model.feature(parent).block;
        let is_block = self.model.vocabulary.block(&plain).is_some_and(|block| block.stands_in.contains(&outer.name));
        let is_field = outer.act != Act::Describes && self.known_field(parent, &plain).is_some();
        (plain != word && (is_block || is_field)).then_some(plain)
    }

    /// What follows from a block that is not taken, because another has its name, is not told.
    fn dropped(&mut self, clause: &Clause, name: &str, parent: FeatureId) {
        self.mention_all(clause);
        let Some(first) = self.model.feature(parent).children.named(name) else { return };
        for statement in clause.body.iter().flat_map(|body| &body.statements) {
            if let Statement::Clause(inner) = statement {
                self.model.features[first.0].attempted.insert(inner.head.text.clone());
            }
        }
    }

    /// The block without braces just before, if a word that has no place here has one in it.
    fn bare_before(&self, parent: FeatureId, word: &str) -> Option<FeatureId> {
        let (id, _) = self.bare.filter(|(id, _)| self.model.feature(*id).parent == Some(parent))?;
        let outer = self.model.feature(id).block;
        let takes = match self.model.vocabulary.block(word) {
            Some(block) => block.stands_in.contains(&outer.name),
            None => outer.open.is_some() || self.known_field(id, word).is_some(),
        };
        takes.then_some(id)
    }

    fn block(&mut self, clause: Clause, block: &'v Block, parent: FeatureId) {
        if self.imported && !is_shared(block) && (!self.whole || block.act == Act::Permits) {
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

    fn name(&mut self, clause: &Clause, block: &Block, values: &mut Vec<Value>) -> Option<(String, Span)> {
        let kind = &block.name;
        let default = (kind.to_string(), clause.head.span);
        if block.naming == Naming::None {
            // A title in quotes serves as the name in reports; what names something else by its title has none of its own.
            let is_title = |_: &&Value| {
                block
                    .fields
                    .iter()
                    .find(|field| field.head == Head::Next)
                    .is_some_and(|field| field.kind == FieldKind::Text)
            };
            let title = values.first().filter(is_title).and_then(|value| match &value.kind {
                ValueKind::Plain(expr) => match &expr.kind {
                    ExprKind::Text(text) => Some((text.clone(), value.span)),
                    _ => None,
                },
                _ => None,
            });
            return Some(title.unwrap_or(default));
        }
        let word = values.first().and_then(|value| Some((word_of(value)?.to_owned(), value.span)));
        let word = word.or_else(|| self.quoted_name(clause, block, values.first()?));
        match (word, block.naming) {
            (Some(name), _) => {
                values.remove(0);
                Some(name)
            }
            (None, Naming::Optional) => Some(default),
            (None, _) => {
                let at = values.first().map_or(clause.head.span, |value| value.span);
                let example = block.example.as_deref().and_then(|text| text.lines().next()).unwrap_or(kind);
                let (block, example) = (kind.to_string(), example.to_owned());
                self.model.report(WordFault::NoName { block, example }.at(at));
                self.mention(clause.values.iter());
                None
            }
        }
    }

    /// What follows a block's word: values in the order of the vocabulary, then named ones.
    fn head(&mut self, clause: &Clause, values: Vec<Value>, block: &'v Block, id: FeatureId) {
        let mut next = block.fields.iter().enumerate().filter(|(_, field)| field.head == Head::Next);
        let named = |word: &str| block.fields.iter().position(|f| f.head == Head::Named && f.name == word);
        let values = values.into_iter().flat_map(|value| signed_apart(value, &|word| named(word).is_some()));
        let mut values = values.peekable();
        while let Some(value) = values.next() {
            let named = word_of(&value).and_then(named);
            match (named, values.peek().is_some()) {
                (Some(index), true) => {
                    if let Some(given) = values.next() {
                        let is_first = self.set(id, index, value.span, given);
                        // Which of two ends or limits holds is not for a permit to leave open.
                        self.model.features[id.0].incomplete |= !is_first && block.act == Act::Permits;
                    }
                }
                _ => match next.next() {
                    Some((index, field)) if field.kind == FieldKind::Text && is_unquoted(&value, block) => {
                        let mut rest = Vec::new();
                        while let Some(more) = values.next_if(|value| is_unquoted(value, block)) {
                            rest.push(more);
                        }
                        self.unquoted(clause, &value, &rest);
                        let title = block.fields[index].name.to_string();
                        self.model.features[id.0].attempted.insert(title);
                    }
                    Some((index, _)) => {
                        self.set(id, index, clause.head.span, value);
                    }
                    None => {
                        self.unexpected(clause, block, &value);
                        self.mention(clause.values.iter());
                        self.model.features[id.0].incomplete |= block.profile.is_none();
                        return;
                    }
                },
            }
        }
    }

    pub(super) fn add(
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

    /// Notes the names in values that are not taken.
    fn mention<'a>(&mut self, values: impl Iterator<Item = &'a Value>) {
        for value in values {
            value.walk(&mut |expr| {
                if let ExprKind::Path(path) = &expr.kind {
                    self.mentioned.extend(path.names.first().map(|name| name.text.clone()));
                }
            });
        }
    }

    fn mention_all(&mut self, clause: &Clause) {
        self.mention(clause.values.iter());
        for statement in clause.body.iter().flat_map(|body| &body.statements) {
            match statement {
                Statement::Let(binding) => self.mention(std::iter::once(&binding.value)),
                Statement::Clause(clause) => self.mention_all(clause),
            }
        }
    }

    /// A name on a line that could not be used is not unused.
    fn count_mentions(&self) {
        for name in &self.mentioned {
            if let Some(id) = self.model.feature(Model::SHEET).children.named(name) {
                self.model.note_use(id);
            }
        }
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
        self.model.features[id.0].incomplete = true;
        self.model.report(WordFault::NoProfile { kind, name, known, near }.at(at));
    }
}

/// `up-to -0.01 mm` is read as a difference: behind the word of a named field the sign is the value's.
fn signed_apart(value: Value, is_named: &impl Fn(&str) -> bool) -> Vec<Value> {
    let apart = match &value.kind {
        ValueKind::Plain(expr) => sign_behind(expr, is_named),
        _ => None,
    };
    let plain = |expr: Expr| Value { span: expr.span, kind: ValueKind::Plain(expr) };
    apart.map_or_else(|| vec![value], |(word, rest)| vec![plain(word), plain(rest)])
}

/// The named field's word that a sum begins with, and what stands behind it with its sign.
fn sign_behind(expr: &Expr, is_named: &impl Fn(&str) -> bool) -> Option<(Expr, Expr)> {
    let ExprKind::Binary { operator, left, right } = &expr.kind else { return None };
    if !left.word().is_some_and(is_named) {
        let (word, rest) = sign_behind(left, is_named)?;
        let span = rest.span.to(right.span);
        let kind = ExprKind::Binary { operator: *operator, left: Box::new(rest), right: right.clone() };
        return Some((word, Expr { kind, span }));
    }
    let kind = match operator {
        Operator::Add => right.kind.clone(),
        Operator::Subtract => ExprKind::Negative(right.clone()),
        _ => return None,
    };
    // A blank parts the word from the sign: without one it would go on.
    let start = (left.span.end + 1).min(right.span.start);
    Some(((**left).clone(), Expr { kind, span: Span { start, ..right.span } }))
}

/// Whether a line is a word with an amount, as of a field, and nothing of a block.
fn says_an_amount(clause: &Clause) -> bool {
    let is_text = |value: &Value| match &value.kind {
        ValueKind::Plain(expr) => matches!(expr.kind, ExprKind::Text(_)),
        _ => false,
    };
    let amount = clause.values.first().is_some_and(|value| word_of(value).is_none() && !is_text(value));
    amount && clause.body.is_none() && clause.like.is_none()
}

/// What `with` brings in: what is bought, what it is made of and with, and names.
fn is_shared(block: &Block) -> bool {
    block.open.is_some() || block.profile.is_some() || matches!(block.act, Act::Imports | Act::Binds)
}

/// Whether a value stands where a text in quotes belongs and reads like a piece of it.
fn is_unquoted(value: &Value, block: &Block) -> bool {
    let ValueKind::Plain(expr) = &value.kind else { return false };
    match &expr.kind {
        ExprKind::Path(path) => path.word().is_none_or(|word| block.fields.iter().all(|field| field.name != word)),
        ExprKind::Number { .. } => true,
        _ => false,
    }
}

/// The single word that a value is.
fn word_of(value: &Value) -> Option<&str> {
    match &value.kind {
        ValueKind::Plain(expr) => expr.word(),
        _ => None,
    }
}

impl Model<'_> {
    /// Works out every value that the sheet states, so that all its faults show.
    pub(super) fn evaluate_written(&self) {
        for (id, feature) in self.ids() {
            for field in feature.fields.iter().filter(|field| field.written.is_some()) {
                // The fault, if there is one, is reported by the model itself.
                let _ = self.value_of(id, field);
            }
        }
    }
}
