//! Words of danger in a sheet's title and names.

use std::collections::BTreeSet;
use std::ops::Bound;

use super::{Answer, Form, Gives, Takes, word};
use crate::model::{Evaluation, Failure, Value, words};
use crate::syntax::tree::Expr;
use crate::vocabulary::Table;

/// The table of the words.
const TABLE: &str = "words-of-danger";

pub(super) static FORMS: [Form; 1] = [Form {
    name: "named-danger",
    written: "named-danger(hazard)",
    doc: "The first word of the table words-of-danger that tells of a hazard in the sheet's title and names; not given where there is none.",
    arguments: 1..=1,
    takes: &[Takes::Word],
    gives: Gives::Word,
    answer: Answer::Own(named),
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
    let told = model.told();
    let possible = |hazard: &str| -> Vec<Phrase> {
        phrases(table, hazard).filter(|phrase| phrase.can_be_in(&told.words)).collect()
    };
    let phrases = possible(&hazard);
    if phrases.is_empty() {
        return Err(absent());
    }
    let harmless = possible(NOTHING);
    for text in &told.texts {
        let words = without(text.words.clone(), &harmless);
        if let Some(found) = phrases.iter().find(|phrase| (text.is_title || !phrase.titles) && phrase.is_in(&words)) {
            return Ok(Value::Text(found.written.into()));
        }
    }
    Err(absent())
}

/// The phrases of the table for a hazard, in its order.
fn phrases<'a>(table: &'a Table, hazard: &str) -> impl Iterator<Item = Phrase<'a>> {
    let column = |name: &str| table.columns.iter().position(|(column, _)| column == name);
    let (of, counts) = (column("hazard"), column("counts"));
    let cell = |cells: &'a [Option<crate::pack::Words>], index: Option<usize>| cells.get(index?)?.as_deref();
    let own = table.rows.iter().filter(move |(_, cells)| cell(cells, of) == Some(hazard));
    own.map(move |(row, cells)| {
        let written = row.as_str().trim_end_matches('*');
        Phrase {
            written,
            words: words(written),
            open: row.as_str().ends_with('*'),
            titles: cell(cells, counts) == Some("titles"),
        }
    })
}

impl Phrase<'_> {
    /// Whether its last word, in any of its forms, is one of a sheet's.
    fn can_be_in(&self, known: &BTreeSet<String>) -> bool {
        let Some(last) = self.words.last() else { return false };
        let from = (Bound::Included(last.as_str()), Bound::Unbounded);
        let beginning = || known.range::<str, _>(from).take_while(|word| word.starts_with(last.as_str()));
        let any = || self.open || beginning().any(|word| word == last || is_plural(word, last));
        beginning().next().is_some() && any() || plural_in_ies(last).is_some_and(|plural| known.contains(&plural))
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
