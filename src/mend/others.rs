//! Changes of something other than a number: a standard size by its name, a word, the material.

use std::sync::Arc;

use super::advisor::{Advisor, Case};
use super::candidate::Candidate;
use super::driving::{OWN, last_said};
use super::offer::{Change, Kind, put_behind};
use crate::model::{FeatureId, Field, Value, Variation};
use crate::pack::Words;
use crate::rules::{Closeness, Standing, field_named};
use crate::source::Span;
use crate::syntax::edit::Edit;
use crate::syntax::tree::{self, Expr, ExprKind};
use crate::vocabulary::{FieldKind, Sort};

impl Advisor<'_> {
    /// The nearest standard sizes, smaller and larger, in the tables of the named sizes that the rule
    /// lets change.
    pub(super) fn sized(&mut self, case: Case) -> Vec<Candidate> {
        let mut found = Vec::new();
        for (order, formula) in case.rule.change.iter().enumerate() {
            let Some(field) = field_named(&self.model, case.feature, formula) else { continue };
            let Some(named) = self.named_size(field) else { continue };
            let (smaller, larger) = (named.rows[..named.now].iter().rev(), named.rows[named.now + 1..].iter());
            let sides: [Vec<&(String, f64)>; 2] = [smaller.collect(), larger.collect()];
            for side in sides {
                let nearest = side.into_iter().find_map(|(name, value)| {
                    let change = named.changed_to(name, field);
                    let standing = self.stands(case, std::slice::from_ref(&change.variation), Closeness::Full)?;
                    standing.is_free().then_some((change, standing, *value))
                });
                found.extend(nearest.map(|(change, standing, value): (Change, Standing, f64)| {
                    let size = (value / named.rows[named.now].1).ln().abs();
                    Candidate { kind: Kind::Dimension, changes: vec![change], standing, size, most: size, order }
                }));
            }
        }
        found
    }

    /// Another word of a sort, where the rule lets one change: a flag the other way, any other of the words
    /// that there are.
    pub(super) fn worded(&mut self, case: Case, sort: Sort) -> Vec<Candidate> {
        let kind = if sort == Sort::Claimed { Kind::Claim } else { Kind::Word };
        let mut found = Vec::new();
        for (order, formula) in case.rule.change.iter().enumerate() {
            let Some(place) = field_named(&self.model, case.feature, formula) else { continue };
            if self.model.feature(place.0).fields[place.1].about.sort != sort {
                continue;
            }
            for change in self.other_words(place) {
                let standing = self.stands(case, std::slice::from_ref(&change.variation), Closeness::Full);
                if let Some(standing) = standing.filter(Standing::is_free) {
                    found.push(Candidate { kind, changes: vec![change], standing, size: 0.0, most: 0.0, order });
                }
            }
        }
        found
    }

    /// The changes of a field that takes words to each of the others.
    fn other_words(&self, (id, index): (FeatureId, usize)) -> Vec<Change> {
        let field = &self.model.feature(id).fields[index];
        let words: Vec<&str> = match &field.about.kind {
            FieldKind::Flag => vec!["yes", "no"],
            FieldKind::Word(words) if field.about.sizes.is_none() => words.iter().map(Words::as_str).collect(),
            _ => return Vec::new(),
        };
        let now = match self.model.value_of(id, field) {
            Ok(Value::Flag(flag)) => if flag { "yes" } else { "no" }.to_owned(),
            Ok(Value::Text(word)) => word.to_string(),
            _ => String::new(),
        };
        let Some(span) = self.said(id, field) else { return Vec::new() };
        let from = if now.is_empty() { "unsaid" } else { &now };
        let name = self.model.field_path(id, field);
        let change = |to: &str| {
            let edit = match (&field.written, last_said(&self.model, id)) {
                (Some(_), _) => Edit { start: span.start as usize, end: span.end as usize, text: to.to_owned() },
                (None, Some((after, end))) => put_behind(self.text, after.range(), end as usize, (&field.name, to)),
                (None, None) => return None,
            };
            let value = Arc::new(word(to, span));
            let variation = Variation::Says { feature: id, field: index, value };
            Some(Change { name: name.clone(), from: from.to_owned(), to: to.to_owned(), value: None, edit, variation })
        };
        words.into_iter().filter(|word| **word != now).filter_map(change).collect()
    }

    /// Where a field of this sheet's own says something, or would.
    fn said(&self, id: FeatureId, field: &Field) -> Option<Span> {
        match &field.written {
            Some(written) => (written.scope == id && written.value.span.source == OWN).then_some(written.value.span),
            None => last_said(&self.model, id).map(|(_, end)| OWN.span(end as usize..end as usize)),
        }
    }

    /// A field that names a standard size, with the sizes of its table.
    fn named_size(&self, (id, index): (FeatureId, usize)) -> Option<NamedSize> {
        let field = &self.model.feature(id).fields[index];
        let written = field.written.as_ref().filter(|written| written.value.span.source == OWN)?;
        let FieldKind::Word(_) = &field.about.kind else { return None };
        let table = self.model.vocabulary.tables.get(field.about.sizes.as_deref()?)?;
        let (column, _) = table.columns.first()?;
        let row = |name: &str| Some((name.to_owned(), table.number(name, column).ok()?.value));
        let mut rows: Vec<(String, f64)> = table.rows.iter().filter_map(|name| row(name)).collect();
        rows.sort_by(|a, b| a.1.total_cmp(&b.1));
        let word = match &written.value.kind {
            tree::ValueKind::Plain(expr) => expr.word()?,
            _ => return None,
        };
        let now = rows.iter().position(|(name, _)| name.eq_ignore_ascii_case(word))?;
        Some(NamedSize { path: self.model.field_path(id, field), span: written.value.span, rows, now })
    }

    /// The other materials at hand that would cure it.
    pub(super) fn materials(&mut self, case: Case) -> Vec<Candidate> {
        let mut found = Vec::new();
        for (order, change) in self.other_materials(case.feature).into_iter().enumerate() {
            let with = std::slice::from_ref(&change.variation);
            let Some(standing) = self.stands(case, with, Closeness::Full).filter(Standing::is_free) else {
                continue;
            };
            // Among materials, the one that leaves most room.
            let size = 1.0 - standing.share.clamp(0.0, 1.0);
            found.push(Candidate { kind: Kind::Material, changes: vec![change], standing, size, most: 0.0, order });
        }
        found
    }

    /// The material that applies to a feature, exchanged for each of the others.
    pub(super) fn other_materials(&self, feature: FeatureId) -> Vec<Change> {
        const SECTION: &str = "materials";
        let model = &self.model;
        let own = model.outward(feature).find_map(|id| {
            let children = &model.feature(id).children;
            children.iter().find(|child| model.feature(*child).block.profile.as_deref() == Some(SECTION))
        });
        let Some(id) = own else { return Vec::new() };
        let block = model.feature(id);
        // Its own values would not go with another polymer's.
        let plain = block.profile.as_deref() == Some(block.name.as_str())
            && block.fields.iter().all(|field| field.written.is_none())
            && block.name_span.source == OWN;
        if !plain {
            return Vec::new();
        }
        let names = model.vocabulary.profiles.get(SECTION).into_iter().flat_map(|profiles| profiles.keys());
        let change = |name: &crate::pack::Words| Change {
            name: block.block.name.to_string(),
            from: block.name.clone(),
            to: name.to_string(),
            value: None,
            edit: Edit {
                start: block.name_span.start as usize,
                end: block.name_span.end as usize,
                text: name.to_string(),
            },
            variation: Variation::Profile { feature: id, name: name.to_string() },
        };
        names.filter(|name| **name != block.name).map(change).collect()
    }
}

/// A word as it would be written at a place.
fn word(text: &str, span: Span) -> tree::Value {
    let name = tree::Name::new(text, span);
    let expr = Expr { kind: ExprKind::Path(tree::Path { names: vec![name], span }), span };
    tree::Value { kind: tree::ValueKind::Plain(expr), span }
}

/// A standard size by its name.
struct NamedSize {
    /// The field.
    path: String,
    /// Where it is said.
    span: Span,
    /// The sizes of the table, from the smallest.
    rows: Vec<(String, f64)>,
    /// Which of them is said.
    now: usize,
}

impl NamedSize {
    /// The change to another size.
    fn changed_to(&self, name: &str, (feature, field): (FeatureId, usize)) -> Change {
        let value = Arc::new(word(name, self.span));
        Change {
            name: self.path.clone(),
            from: self.rows[self.now].0.clone(),
            to: name.to_owned(),
            value: None,
            edit: Edit { start: self.span.start as usize, end: self.span.end as usize, text: name.to_owned() },
            variation: Variation::Says { feature, field, value },
        }
    }
}
