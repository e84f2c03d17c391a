//! The binder's faults, worded in the sheet's terms.

use std::collections::HashMap;

use super::{Binder, word_of};
use crate::fault::{Beside, Code, Form, Remedy, WordFault, near, nearest};
use crate::model::{FeatureId, Field, Model, limits};
use crate::quantity::Unit;
use crate::source::Span;
use crate::syntax::tree::{Clause, ExprKind, Name, Value, ValueKind};
use crate::vocabulary::{Block, FieldKind, Head, Naming};

impl Binder<'_> {
    /// Says once that a block lacks its braces, and takes what follows as if they were there.
    pub(super) fn unbraced(&mut self, clause: Clause, bare: FeatureId) {
        if self.bare == Some((bare, false)) {
            let feature = self.model.feature(bare);
            let called = match feature.block.naming {
                Naming::None => feature.block.name.to_string(),
                _ => format!("{} {}", feature.block.name, feature.name),
            };
            let code = WordFault::OutsideBraces { word: clause.head.text.clone(), block: called };
            self.model.report(code.at(clause.head.span).also(feature.span, Beside::NoBrace));
        }
        self.clause(clause, bare);
        self.bare = Some((bare, true));
    }

    /// A word of before: taken as the word of now.
    pub(super) fn old_word(&mut self, word: &Name, now: &str) {
        self.model.report(WordFault::OldWord { word: word.text.clone(), now: now.into() }.at(word.span));
    }

    /// Said once; what follows is passed over.
    pub(super) fn too_many_fields(&mut self, clause: &Clause, parent: FeatureId) {
        if self.crowded != Some(parent) {
            self.crowded = Some(parent);
            let block = self.model.feature(parent).block.name.to_string();
            self.model.report(WordFault::TooManyFields { most: limits::OPEN_FIELDS, block }.at(clause.head.span));
        }
    }

    pub(super) fn unexpected(&mut self, clause: &Clause, block: &Block, value: &Value) {
        let is_block = block.naming != Naming::Required && block.fields.iter().all(|field| field.head == Head::Inside);
        let example = block.example.as_deref().and_then(|example| example.lines().next()).map(str::to_owned);
        let word = word_of(value).unwrap_or_default();
        let inside = block.fields.iter().any(|field| field.name == word);
        let named = block.fields.iter().filter(|field| field.head == Head::Named).map(|field| field.name.as_str());
        let first = || clause.values.first().and_then(word_of);
        let name = || first().filter(|_| block.naming != Naming::None).map(str::to_owned);
        let form = if let Some(near) = nearest(word, named.clone())
            .or_else(|| named.clone().find(|name| !word.is_empty() && name.starts_with(word)))
        {
            Form::Meant(word.into(), near.into())
        } else if inside {
            Form::Inside(name(), word.into())
        } else if let Some(field) = field_for(block, value) {
            Form::Field(name(), field)
        } else if let Some(name) = first().filter(|_| joins(block, word)) {
            Form::OneWord(name.into(), word.into())
        } else if is_block && clause.body.is_some() && block.naming == Naming::None && !word.is_empty() {
            Form::Nameless(example)
        } else {
            let name = if block.naming == Naming::None { "" } else { " NAME" };
            Form::Like(example.unwrap_or_else(|| format!("{}{name} {{ … }}", block.name)))
        };
        let code = WordFault::Unexpected { word: clause.head.text.clone(), is_block, form };
        self.model.report(code.at(value.span));
    }

    /// A title whose words are without quotes.
    pub(super) fn unquoted(&mut self, clause: &Clause, first: &Value, rest: &[Value]) {
        let all: Vec<&Value> = std::iter::once(first).chain(rest).collect();
        let words: Option<Vec<String>> = all.iter().map(|value| words_of(value)).collect();
        let at = rest.last().map_or(first.span, |last| first.span.to(last.span));
        let is_first = clause.values.first().is_some_and(|value| value.span == first.span);
        let text = words.map(|words| words.join(" "));
        let (word, opens) = (clause.head.text.clone(), clause.body.is_some());
        self.model.report(WordFault::NoQuotes { word, text, is_first, opens }.at(at));
    }

    /// `part "clip" {`: a name needs no quotes; it is taken as it was meant.
    pub(super) fn quoted_name(&mut self, clause: &Clause, block: &Block, value: &Value) -> Option<(String, Span)> {
        let ValueKind::Plain(expr) = &value.kind else { return None };
        let ExprKind::Text(text) = &expr.kind else { return None };
        if block.naming != Naming::Required {
            return None;
        }
        let letters = |c: char| if c.is_alphanumeric() { c.to_lowercase().next().unwrap_or(c) } else { '-' };
        let name: String = text.chars().map(letters).collect();
        let name = name.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
        if !name.starts_with(char::is_alphabetic) {
            return None;
        }
        let (kind, word) = (block.name.to_string(), clause.head.text.clone());
        self.model.report(WordFault::QuotedName { block: kind, word, name: name.clone() }.at(value.span));
        Some((name, value.span))
    }

    /// Where a block belongs that is in what it should be beside.
    fn beside(&self, block: &Block, parent: FeatureId) -> Option<String> {
        let inner = self.model.feature(parent);
        let outer = self.model.feature(inner.parent?);
        let called = |kind: &str, name: &str| if kind == name { kind.to_owned() } else { format!("{kind} {name}") };
        let fits = block.stands_in.contains(&outer.block.name);
        fits.then(|| called(&inner.block.name, &inner.name))
    }

    pub(super) fn same_name(&mut self, name: &(String, Span), earlier: FeatureId) {
        let first = self.model.feature(earlier);
        let fault = WordFault::SameName { name: name.0.clone(), block: first.block.name.to_string() }
            .at(name.1)
            .also(first.name_span, Beside::FirstOfKind(first.block.name.to_string()));
        self.model.report(fault);
    }

    pub(super) fn twice(&mut self, clause: &Clause, block: &Block, earlier: FeatureId) {
        let first = self.model.feature(earlier).span;
        let code = WordFault::StatedTwice { word: block.name.to_string() };
        self.model.report(code.at(clause.span).also(first, Beside::FirstStated));
    }

    pub(super) fn misplaced(&mut self, clause: &Clause, block: &Block, parent: FeatureId) {
        let at_top = block.stands_in.iter().any(|name| name == "sheet");
        // More of them in one block follow from one brace that is missing.
        if !at_top || self.swallowed.insert(parent) {
            let outer = self.model.feature(parent);
            let own = self.model.vocabulary.habit(&format!("{}.{}", outer.block.name, clause.head.text));
            let remedy = match self.beside(block, parent) {
                _ if own.is_some() => Remedy::Habit(own.unwrap_or_default().to_owned()),
                _ if at_top => Remedy::MoveOut,
                Some(beside) => Remedy::Behind(beside),
                None => Remedy::Into(block.doc.to_string()),
            };
            let places = block.stands_in.iter().map(ToString::to_string).collect();
            let found_in = outer.block.name.to_string();
            let fault =
                WordFault::Misplaced { word: block.name.to_string(), places, found_in, remedy }.at(clause.head.span);
            self.model.report(if at_top { fault.also(outer.span, Beside::Inside) } else { fault });
        }
        self.mention_all(clause);
        // What it would have been called is not unknown besides.
        let name = clause.values.first().and_then(word_of).map(str::to_owned);
        let around: Vec<FeatureId> = self.model.outward(parent).collect();
        for id in around {
            self.model.features[id.0].attempted.extend(name.iter().cloned().chain([clause.head.text.clone()]));
        }
    }

    /// The fields that a feature must have and lacks.
    fn lacking(&self, id: FeatureId) -> Vec<&Field<'_>> {
        let feature = self.model.feature(id);
        let lacks = |field: &&Field| {
            field.about.required && field.written.is_none() && !feature.attempted.contains(&field.name)
        };
        feature.fields.iter().filter(lacks).filter(|_| id != Model::SHEET && !feature.incomplete).collect()
    }

    pub(super) fn unknown_word(&mut self, clause: &Clause, parent: FeatureId) {
        let outer = self.model.feature(parent).block;
        let vocabulary = self.model.vocabulary;
        let word = &clause.head.text;
        let is_sheet = parent == Model::SHEET;
        let fields = outer.fields.iter().filter(|_| !is_sheet).map(|field| field.name.as_str());
        let blocks: Vec<&str> = vocabulary.blocks_in(&outer.name).map(|block| block.name.as_str()).collect();
        let known: Vec<&str> = fields.chain(blocks).collect();
        let has = |block: &&Block| block.fields.iter().any(|field| field.name == *word);
        // What a sheet or part has once is likely meant.
        let inside =
            vocabulary.blocks_in(&outer.name).filter(|block| block.single || block.profile.is_some()).find(has);
        let elsewhere = inside.or_else(|| vocabulary.blocks.iter().find(has));
        let habit = vocabulary.habit_in(&outer.name, word);
        let near = near(word, known.iter().copied()).filter(|_| habit.is_none());
        let is_near = near.is_some();
        if let Some(near) = &near {
            // A misspelled field is not missing besides.
            self.model.features[parent.0].attempted.insert(near.clone());
            if clause.body.is_some() {
                let name = clause.values.first().and_then(word_of).map(str::to_owned);
                self.model.features[parent.0].attempted.extend(name);
            }
        }
        // Whoever uses it need not be told again.
        self.model.features[parent.0].attempted.insert(word.clone());
        self.mention_all(clause);
        let code = WordFault::UnknownWord {
            word: word.clone(),
            block: (!is_sheet).then(|| outer.name.to_string()),
            known: known.into_iter().map(str::to_owned).collect(),
            near,
            field_of: elsewhere.map(|block| block.name.to_string()),
            goes_inside: inside.is_some(),
            stands_alone: clause.body.is_none() && clause.values.iter().all(|value| word_of(value).is_some()),
            lacking: None,
            habit: habit.map(str::to_owned),
        };
        let fault = code.at(clause.head.span);
        if is_near {
            self.model.report(fault);
        } else {
            let only = clause.values.first().filter(|_| clause.values.len() == 1 && clause.body.is_none());
            self.strange.push((parent, only.cloned(), fault));
        }
    }

    /// Tells of the words that resemble nothing; how many there are in each feature that may be meant for what it lacks.
    pub(super) fn tell_strange(&mut self) -> HashMap<FeatureId, usize> {
        let mut count = HashMap::new();
        for (id, value, mut fault) in std::mem::take(&mut self.strange) {
            let lacks = self.lacking(id);
            let may_be = |field: &&&Field| value.as_ref().is_none_or(|value| takes(&field.about.kind, value));
            let meant: Vec<&str> = lacks.iter().filter(may_be).map(|field| field.name.as_str()).collect();
            *count.entry(id).or_default() += usize::from(lacks.is_empty() || !meant.is_empty());
            if let (Code::Word(WordFault::UnknownWord { lacking, .. }), [only]) = (&mut fault.code, meant.as_slice()) {
                *lacking = value.filter(|_| lacks.len() == 1).map(|_| (*only).to_owned());
            }
            self.model.report(fault);
        }
        count
    }
}

/// Whether a field can take a value, as far as the value's unit tells.
fn takes(kind: &FieldKind, value: &Value) -> bool {
    let ValueKind::Plain(expr) = &value.kind else { return true };
    let ExprKind::Number { unit: Some(unit), .. } = &expr.kind else { return true };
    match (kind, Unit::named(&unit.text)) {
        (FieldKind::Quantity(Some(own)), Some(unit)) => own.dimension == unit.dimension,
        (FieldKind::Direction, Some(_)) => false,
        _ => true,
    }
}

/// Whether a second word on a block's first line is likely the rest of its name.
fn joins(block: &Block, word: &str) -> bool {
    block.naming != Naming::None && !word.is_empty()
}

/// The words of a value that should have been a text.
pub(super) fn words_of(value: &Value) -> Option<String> {
    let ValueKind::Plain(expr) = &value.kind else { return None };
    match &expr.kind {
        ExprKind::Path(path) => Some(path.text()),
        ExprKind::Number { value, unit } => {
            Some(unit.as_ref().map_or(value.to_string(), |unit| format!("{value} {}", unit.text)))
        }
        _ => None,
    }
}

/// The field of a block that a number with its unit, or one of its words, is likely meant for, with the value.
fn field_for(block: &Block, value: &Value) -> Option<String> {
    let ValueKind::Plain(expr) = &value.kind else { return None };
    if let Some(word) = expr.word() {
        let takes = |field: &&crate::vocabulary::Field| match &field.kind {
            FieldKind::Word(words) => field.head == Head::Inside && words.iter().any(|one| one == word),
            _ => false,
        };
        return block.fields.iter().find(takes).map(|field| format!("{} {word}", field.name));
    }
    let ExprKind::Number { value, unit: Some(unit) } = &expr.kind else { return None };
    let dimension = Unit::named(&unit.text)?.dimension;
    let fits = |field: &&crate::vocabulary::Field| match field.kind {
        FieldKind::Quantity(Some(unit)) => unit.dimension == dimension && field.head == Head::Inside,
        _ => false,
    };
    let field = block.fields.iter().filter(fits).max_by_key(|field| field.required)?;
    Some(format!("{} {value} {}", field.name, unit.text))
}
