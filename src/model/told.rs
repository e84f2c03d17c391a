//! What a sheet tells in words of its own: what its parts are called, their titles, lettering and reasons.

use std::sync::{Arc, OnceLock};

use super::{Feature, FeatureId, Model, Value};
use crate::source::{Span, words};
use crate::vocabulary::{Act, FieldKind};

/// The texts of a sheet, taken apart into words.
#[derive(Debug, Default)]
pub struct Told {
    /// In the order of the features; of each its name first.
    pub texts: Vec<ToldText>,
    /// Every word in them, sorted.
    pub words: Vec<String>,
    /// What of it the table of dangers has, once that was asked for.
    pub dangers: OnceLock<Dangers>,
    /// The fields that they were read from.
    read: Vec<(FeatureId, usize)>,
}

/// What of a sheet's words the table of dangers has.
#[derive(Debug)]
#[non_exhaustive]
pub struct Dangers {
    /// The rows that are in them, with their words.
    pub rows: Vec<(usize, Vec<String>)>,
    /// The words of each text, without those that tell of no danger where they are in a row.
    pub texts: Vec<Vec<String>>,
}

/// One text.
#[derive(Debug)]
#[non_exhaustive]
pub struct ToldText {
    /// Whether it is of the sheet or of a part, and so says what it is for.
    pub is_title: bool,
    /// Its words and numbers in small letters.
    pub words: Vec<String>,
    /// Where it is written.
    pub at: Span,
}

impl Model<'_> {
    /// What the sheet tells in words: worked out when it is first asked for.
    pub fn told(&self) -> Arc<Told> {
        let known = self.told.borrow().clone();
        if let Some(known) = known {
            for (id, index) in &known.read {
                self.note_read(*id, &self.feature(*id).fields[*index]);
            }
            return known;
        }
        let mut told = Told::default();
        for (id, feature) in self.ids().filter(|(_, feature)| feature.tells()) {
            self.tell(id, feature, &mut told);
        }
        told.words.sort_unstable();
        told.words.dedup();
        let told = Arc::new(told);
        self.told.replace(Some(Arc::clone(&told)));
        told
    }

    fn tell(&self, id: FeatureId, feature: &Feature, told: &mut Told) {
        let is_title = id == Self::SHEET || feature.parent == Some(Self::SHEET);
        let mut add = |text: &str, at: Span| {
            let words = words(text);
            told.words.extend(words.iter().cloned());
            told.texts.push(ToldText { is_title, words, at });
        };
        add(&feature.name, feature.name_span);
        let is_text = |index: &usize| {
            let field = &feature.fields[*index];
            field.written.is_some() && field.about.kind == FieldKind::Text
        };
        for index in (0..feature.fields.len()).filter(is_text) {
            if let Ok(Value::Text(text)) = self.value_of(id, &feature.fields[index]) {
                add(&text, self.place_of(id, &feature.fields[index]));
            }
            told.read.push((id, index));
        }
    }
}

impl Feature<'_> {
    /// Whether what it is called or says tells what the parts are for.
    fn tells(&self) -> bool {
        !self.imported && matches!(self.block.act, Act::Holds | Act::Describes)
    }
}
