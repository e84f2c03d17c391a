//! What a sheet tells in words of its own: what its parts are called, their titles, lettering and reasons.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::{Feature, FeatureId, Model, Value};
use crate::vocabulary::{Act, FieldKind};

/// The texts of a sheet, taken apart into words.
#[derive(Debug, Default)]
pub struct Told {
    /// In the order of the features; of each its name first.
    pub texts: Vec<ToldText>,
    /// Every word in them.
    pub words: BTreeSet<String>,
    /// The fields that they were read from.
    read: Vec<(FeatureId, usize)>,
}

/// One text.
#[derive(Debug)]
pub struct ToldText {
    /// Whether it is of the sheet or of a part, and so says what it is for.
    pub is_title: bool,
    /// Its words and numbers in small letters.
    pub words: Vec<String>,
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
        let told = Arc::new(told);
        self.told.replace(Some(Arc::clone(&told)));
        told
    }

    fn tell(&self, id: FeatureId, feature: &Feature, told: &mut Told) {
        let is_title = id == Self::SHEET || feature.parent == Some(Self::SHEET);
        let mut add = |text: &str| {
            let words = words(text);
            told.words.extend(words.iter().cloned());
            told.texts.push(ToldText { is_title, words });
        };
        add(&feature.name);
        let is_text = |index: &usize| {
            let field = &feature.fields[*index];
            field.written.is_some() && field.about.kind == FieldKind::Text
        };
        for index in (0..feature.fields.len()).filter(is_text) {
            if let Ok(Value::Text(text)) = self.value_of(id, &feature.fields[index]) {
                add(&text);
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

/// A text's words and numbers in small letters; `230V` is two.
#[must_use]
pub fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut last = None;
    for sign in text.chars().flat_map(char::to_lowercase) {
        let kind = if sign.is_numeric() { Some(true) } else { sign.is_alphabetic().then_some(false) };
        if let (Some(word), true) = (words.last_mut(), kind.is_some() && kind == last) {
            word.push(sign);
        } else if kind.is_some() {
            words.push(sign.to_string());
        }
        last = kind;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn a_text_is_taken_apart_at_what_is_no_letter_and_before_and_after_numbers() {
        assert_eq!(words("Baby's 230V gas-tap"), ["baby", "s", "230", "v", "gas", "tap"]);
        assert_eq!(words("Türgriff"), ["türgriff"]);
    }
}
