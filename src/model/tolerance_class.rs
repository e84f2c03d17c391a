//! Tolerance classes such as `H7`: a letter for where the zone lies, a grade for how wide it is (ISO 286-1).

use super::Model;
use crate::fault::{Fault, ValueFault};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::tree::Name;
use crate::vocabulary::{Table, TableError};

const GRADES: &str = "iso-286-1-grades";
const DEVIATIONS: &str = "iso-286-1-deviations";

/// Whether a word has the form of a tolerance class: one or two letters, then a grade.
#[must_use]
pub fn looks_like_class(word: &str) -> bool {
    split(word).is_some_and(|(letters, grade)| {
        letters.len() <= 2
            && grade.len() <= 2
            && letters.bytes().all(|byte| byte.is_ascii_alphabetic())
            && grade.bytes().all(|byte| byte.is_ascii_digit())
    })
}

fn split(word: &str) -> Option<(&str, &str)> {
    let at = word.find(|c: char| c.is_ascii_digit()).filter(|at| *at > 0)?;
    Some(word.split_at(at))
}

/// The limits of a class on a nominal size: lower and upper deviation from it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Limits {
    pub lower: Quantity,
    pub upper: Quantity,
}

impl Model<'_> {
    /// The limits of a class on a nominal size, by the tables of the pack.
    pub(super) fn class_limits(&self, nominal: &Quantity, class: &Name) -> Result<Limits, Fault> {
        let text = || class.text.clone();
        if nominal.dimension != Dimension::LENGTH {
            return Err(ValueFault::ClassWithoutLength { class: text() }.at(class.span));
        }
        let table = |name: &str| {
            let missing = || ValueFault::NoClassTable { table: name.into(), class: text() }.at(class.span);
            self.vocabulary.tables.get(name).ok_or_else(missing)
        };
        let (letters, grade) = split(&class.text).unwrap_or((&class.text, ""));
        let told =
            |error: TableError| ValueFault::ClassNotInTable { class: text(), why: error.to_string() }.at(class.span);
        let width = table(GRADES)?.number_at(nominal, &format!("it{grade}")).map_err(told)?;
        let is_hole = letters.starts_with(|c: char| c.is_ascii_uppercase());
        let letter = letters.to_ascii_lowercase();
        let zone = zone(table(DEVIATIONS)?, nominal, (&letter, is_hole), grade, &width);
        zone.map_err(|error| match error {
            TableError::Column { .. } => ValueFault::NoDeviation { letters: letters.into(), is_hole }.at(class.span),
            other => told(other),
        })
    }
}

/// Where a zone of a width lies: its fundamental deviation is the end nearer the nominal size.
///
/// Holes A to H mirror the shafts a to h (ISO 286-1, general rule: EI = -es); the other holes follow special rules and
/// are looked up under their own letter. `js` lies half its width either side; `k` begins at the nominal size beyond the
/// grades 4 to 7.
fn zone(
    table: &Table,
    nominal: &Quantity,
    (letter, hole): (&str, bool),
    grade: &str,
    width: &Quantity,
) -> Result<Limits, TableError> {
    let nothing = width.scaled(0.0);
    let sum = |a: &Quantity, b: f64| Quantity { value: a.value + b, ..a.clone() };
    if letter == "js" {
        return Ok(Limits { lower: width.scaled(-0.5), upper: width.scaled(0.5) });
    }
    let mirrored = letter.len() == 1 && matches!(letter.as_bytes()[0], b'a'..=b'h');
    if hole && !mirrored {
        let lower = table.number_at(nominal, &format!("hole-{letter}"))?;
        return Ok(Limits { upper: sum(&lower, width.value), lower });
    }
    let shaft = table.number_at(nominal, &format!("shaft-{letter}"))?;
    if hole {
        let lower = shaft.scaled(-1.0);
        return Ok(Limits { upper: sum(&lower, width.value), lower });
    }
    if mirrored {
        return Ok(Limits { lower: sum(&shaft, -width.value), upper: shaft });
    }
    let near = if letter == "k" && !matches!(grade, "4" | "5" | "6" | "7") { nothing } else { shaft };
    Ok(Limits { upper: sum(&near, width.value), lower: near })
}
