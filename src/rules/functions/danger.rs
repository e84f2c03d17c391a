//! Words of danger in a sheet's title and names.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Answer, Form, Gives, Takes, word};
use crate::model::{Dangers, Evaluation, Failure, Told, Value};
use crate::pack::schema::Ending;
use crate::source::{Span, words};
use crate::syntax::tree::Expr;
use crate::vocabulary::{Table, Vocabulary};

/// The table of the words.
const TABLE: &str = "words-of-danger";

/// What the form is called.
pub(in crate::rules) const NAME: &str = "named-danger";

pub(super) static FORMS: [Form; 1] = [Form {
    name: NAME,
    written: "named-danger(hazard)",
    doc: "The first word of the table words-of-danger that tells of a hazard in the sheet's title and names; not given where there is none.",
    arguments: 1..=1,
    takes: &[Takes::Hazard],
    gives: Gives::Word,
    answer: Answer::Own(named),
}];

/// Its column that says of what they tell.
const HAZARD: &str = "hazard";

/// What the table calls the words that tell of no hazard where they are in a row.
const NOTHING: &str = "nothing";

/// The hazards of the table.
pub(in crate::rules) fn hazards(vocabulary: &Vocabulary) -> Vec<String> {
    let table = vocabulary.tables.get(TABLE);
    let column = |table: &Table| table.columns.iter().position(|(column, _)| column == HAZARD);
    let Some((table, column)) = table.and_then(|table| Some((table, column(table)?))) else { return Vec::new() };
    let cells = (0..table.rows.len()).filter_map(|row| table.cells(row).get(column)?.as_ref());
    let hazards: BTreeSet<String> = cells.filter(|hazard| **hazard != NOTHING).map(ToString::to_string).collect();
    hazards.into_iter().collect()
}

/// What a word ends in that counts with whatever follows.
const OPEN: char = '*';

/// A word or several in a row that tell of a hazard.
struct Phrase<'a> {
    written: &'a str,
    words: &'a [String],
    /// It counts with whatever follows.
    open: bool,
    /// It counts in titles only.
    titles: bool,
}

fn named(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    danger(evaluation, arguments).map(|(word, _)| Value::Text(word))
}

/// The word that `named-danger` finds, and where it is written.
pub(in crate::rules) fn danger(evaluation: &Evaluation, arguments: &[Expr]) -> Result<(Arc<str>, Span), Failure> {
    let hazard = word(evaluation, &arguments[0])?;
    let absent = || Failure::Absent("a word of danger".into());
    let model = evaluation.model;
    let table = model.vocabulary.tables.get(TABLE).ok_or_else(absent)?;
    let told = model.told();
    let dangers = told.dangers.get_or_init(|| dangers(table, &told));
    if dangers.rows.is_empty() {
        return Err(absent());
    }
    let phrases: Vec<Phrase> = phrases(table, &dangers.rows, &hazard).collect();
    for (text, words) in told.texts.iter().zip(&dangers.texts) {
        if let Some(found) = phrases.iter().find(|phrase| (text.is_title || !phrase.titles) && phrase.is_in(words)) {
            return Ok((found.written.into(), text.at));
        }
    }
    Err(absent())
}

/// What of a sheet's words the table has.
fn dangers(table: &Table, told: &Told) -> Dangers {
    let rows = rows_in(table, told);
    if rows.is_empty() {
        return Dangers { rows, texts: Vec::new() };
    }
    let harmless: Vec<Phrase> = phrases(table, &rows, NOTHING).collect();
    let texts = told.texts.iter().map(|text| without(text.words.clone(), &harmless)).collect();
    Dangers { rows, texts }
}

/// The rows of the table that are in a sheet's texts, with their words.
fn rows_in(table: &Table, told: &Told) -> Vec<(usize, Vec<String>)> {
    let mut rows = BTreeMap::new();
    for ending in told.words.iter().flat_map(|word| ending_in(table, word)) {
        let words = words(&ending.name);
        let phrase = Phrase::new(&ending.name, &words, false);
        if told.texts.iter().any(|text| phrase.is_in(&text.words)) {
            rows.insert(ending.row, words);
        }
    }
    rows.into_iter().collect()
}

/// The rows of the table whose last word, in any of its forms, is a word in small letters; of an open one, what the word
/// begins with.
fn ending_in<'t>(table: &'t Table, told: &str) -> Vec<&'t Ending> {
    let mut found = Vec::new();
    let beginnings = told.char_indices().skip(1).map(|(end, _)| &told[..end]).chain([told]);
    for word in beginnings {
        if told == word || is_plural(told, word) {
            found.extend(table.ending_in(word));
        }
        found.extend(table.ending_in(&format!("{word}{OPEN}")));
    }
    if let Some(word) = singular_of_ies(told) {
        found.extend(table.ending_in(&word));
    }
    found
}

/// The phrases of some of the table's rows that tell of a hazard, in their order.
fn phrases<'a>(table: &'a Table, rows: &'a [(usize, Vec<String>)], hazard: &str) -> impl Iterator<Item = Phrase<'a>> {
    let column = |name: &str| table.columns.iter().position(|(column, _)| column == name);
    let (of, counts) = (column(HAZARD), column("counts"));
    let cell = |row: usize, index: Option<usize>| table.cells(row).get(index?)?.as_deref();
    let own = rows.iter().filter(move |(row, _)| cell(*row, of) == Some(hazard));
    own.map(move |(row, words)| Phrase::new(&table.rows[*row], words, cell(*row, counts) == Some("titles")))
}

impl<'a> Phrase<'a> {
    fn new(written: &'a str, words: &'a [String], titles: bool) -> Self {
        Self { written: written.trim_end_matches(OPEN), words, open: written.ends_with(OPEN), titles }
    }

    fn is_in(&self, text: &[String]) -> bool {
        text.windows(self.words.len().max(1)).any(|window| self.is(window))
    }

    fn is(&self, window: &[String]) -> bool {
        let Some((last, first)) = self.words.split_last() else { return false };
        let Some((found, before)) = window.split_last() else { return false };
        before == first && (found == last || self.open && found.starts_with(last.as_str()) || is_plural(found, last))
    }
}

/// The words without those that tell of nothing where they are in a row.
fn without(mut words: Vec<String>, harmless: &[Phrase]) -> Vec<String> {
    for phrase in harmless {
        let length = phrase.words.len().max(1);
        while let Some(at) = words.windows(length).position(|window| phrase.is(window)) {
            // What was around them does not become neighbours.
            words.splice(at..at + length, [String::new()]);
        }
    }
    words
}

/// Whether a word is the plural of another, as English makes it.
fn is_plural(word: &str, of: &str) -> bool {
    let ends = |ending: &str| word.strip_prefix(of) == Some(ending);
    ends("s") || ends("es") || singular_of_ies(word).is_some_and(|singular| singular == of)
}

/// `battery` of `batteries`.
fn singular_of_ies(plural: &str) -> Option<String> {
    plural.strip_suffix("ies").map(|stem| format!("{stem}y"))
}

#[cfg(test)]
mod tests {
    use super::{Phrase, is_plural, words};

    #[test]
    fn plurals_are_those_of_english() {
        assert!(is_plural("toys", "toy") && is_plural("babies", "baby") && is_plural("torches", "torch"));
        assert!(!is_plural("gasp", "gas") && !is_plural("mouth", "mout"));
    }

    #[test]
    fn only_an_open_word_counts_with_what_follows_and_only_after_it() {
        let is = |row: &str, text: &str| Phrase::new(row, &words(row), false).is(&[text.to_owned()]);
        assert!(is("gas*", "gasket") && is("gas*", "gas"));
        assert!(!is("gas", "gasket") && !is("gas*", "water"));
    }
}
