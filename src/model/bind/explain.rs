//! The binder's faults, worded in the sheet's terms.

use super::{Binder, word_of};
use crate::fault::{Fault, nearest};
use crate::model::{FeatureId, Model, limits};
use crate::source::Span;
use crate::syntax::tree::{Clause, Value};
use crate::vocabulary::{Block, Head, Naming};

impl<'v> Binder<'v> {
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
        let places: Vec<String> = block.stands_in.iter().map(|name| place(name)).collect();
        let message = format!("`{}` stands {}, not {}", block.name, places.join(" or "), place(outer));
        self.model.report(
            Fault::new("misplaced-word", clause.head.span, message).label("in the wrong place").help(block.doc.clone()),
        );
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
}

/// A block's word with its article.
fn a(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} `{word}`")
}
