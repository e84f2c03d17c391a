//! From statements to features: words looked up in the vocabulary, names bound, copies made.

use std::cell::{Cell, RefCell};
use std::collections::HashSet;
use std::rc::Rc;

use super::copy::Copies;
use super::import::Importer;
use super::tolerance_class::looks_like_class;
use super::{Children, Feature, FeatureId, Field, Model, Written, limits};
use crate::fault::{Fault, did_you_mean, nearest};
use crate::source::{SourceId, Span};
use crate::syntax::tree::{Binding, Body, Clause, ExprKind, Name, Path, Statement, Value, ValueKind};
use crate::vocabulary::{Act, Block, FieldKind, Head, Naming, Vocabulary};

/// Binds a sheet. Whatever is wrong is among the model's faults; the rest can be checked.
#[must_use]
pub fn bind<'v>(vocabulary: &'v Vocabulary, body: Body, id: SourceId, importer: &dyn Importer) -> Model<'v> {
    let top = id.span(0..0);
    let sheet = new_feature(vocabulary.sheet(), ("sheet".into(), top), top, None);
    let model = Model {
        vocabulary,
        features: vec![sheet],
        faults: RefCell::default(),
        inputs: RefCell::default(),
        depth: Cell::new(0),
        nested: Cell::new(0),
        specimen: false,
        draws: RefCell::default(),
        touched: Cell::new(false),
    };
    let mut binder = Binder {
        model,
        copies: Copies::default(),
        imports: Vec::new(),
        full: false,
        imported: false,
        crowded: None,
        bare: None,
        lacking: HashSet::new(),
    };
    binder.body(body, Model::SHEET);
    binder.import_all(importer);
    binder.copy_all();
    binder.model.check_required(&binder.lacking);
    binder.model.evaluate_written();
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
        fields: block.fields.iter().map(|field| Field::new(field.name.clone(), field)).collect(),
        like: None,
        profile: None,
        attempted: Vec::new(),
        imported: false,
        uses: Cell::new(0),
    }
}

pub(super) struct Binder<'v> {
    pub(super) model: Model<'v>,
    pub(super) copies: Copies,
    imports: Vec<(String, Span)>,
    full: bool,
    imported: bool,
    /// The block of which it was said that it holds too many fields.
    crowded: Option<FeatureId>,
    /// The last block that stands without braces, and whether it was said that what follows it needs them.
    bare: Option<(FeatureId, bool)>,
    /// Features that did not get what they were to copy: what else they lack follows from it.
    pub(super) lacking: HashSet<FeatureId>,
}

impl<'v> Binder<'v> {
    fn body(&mut self, body: Body, parent: FeatureId) {
        self.model.features[parent.0].attempted.extend(body.broken);
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
        if parent != Model::SHEET {
            let fault =
                Fault::new("misplaced-word", binding.span, "`let` stands at the top of a sheet, not in a block");
            self.model.report(fault.help("move it out of the braces"));
            return;
        }
        let Name { text, span } = binding.name;
        let Some(id) = self.add(block, (text, span), binding.span, parent) else { return };
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
        if let Some(block) = self.model.vocabulary.block(word) {
            if block.stands_in.contains(&outer.name) {
                self.block(clause, block, parent);
            } else if let Some(bare) = self.bare_before(parent, word) {
                self.unbraced(clause, bare);
            } else {
                self.misplaced(&clause, block, parent);
            }
            return;
        }
        match &outer.open {
            Some(_) if self.model.feature(parent).fields.len() >= limits::OPEN_FIELDS + outer.fields.len() => {
                self.too_many_fields(&clause, parent);
            }
            Some(open) => {
                self.model.features[parent.0].fields.push(Field::new(word, open));
                let index = self.model.feature(parent).fields.len() - 1;
                self.field(clause, parent, index);
            }
            None => match self.bare_before(parent, word) {
                Some(bare) => self.unbraced(clause, bare),
                None => self.unknown_word(&clause, parent),
            },
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

    /// Says once that a block lacks its braces, and takes what follows as if they were there.
    fn unbraced(&mut self, clause: Clause, bare: FeatureId) {
        if self.bare == Some((bare, false)) {
            let feature = self.model.feature(bare);
            let called = match feature.block.naming {
                Naming::None => feature.block.name.to_string(),
                _ => format!("{} {}", feature.block.name, feature.name),
            };
            let message = format!("`{}` belongs inside `{called}`, which opens no brace", clause.head.text);
            let fault = Fault::new("misplaced-word", clause.head.span, message).label("in the wrong place");
            let fault = fault.also(feature.span, "no `{` here");
            self.model.report(fault.help(format!("write `{called} {{`, and `}}` where it ends")));
        }
        self.clause(clause, bare);
        self.bare = Some((bare, true));
    }

    /// Said once; what follows is passed over.
    fn too_many_fields(&mut self, clause: &Clause, parent: FeatureId) {
        if self.crowded != Some(parent) {
            self.crowded = Some(parent);
            let kind = &self.model.feature(parent).block.name;
            let message = format!("more than {} fields in one `{kind}`", limits::OPEN_FIELDS);
            let fault = Fault::new("too-deep", clause.head.span, message).label("no more from here on");
            self.model.report(fault.help("split it into several blocks"));
        }
    }

    pub(super) fn known_field(&self, id: FeatureId, word: &str) -> Option<usize> {
        self.model.feature(id).fields.iter().position(|field| field.name == word)
    }

    // ---- fields ----------------------------------------------------------------------------

    fn field(&mut self, clause: Clause, id: FeatureId, index: usize) {
        if let Some(body) = &clause.body {
            let at = body.statements.first().map_or(clause.span, statement_span);
            let message = format!("`{}` is a field: it takes a value, not a block", clause.head.text);
            let about = self.model.feature(id).fields[index].about;
            let mut fault = Fault::new("wrong-kind", at, message).help(format!("it takes {}", about.kind.describe()));
            if at != clause.span {
                fault = fault.also(clause.head.span, "this field");
            }
            self.model.report(fault);
            return;
        }
        let mut values = clause.values.into_iter();
        let Some(value) = values.next() else {
            let about = self.model.feature(id).fields[index].about;
            let message = format!("`{}` needs a value", clause.head.text);
            let help = format!("it takes {}", about.kind.describe());
            self.model.report(Fault::new("wrong-kind", clause.head.span, message).label("nothing follows").help(help));
            return;
        };
        let next = values.next();
        let class = next.as_ref().and_then(|next| self.class_of(id, index, next));
        if let Some(extra) = if class.is_some() { values.next() } else { next } {
            self.too_many(id, &clause.head, &value, &extra);
        }
        if self.set(id, index, clause.head.span, value)
            && let Some(written) = &mut self.model.features[id.0].fields[index].written
        {
            written.class = class;
        }
    }

    /// The tolerance class that a quantity's second value is: the `H7` of `22 mm H7`.
    fn class_of(&self, id: FeatureId, index: usize, value: &Value) -> Option<Name> {
        let kind = &self.model.feature(id).fields[index].about.kind;
        let quantity = matches!(kind, FieldKind::Quantity(Some(_)) | FieldKind::Dimension | FieldKind::Any);
        let word = word_of(value).filter(|word| quantity && looks_like_class(word))?;
        Some(Name { text: word.to_owned(), span: value.span })
    }

    fn too_many(&mut self, id: FeatureId, head: &Name, first: &Value, extra: &Value) {
        let message = format!("`{}` takes one value", head.text);
        let word = word_of(extra).unwrap_or_default();
        let help = if self.known_field(id, word).is_some() {
            self.model.features[id.0].attempted.push(word.to_owned());
            format!("`{word}` is a field of its own: put it on its own line, or after `;`")
        } else if matches!(first.kind, ValueKind::Measured { .. }) {
            "put a comma and a space between readings: `measured 2.02, 1.98 mm`".into()
        } else if is_number(first) && !word.is_empty() {
            format!("`{word}` is no unit; put a second field on its own line or after `;`")
        } else {
            "put a second field on its own line, or after `;`".into()
        };
        let fault = Fault::new("wrong-kind", extra.span, message).label("one too many");
        self.model.report(fault.also(first.span, "its value").help(help));
    }

    /// Gives a field its value; a second one is reported and not taken.
    fn set(&mut self, id: FeatureId, index: usize, name_span: Span, value: Value) -> bool {
        let field = &mut self.model.features[id.0].fields[index];
        if let Some(earlier) = &field.written {
            let message = format!("`{}` is given twice", field.name);
            let fault = Fault::new("duplicate-name", name_span, message).label("again here");
            let fault = fault.also(earlier.name_span, "first given here").help("keep one of them");
            self.model.report(fault);
            return false;
        }
        field.written = Some(Written { name_span, value: Rc::new(value), class: None, scope: id });
        true
    }

    // ---- blocks ----------------------------------------------------------------------------

    fn block(&mut self, clause: Clause, block: &'v Block, parent: FeatureId) {
        if self.imported && !is_shared(block) {
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
        let Some(id) = self.add(block, name, clause.span, parent) else { return };
        self.head(&clause, values, block, id);
        if block.act == Act::Imports {
            self.remember_import(id);
        }
        match (&block.profile, clause.like) {
            (Some(section), like) => self.pick_profile(id, section, like.as_ref()),
            (None, Some(from)) => self.remember_copy(id, from),
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
            // A title in quotes serves as the name in reports.
            let title = values.first().and_then(|value| match &value.kind {
                ValueKind::Plain(expr) => match &expr.kind {
                    ExprKind::Text(text) => Some((text.clone(), value.span)),
                    _ => None,
                },
                _ => None,
            });
            return Some(title.unwrap_or(default));
        }
        let word = values.first().and_then(|value| Some((word_of(value)?.to_owned(), value.span)));
        match (word, block.naming) {
            (Some(name), _) => {
                values.remove(0);
                Some(name)
            }
            (None, Naming::Optional) => Some(default),
            (None, _) => {
                let at = values.first().map_or(clause.head.span, |value| value.span);
                let example = block.example.as_deref().and_then(|text| text.lines().next()).unwrap_or(kind);
                let fault = Fault::new("missing-name", at, format!("this `{kind}` has no name"))
                    .label("its name goes after the word")
                    .help(format!("write it like `{example}`"));
                self.model.report(fault);
                None
            }
        }
    }

    /// What follows a block's word: values in the order of the vocabulary, then named ones.
    fn head(&mut self, clause: &Clause, values: Vec<Value>, block: &'v Block, id: FeatureId) {
        let mut next = block.fields.iter().enumerate().filter(|(_, field)| field.head == Head::Next);
        let mut values = values.into_iter().peekable();
        while let Some(value) = values.next() {
            let named = word_of(&value).and_then(|word| {
                let is_named = |field: &crate::vocabulary::Field| field.head == Head::Named && field.name == word;
                block.fields.iter().position(is_named)
            });
            match (named, values.peek().is_some()) {
                (Some(index), true) => {
                    if let Some(given) = values.next() {
                        self.set(id, index, value.span, given);
                    }
                }
                _ => {
                    if let Some((index, _)) = next.next() {
                        self.set(id, index, clause.head.span, value);
                    } else {
                        self.unexpected(clause, block, &value);
                        return;
                    }
                }
            }
        }
    }

    fn unexpected(&mut self, clause: &Clause, block: &Block, value: &Value) {
        let message = format!("`{}` does not take this on its first line", clause.head.text);
        let fault = Fault::new("wrong-kind", value.span, message).label("unexpected");
        let example = block.example.as_deref().unwrap_or_default();
        let word = word_of(value).unwrap_or_default();
        let inside = block.fields.iter().any(|field| field.name == word);
        let named = block.fields.iter().filter(|field| field.head == Head::Named).map(|field| field.name.as_str());
        let help = if let Some(near) = nearest(word, named.clone())
            .or_else(|| named.clone().find(|name| !word.is_empty() && name.starts_with(word)))
        {
            format!("did you mean `{near}`?")
        } else if inside {
            format!("put `{word}` inside braces: `{} {{ {word} … }}`", clause.head.text)
        } else {
            format!("write it like `{}`", example.lines().next().unwrap_or_default())
        };
        self.model.report(fault.help(help));
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
            let message = format!("more than {} features, copies included", limits::FEATURES);
            self.model
                .report(Fault::new("too-deep", span, message).label("no more from here on").help("split the sheet"));
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

    fn same_name(&mut self, name: &(String, Span), earlier: FeatureId) {
        let first = self.model.feature(earlier);
        let message = format!("there are two features called `{}` here", name.0);
        let fault = Fault::new("duplicate-name", name.1, message)
            .label("again here")
            .also(first.name_span, format!("first a `{}` here", first.block.name))
            .help("give one of them another name");
        self.model.report(fault);
    }

    fn twice(&mut self, clause: &Clause, block: &Block, earlier: FeatureId) {
        let first = self.model.feature(earlier).span;
        let message = format!("`{}` is stated twice", block.name);
        let fault = Fault::new("duplicate-name", clause.span, message).label("again here");
        self.model.report(fault.also(first, "first stated here").help("keep one of them"));
    }

    fn misplaced(&mut self, clause: &Clause, block: &Block, parent: FeatureId) {
        let outer = &self.model.feature(parent).block.name;
        let place =
            |name: &str| if name == "sheet" { "at the top of a sheet".to_owned() } else { format!("in {}", a(name)) };
        let places: Vec<String> = block.stands_in.iter().map(|name| place(name)).collect();
        let message = format!("`{}` stands {}, not {}", block.name, places.join(" or "), place(outer));
        self.model.report(
            Fault::new("misplaced-word", clause.head.span, message).label("in the wrong place").help(block.doc.clone()),
        );
    }

    fn unknown_word(&mut self, clause: &Clause, parent: FeatureId) {
        let outer = self.model.feature(parent).block;
        let vocabulary = self.model.vocabulary;
        let word = &clause.head.text;
        let is_sheet = parent == Model::SHEET;
        let fields = outer.fields.iter().filter(|_| !is_sheet).map(|field| field.name.as_str());
        let blocks: Vec<&str> = vocabulary.blocks_in(&outer.name).map(|block| block.name.as_str()).collect();
        let known: Vec<&str> = fields.chain(blocks).collect();
        let place = if is_sheet { "a sheet".to_owned() } else { a(&outer.name) };
        let elsewhere = vocabulary.blocks.iter().find(|block| block.fields.iter().any(|f| f.name == *word));
        let near = nearest(word, known.iter().copied());
        if let Some(near) = near {
            // A misspelled field is not missing besides.
            let near = near.to_owned();
            self.model.features[parent.0].attempted.push(near);
        }
        let help = match (near, elsewhere) {
            (Some(near), _) => format!("did you mean `{near}`?"),
            (None, Some(block)) => {
                format!("`{word}` is a field of `{}`; {place} takes {}", block.name, known.join(", "))
            }
            (None, None) => format!("{place} takes {}", known.join(", ")),
        };
        let fault = Fault::new("unknown-word", clause.head.span, format!("{place} has no `{word}`"));
        self.model.report(fault.label("unknown word").help(help));
    }

    // ---- profiles --------------------------------------------------------------------------

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
        let names = known.into_iter().flat_map(|known| known.keys().map(crate::pack::Words::as_str));
        let help = did_you_mean(&name, names.clone());
        let all =
            || format!("there are {}; `like` makes one of your own from them", names.collect::<Vec<_>>().join(", "));
        let message = format!("there is no {} `{name}`", feature.block.name);
        let fault = Fault::new("unknown-name", at, message).label("unknown name");
        self.model.report(fault.help(help.unwrap_or_else(all)));
    }

    // ---- other sheets ----------------------------------------------------------------------

    fn remember_import(&mut self, id: FeatureId) {
        let written = self.model.feature(id).fields.first().and_then(|field| field.written.as_ref());
        let Some(written) = written else { return };
        if let ValueKind::Plain(expr) = &written.value.kind
            && let ExprKind::Text(file) = &expr.kind
        {
            self.imports.push((file.clone(), written.value.span));
        }
    }

    fn import_all(&mut self, importer: &dyn Importer) {
        self.imported = true;
        let mut count = 0;
        while let Some((file, at)) = self.imports.pop() {
            count += 1;
            if count > limits::IMPORTS {
                let message = format!("more than {} sheets use each other", limits::IMPORTS);
                self.model.report(Fault::new("unusable-sheet", at, message));
                return;
            }
            match importer.import(&file, at) {
                Ok(Some((body, faults))) => {
                    for fault in faults {
                        self.model.report(fault);
                    }
                    self.body(body, Model::SHEET);
                }
                Ok(None) => {}
                Err(fault) => self.model.report(fault),
            }
        }
    }
}

/// What `use` brings in: what is bought, what it is made of and with, and names.
/// A block's word with its article.
fn a(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} `{word}`")
}

fn is_shared(block: &Block) -> bool {
    block.open.is_some() || block.profile.is_some() || matches!(block.act, Act::Imports | Act::Binds)
}

fn statement_span(statement: &Statement) -> Span {
    match statement {
        Statement::Let(binding) => binding.span,
        Statement::Clause(clause) => clause.span,
    }
}

/// The single word that a value is.
fn word_of(value: &Value) -> Option<&str> {
    match &value.kind {
        ValueKind::Plain(expr) => expr.word(),
        _ => None,
    }
}

fn is_number(value: &Value) -> bool {
    matches!(&value.kind, ValueKind::Plain(expr) if matches!(expr.kind, ExprKind::Number { unit: None, .. }))
}

impl Model<'_> {
    fn check_required(&self, lacking: &HashSet<FeatureId>) {
        for (id, feature) in self.ids() {
            // A sheet need not have a title to be checked; a `sheet` line must have one.
            if id == Self::SHEET || lacking.contains(&id) {
                continue;
            }
            for field in feature.fields.iter().filter(|field| field.about.required) {
                if field.written.is_none() && !feature.attempted.contains(&field.name) {
                    self.report(missing(feature, field));
                }
            }
        }
    }

    /// Works out every value that the sheet states, so that all its faults show.
    fn evaluate_written(&self) {
        for (id, feature) in self.ids() {
            for field in feature.fields.iter().filter(|field| field.written.is_some()) {
                // The fault, if there is one, is reported by the model itself.
                let _ = self.value_of(id, field);
            }
        }
    }
}

fn missing(feature: &Feature, field: &Field) -> Fault {
    let named = if feature.name == feature.block.name { String::new() } else { format!(" `{}`", feature.name) };
    let message = format!("the {}{named} does not say its `{}`", feature.block.name, field.name);
    let kind = match &field.about.kind {
        FieldKind::Text => "a text in quotes".to_owned(),
        kind => kind.describe(),
    };
    Fault::new("missing-field", feature.name_span, message)
        .label(format!("no `{}`", field.name))
        .help(format!("add `{} …`: {} It takes {kind}.", field.name, field.about.doc))
}
