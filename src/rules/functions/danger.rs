//! Words of danger in a sheet's title and names.

use super::{Form, Gives, Takes, word};
use crate::model::{Evaluation, Failure, Feature, Model, Value};
use crate::syntax::tree::Expr;
use crate::vocabulary::{Act, FieldKind, Table};

/// The table of the words.
const TABLE: &str = "words-of-danger";

pub(super) static FORMS: [Form; 1] = [Form {
    name: "named-danger",
    written: "named-danger(hazard)",
    doc: "The first word of the table words-of-danger that tells of a hazard in the sheet's title and names; not given where there is none.",
    arguments: 1..=1,
    takes: &[Takes::Word],
    gives: Gives::Word,
    answer: named,
}];

/// What the table calls the words that tell of no hazard where they stand in a row.
const NOTHING: &str = "nothing";

/// A word or several in a row that tell of a hazard.
struct Phrase<'a> {
    written: &'a str,
    words: Vec<String>,
    /// It counts with whatever follows.
    open: bool,
    /// It counts in titles only.
    titles: bool,
}

fn named(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let hazard = word(evaluation, &arguments[0])?;
    let absent = || Failure::Absent(format!("a word of danger: {hazard}"));
    let model = evaluation.model;
    let table = model.vocabulary.tables.get(TABLE).ok_or_else(absent)?;
    let (phrases, harmless) = (phrases(table, &hazard), phrases(table, NOTHING));
    for (id, feature) in model.ids().filter(|(_, feature)| tells(feature)) {
        let is_title = id == Model::SHEET || feature.parent == Some(Model::SHEET);
        for text in texts(model, id, feature) {
            let words = without(words(&text), &harmless);
            let found = phrases.iter().find(|phrase| (is_title || !phrase.titles) && phrase.is_in(&words));
            if let Some(phrase) = found {
                return Ok(Value::Text(phrase.written.into()));
            }
        }
    }
    Err(absent())
}

/// Whether what a block is called or says tells what the parts are for.
fn tells(feature: &Feature) -> bool {
    !feature.imported && matches!(feature.block.act, Act::Holds | Act::Describes)
}

/// A feature's name, and the texts that it gives: titles, lettering, reasons.
fn texts(model: &Model, id: crate::model::FeatureId, feature: &Feature) -> Vec<String> {
    let given = feature.fields.iter().filter(|field| field.written.is_some() && field.about.kind == FieldKind::Text);
    let texts = given.filter_map(|field| match model.value_of(id, field) {
        Ok(Value::Text(text)) => Some(text.to_string()),
        _ => None,
    });
    std::iter::once(feature.name.clone()).chain(texts).collect()
}

fn phrases<'a>(table: &'a Table, hazard: &str) -> Vec<Phrase<'a>> {
    let column = |name: &str| table.columns.iter().position(|(column, _)| column == name);
    let (Some(of), Some(counts)) = (column("hazard"), column("counts")) else { return Vec::new() };
    let cell = |cells: &'a [Option<crate::pack::Words>], index: usize| cells.get(index)?.as_deref();
    let own = table.rows.iter().filter(|(_, cells)| cell(cells, of) == Some(hazard));
    own.map(|(row, cells)| {
        let written = row.as_str().trim_end_matches('*');
        Phrase {
            written,
            words: words(written),
            open: row.as_str().ends_with('*'),
            titles: cell(cells, counts) == Some("titles"),
        }
    })
    .collect()
}

impl Phrase<'_> {
    fn is_in(&self, text: &[String]) -> bool {
        text.windows(self.words.len().max(1)).any(|window| self.is(window))
    }

    fn is(&self, window: &[String]) -> bool {
        let Some((last, first)) = self.words.split_last() else { return false };
        let Some((found, before)) = window.split_last() else { return false };
        before == first && (found == last || self.open && found.starts_with(last.as_str()) || is_plural(found, last))
    }
}

/// The words without those that tell of nothing where they stand in a row.
fn without(mut words: Vec<String>, harmless: &[Phrase]) -> Vec<String> {
    for phrase in harmless {
        let length = phrase.words.len().max(1);
        while let Some(at) = words.windows(length).position(|window| phrase.is(window)) {
            // What stood around them does not become neighbours.
            words.splice(at..at + length, [String::new()]);
        }
    }
    words
}

/// Whether a word is the plural of another, as English makes it.
fn is_plural(word: &str, of: &str) -> bool {
    let ends = |stem: &str, ending: &str| word.strip_prefix(stem) == Some(ending);
    ends(of, "s") || ends(of, "es") || of.strip_suffix('y').is_some_and(|stem| ends(stem, "ies"))
}

/// A text's words and numbers in small letters; `230V` is two.
fn words(text: &str) -> Vec<String> {
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
    use super::{is_plural, words};

    #[test]
    fn a_text_is_taken_apart_at_what_is_no_letter_and_before_and_after_numbers() {
        assert_eq!(words("Baby's 230V gas-tap"), ["baby", "s", "230", "v", "gas", "tap"]);
        assert_eq!(words("Türgriff"), ["türgriff"]);
    }

    #[test]
    fn plurals_are_those_of_english() {
        assert!(is_plural("toys", "toy") && is_plural("babies", "baby") && is_plural("torches", "torch"));
        assert!(!is_plural("gasp", "gas") && !is_plural("mouth", "mout"));
    }
}
