//! Words of danger in a sheet's title and names.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::{Answer, Form, Gives, Takes, word};
use crate::model::{Dangers, Evaluation, Failure, Told, Value};
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
    let rows = rows_in(table, &told.words);
    if rows.is_empty() {
        return Dangers { rows, texts: Vec::new() };
    }
    let harmless: Vec<Phrase> = phrases(table, &rows, NOTHING).collect();
    let texts = told.texts.iter().map(|text| without(text.words.clone(), &harmless)).collect();
    Dangers { rows, texts }
}

/// The rows of the table whose last word, in any of its forms, is one of a sheet's, with all their words.
fn rows_in(table: &Table, told: &[String]) -> Vec<(usize, Vec<String>)> {
    let rows = table.rows.iter().zip(table.last_words()).enumerate();
    let can_be = rows.filter(|(_, (row, last))| last.as_ref().is_some_and(|last| is_told(last, is_open(row), told)));
    can_be.map(|(index, (row, _))| (index, words(row))).collect()
}

/// Whether a word, in any of its forms, is one of a sheet's; an open one with whatever follows.
fn is_told(word: &str, is_open: bool, told: &[String]) -> bool {
    let from = told.partition_point(|known| known.as_str() < word);
    let mut beginning = told[from..].iter().take_while(|known| known.starts_with(word));
    beginning.any(|known| is_open || known == word || is_plural(known, word))
        || plural_in_ies(word).is_some_and(|plural| told.binary_search(&plural).is_ok())
}

fn is_open(row: &str) -> bool {
    row.ends_with('*')
}

/// The phrases of some of the table's rows that tell of a hazard, in their order.
fn phrases<'a>(table: &'a Table, rows: &'a [(usize, Vec<String>)], hazard: &str) -> impl Iterator<Item = Phrase<'a>> {
    let column = |name: &str| table.columns.iter().position(|(column, _)| column == name);
    let (of, counts) = (column(HAZARD), column("counts"));
    let cell = |row: usize, index: Option<usize>| table.cells(row).get(index?)?.as_deref();
    let own = rows.iter().filter(move |(row, _)| cell(*row, of) == Some(hazard));
    own.map(move |(row, words)| {
        let written = table.rows[*row].as_str();
        Phrase {
            written: written.trim_end_matches('*'),
            words,
            open: is_open(written),
            titles: cell(*row, counts) == Some("titles"),
        }
    })
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
    ends("s") || ends("es") || plural_in_ies(of).is_some_and(|plural| word == plural)
}

/// `batteries` of `battery`.
fn plural_in_ies(of: &str) -> Option<String> {
    of.strip_suffix('y').map(|stem| format!("{stem}ies"))
}

#[cfg(test)]
mod tests {
    use super::is_plural;

    #[test]
    fn plurals_are_those_of_english() {
        assert!(is_plural("toys", "toy") && is_plural("babies", "baby") && is_plural("torches", "torch"));
        assert!(!is_plural("gasp", "gas") && !is_plural("mouth", "mout"));
    }
}
