//! From statements to features: words looked up in the vocabulary, names bound, copies made.

mod block;
mod explain;
mod field;
mod head;
mod mentions;
mod words;

use std::collections::HashSet;

use super::copy::Copies;
use super::import::{Importer, Wanted};
use super::{FeatureId, Field, Model, limits};
use crate::fault::{Fault, WordFault};
use crate::source::SourceId;
use crate::syntax::tree::{Binding, Body, Clause, ExprKind, Name, Statement, Value, ValueKind};
use crate::vocabulary::{Act, Vocabulary};
use block::new_feature;
use head::word_of;

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
    /// The last block without braces, and whether it was said that what follows it needs them.
    bare: Option<(FeatureId, bool)>,
    /// Words that resemble nothing that their feature takes, and the value that follows them, if it is one: told once it
    /// is known what else the feature lacks.
    strange: Vec<(FeatureId, Option<Value>, Fault)>,
    /// Blocks of which it was said that they hold something that belongs at the top.
    swallowed: HashSet<FeatureId>,
    /// Names on lines that could not be used: what they stand for is not unused.
    mentioned: HashSet<String>,
}

impl Binder<'_> {
    pub(super) fn body(&mut self, body: Body, parent: FeatureId) {
        for line in body.broken {
            // The line's own word and the name after it.
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
        let Name { text, span, .. } = binding.name;
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
            // A pack that does not say where its block can be used is told of in the pack.
            if block.stands_in.is_empty() || block.stands_in.contains(&outer.name) {
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
