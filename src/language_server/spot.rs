//! What is at a byte of a sheet.

use super::look::{Look, OWN};
use crate::model::{FeatureId, Model, Reference};
use crate::source::{Source, Span};
use crate::syntax::tree::{Body, Clause, ExprKind, Name, Path, Statement, Value, ValueKind};
use crate::vocabulary::{Act, FieldKind};

/// What is there, with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spot {
    pub(super) at: Span,
    pub(super) kind: SpotKind,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum SpotKind {
    /// The word of a kind of block.
    Block(String),
    /// A field, by its word or its value.
    Field(FeatureId, usize),
    /// A feature, by its own name.
    Feature(FeatureId),
    /// A feature or field, by a name in a calculation.
    Reference(Reference),
    /// A rule's name.
    Rule(String),
    /// A profile: its section and name.
    Profile(String, String),
    /// A function of calculations.
    Function(String),
    /// Another sheet.
    Sheet(String),
}

/// The sheet's tree, read anew.
pub(super) fn tree(look: &Look) -> Body {
    crate::syntax::sheet(&Source::new("", look.text), OWN).0
}

/// What is at a byte; `None` for blanks, comments and numbers outside of fields.
pub(super) fn spot(look: &Look, byte: usize) -> Option<Spot> {
    let byte = u32::try_from(byte).ok()?;
    Finder { look, model: &look.analysis.model, byte }.body(&tree(look))
}

struct Finder<'l> {
    look: &'l Look<'l>,
    model: &'l Model<'l>,
    byte: u32,
}

impl Finder<'_> {
    /// A place counts up to and with its end: that is where a cursor is after a word.
    fn is_in(&self, span: Span) -> bool {
        span.start <= self.byte && self.byte <= span.end
    }

    fn body(&self, body: &Body) -> Option<Spot> {
        body.statements.iter().find_map(|statement| match statement {
            Statement::Let(binding) if self.is_in(binding.name.span) => self.feature_called(&binding.name),
            Statement::Let(binding) if self.is_in(binding.value.span) => {
                let field =
                    self.field_with(|written, value| written == binding.name.span || value == binding.value.span);
                self.value(&binding.value, field)
            }
            Statement::Let(_) => None,
            Statement::Clause(clause) => self.clause(clause),
        })
    }

    fn clause(&self, clause: &Clause) -> Option<Spot> {
        let inner = || clause.body.as_ref().and_then(|body| self.body(body));
        if !self.is_in(clause.span) {
            return inner();
        }
        let vocabulary = self.model.vocabulary;
        // A block's first value counts as written with the block's own word.
        let is_own = |(id, index): &(FeatureId, usize)| {
            self.model.feature(*id).fields[*index].name == clause.head.text
                || vocabulary.block(&clause.head.text).is_none()
        };
        let field = self.field_with(|written, _| written == clause.head.span).filter(is_own);
        if self.is_in(clause.head.span) {
            let kind = match field {
                Some((id, index)) => SpotKind::Field(id, index),
                None => SpotKind::Block(vocabulary.block(&clause.head.text)?.name.to_string()),
            };
            return Some(Spot { at: clause.head.span, kind });
        }
        let value = clause.values.iter().find(|value| self.is_in(value.span));
        let Some(value) = value else {
            let like = clause.like.as_ref().filter(|like| self.is_in(like.span))?;
            let copy = self.model.ids().find(|(_, feature)| feature.span == clause.span);
            let around = copy.and_then(|(_, feature)| feature.parent).unwrap_or(Model::SHEET);
            return self.reference(like, self.model.references_of_copy(around, like));
        };
        let block = vocabulary.block(&clause.head.text).filter(|_| field.is_none());
        if let Some(section) = block.and_then(|block| block.profile.as_ref())
            && let Some(word) = word(value)
        {
            return Some(Spot { at: value.span, kind: SpotKind::Profile(section.to_string(), word.to_owned()) });
        }
        if block.is_some_and(|block| block.act == Act::Imports)
            && let ValueKind::Plain(expr) = &value.kind
            && let ExprKind::Text(path) = &expr.kind
        {
            return Some(Spot { at: value.span, kind: SpotKind::Sheet(path.clone()) });
        }
        self.feature_named(value.span).or_else(|| {
            let field = self.field_with(|_, written| written == value.span).or(field);
            self.value(value, field)
        })
    }

    /// A name in a value; the field that the value belongs to where it is none.
    fn value(&self, value: &Value, field: Option<(FeatureId, usize)>) -> Option<Spot> {
        if let Some((id, index)) = field
            && self.model.feature(id).fields[index].about.kind == FieldKind::Rule
            && let Some(word) = word(value)
        {
            return Some(Spot { at: value.span, kind: SpotKind::Rule(word.to_owned()) });
        }
        let mut found = None;
        let meant = |path: &Path| {
            let (id, index) = field?;
            self.reference(path, self.model.references(id, &self.model.feature(id).fields[index], path))
        };
        value.walk(&mut |expr| match &expr.kind {
            ExprKind::Path(path) if self.is_in(path.span) => found = meant(path),
            ExprKind::Call { name, .. } if self.is_in(name.span) => {
                found = Some(Spot { at: name.span, kind: SpotKind::Function(name.text.clone()) });
            }
            _ => {}
        });
        found.or_else(|| field.map(|(id, index)| Spot { at: value.span, kind: SpotKind::Field(id, index) }))
    }

    fn reference(&self, path: &Path, meant: Vec<Option<Reference>>) -> Option<Spot> {
        let (name, meant) = path.names.iter().zip(meant).find(|(name, _)| self.is_in(name.span))?;
        Some(Spot { at: name.span, kind: SpotKind::Reference(meant?) })
    }

    fn feature_called(&self, name: &Name) -> Option<Spot> {
        self.feature_named(name.span)
    }

    fn feature_named(&self, at: Span) -> Option<Spot> {
        let (id, _) = self.model.ids().find(|(_, feature)| feature.name_span == at && at.source == OWN)?;
        Some(Spot { at, kind: SpotKind::Feature(id) })
    }

    /// The field that is written at a place: the one of the feature that has it first, not of its copies.
    fn field_with(&self, is_meant: impl Fn(Span, Span) -> bool) -> Option<(FeatureId, usize)> {
        self.model.ids().find_map(|(id, feature)| {
            let is = |field: &crate::model::Field| {
                field.written.as_ref().is_some_and(|written| is_meant(written.name_span, written.value.span))
            };
            feature.fields.iter().position(is).map(|index| (id, index))
        })
    }
}

impl std::fmt::Debug for Finder<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Finder").field("byte", &self.byte).field("text", &self.look.text.len()).finish()
    }
}

fn word(value: &Value) -> Option<&str> {
    match &value.kind {
        ValueKind::Plain(expr) => expr.word(),
        _ => None,
    }
}
