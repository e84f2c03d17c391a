//! The binder's faults, worded in the sheet's terms.

use std::collections::HashMap;

use super::{Binder, word_of};
use crate::fault::{Fault, Help, exchange, meant, nearest};
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
            let message = format!("`{}` belongs inside `{called}`, which opens no brace", clause.head.text);
            let fault = Fault::new("misplaced-word", clause.head.span, message).label("in the wrong place");
            let fault = fault.also(feature.span, "no `{` here");
            self.model.report(fault.help(format!("write `{called} {{`, and `}}` where it ends")));
        }
        self.clause(clause, bare);
        self.bare = Some((bare, true));
    }

    /// A word of before: taken as the word of now.
    pub(super) fn old_word(&mut self, word: &Name, now: &str) {
        let fault = Fault::new("old-word", word.span, format!("`{}` is called `{now}` now", word.text));
        self.model.report(fault.label("the old word").help(exchange(
            &word.text,
            now,
            format!("write `{now}` in its place"),
        )));
    }

    /// Said once; what follows is passed over.
    pub(super) fn too_many_fields(&mut self, clause: &Clause, parent: FeatureId) {
        if self.crowded != Some(parent) {
            self.crowded = Some(parent);
            let kind = &self.model.feature(parent).block.name;
            let message = format!("more than {} fields in one `{kind}`", limits::OPEN_FIELDS);
            let fault = Fault::new("too-deep", clause.head.span, message).label("no more from here on");
            self.model.report(fault.help("split it into several blocks"));
        }
    }

    pub(super) fn unexpected(&mut self, clause: &Clause, block: &Block, value: &Value) {
        let is_block = block.naming != Naming::Required && block.fields.iter().all(|field| field.head == Head::Inside);
        let message = if is_block {
            format!("`{}` is a block: what it says stands in braces", clause.head.text)
        } else {
            format!("`{}` does not take this on its first line", clause.head.text)
        };
        let fault = Fault::new("wrong-kind", value.span, message).label("unexpected");
        let example = block.example.as_deref().unwrap_or_default();
        let word = word_of(value).unwrap_or_default();
        let inside = block.fields.iter().any(|field| field.name == word);
        let named = block.fields.iter().filter(|field| field.head == Head::Named).map(|field| field.name.as_str());
        let help: Help = if let Some(near) = nearest(word, named.clone())
            .or_else(|| named.clone().find(|name| !word.is_empty() && name.starts_with(word)))
        {
            meant(word, near)
        } else if inside {
            format!("put `{word}` inside braces: `{} {{ {word} … }}`", clause.head.text).into()
        } else if let Some(field) = field_for(block, value) {
            let name = clause.values.first().and_then(word_of).filter(|_| block.naming != Naming::None);
            let name = name.map_or(String::new(), |name| format!(" {name}"));
            format!("write `{}{name} {{ {field} }}`", clause.head.text).into()
        } else if let Some(name) = clause.values.first().and_then(word_of).filter(|_| joins(block, word)) {
            format!("a name is one word: `{name}-{word}`; fields stand in braces").into()
        } else {
            format!("write it like `{}`", example.lines().next().unwrap_or_default()).into()
        };
        self.model.report(fault.help(help));
    }

    /// A title whose words stand without quotes.
    pub(super) fn unquoted(&mut self, clause: &Clause, first: &Value, rest: &[Value]) {
        let all: Vec<&Value> = std::iter::once(first).chain(rest).collect();
        let words: Option<Vec<String>> = all.iter().map(|value| words_of(value)).collect();
        let at = rest.last().map_or(first.span, |last| first.span.to(last.span));
        let is_first = clause.values.first().is_some_and(|value| value.span == first.span);
        let what = if is_first { format!("{} ", clause.head.text) } else { String::new() };
        let text = words.map_or("…".into(), |words| words.join(" "));
        let fault = Fault::new("wrong-kind", at, format!("the text of `{}` stands in quotes", clause.head.text));
        let brace = if clause.body.is_some() { " {" } else { "" };
        self.model.report(fault.label("no quotes").help(format!("write `{what}\"{text}\"{brace}`")));
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
        let message = format!("the name of a `{}` stands without quotes", block.name);
        let fault = Fault::new("missing-name", value.span, message).label("quotes are for titles");
        self.model.report(fault.help(format!("write `{} {name}`: a name is one word", clause.head.text)));
        Some((name, value.span))
    }

    /// Where a block belongs that stands in what it should stand beside.
    fn beside(&self, block: &Block, parent: FeatureId) -> Option<String> {
        let inner = self.model.feature(parent);
        let outer = self.model.feature(inner.parent?);
        let called = |kind: &str, name: &str| if kind == name { kind.to_owned() } else { format!("{kind} {name}") };
        let fits = block.stands_in.contains(&outer.block.name);
        fits.then(|| format!("put it behind the `}}` of `{}`", called(&inner.block.name, &inner.name)))
    }

    pub(super) fn same_name(&mut self, name: &(String, Span), earlier: FeatureId) {
        let first = self.model.feature(earlier);
        let message = format!("there are two features called `{}` here", name.0);
        let fault = Fault::new("duplicate-name", name.1, message)
            .label("again here")
            .also(first.name_span, format!("first a `{}` here", first.block.name))
            .help("give one of them another name");
        self.model.report(fault);
    }

    pub(super) fn twice(&mut self, clause: &Clause, block: &Block, earlier: FeatureId) {
        let first = self.model.feature(earlier).span;
        let message = format!("`{}` is stated twice", block.name);
        let fault = Fault::new("duplicate-name", clause.span, message).label("again here");
        self.model.report(fault.also(first, "first stated here").help("keep one of them"));
    }

    pub(super) fn misplaced(&mut self, clause: &Clause, block: &Block, parent: FeatureId) {
        let outer = &self.model.feature(parent).block.name;
        let place =
            |name: &str| if name == "sheet" { "at the top of a sheet".to_owned() } else { format!("in {}", a(name)) };
        let at_top = block.stands_in.iter().any(|name| name == "sheet");
        // More of them in one block follow from one brace that is missing.
        if !at_top || self.swallowed.insert(parent) {
            let places = alternatives(block.stands_in.iter().map(|name| place(name)));
            let message = format!("`{}` stands {places}, not {}", block.name, place(outer));
            let mut fault = Fault::new("misplaced-word", clause.head.span, message).label("in the wrong place");
            let help = if at_top {
                fault = fault.also(self.model.feature(parent).span, "inside this");
                "move it out of the braces, or look for a `}` that is missing above it".to_owned()
            } else {
                self.beside(block, parent).unwrap_or_else(|| block.doc.to_string())
            };
            self.model.report(fault.help(help));
        }
        self.mention_all(clause);
        // What it would have been called is not unknown besides.
        let name = clause.values.first().and_then(word_of).map(str::to_owned);
        let around: Vec<FeatureId> = self.model.outward(parent).collect();
        for id in around {
            self.model.features[id.0].attempted.extend(name.iter().cloned().chain([clause.head.text.clone()]));
        }
    }

    /// The field that a feature must have and lacks, if it is only one.
    fn lacking(&self, id: FeatureId) -> Option<String> {
        let feature = self.model.feature(id);
        let lacks = |field: &&Field| {
            field.about.required && field.written.is_none() && !feature.attempted.contains(&field.name)
        };
        let mut lacking = feature.fields.iter().filter(lacks).filter(|_| id != Model::SHEET && !feature.incomplete);
        lacking.next().filter(|_| lacking.next().is_none()).map(|field| field.name.clone())
    }

    pub(super) fn unknown_word(&mut self, clause: &Clause, parent: FeatureId) {
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
        let is_near = near.is_some();
        if let Some(near) = near {
            // A misspelled field is not missing besides.
            let near = near.to_owned();
            self.model.features[parent.0].attempted.insert(near);
            if clause.body.is_some() {
                let name = clause.values.first().and_then(word_of).map(str::to_owned);
                self.model.features[parent.0].attempted.extend(name);
            }
        }
        // Whoever uses it need not be told again.
        self.model.features[parent.0].attempted.insert(word.clone());
        self.mention_all(clause);
        let help: Help = match (near, elsewhere) {
            (Some(near), _) => meant(word, near),
            (None, Some(block)) => {
                format!("`{word}` is a field of `{}`; {place} takes {}", block.name, known.join(", ")).into()
            }
            (None, None) if clause.values.is_empty() && clause.body.is_none() => {
                format!("a comment begins with `#`; {place} takes {}", known.join(", ")).into()
            }
            (None, None) => format!("{place} takes {}", known.join(", ")).into(),
        };

        let fault = Fault::new("unknown-word", clause.head.span, format!("{place} has no `{word}`"));
        let fault = fault.label("unknown word").help(help);
        if is_near {
            self.model.report(fault);
        } else {
            self.strange.push((parent, clause.values.len() == 1 && clause.body.is_none(), fault));
        }
    }

    /// Tells of the words that resemble nothing; how many there are in each feature.
    pub(super) fn tell_strange(&mut self) -> HashMap<FeatureId, usize> {
        let mut count = HashMap::new();
        for (id, is_value, fault) in std::mem::take(&mut self.strange) {
            *count.entry(id).or_default() += 1;
            let lacking = is_value.then(|| self.lacking(id)).flatten();
            let help = fault.help.as_ref().map_or(String::new(), |help| format!(" {help}"));
            self.model.report(match lacking {
                Some(lacking) => fault.help(format!("is it the `{lacking}`, which is missing?{help}")),
                None => fault,
            });
        }
        count
    }
}

/// A block's word with its article.
fn a(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} `{word}`")
}

/// `in a beam, in a strut or in a tie`
fn alternatives(places: impl Iterator<Item = String>) -> String {
    let mut all: Vec<String> = places.collect();
    let last = all.pop().unwrap_or_default();
    if all.is_empty() { last } else { format!("{} or {last}", all.join(", ")) }
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

/// The field of a block that a number with its unit is likely meant for, with the number.
fn field_for(block: &Block, value: &Value) -> Option<String> {
    let ValueKind::Plain(expr) = &value.kind else { return None };
    let ExprKind::Number { value, unit: Some(unit) } = &expr.kind else { return None };
    let dimension = Unit::named(&unit.text)?.dimension;
    let fits = |field: &&crate::vocabulary::Field| match field.kind {
        FieldKind::Quantity(Some(unit)) => unit.dimension == dimension && field.head == Head::Inside,
        _ => false,
    };
    let field = block.fields.iter().filter(fits).max_by_key(|field| field.required)?;
    Some(format!("{} {value} {}", field.name, unit.text))
}
