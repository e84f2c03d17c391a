//! Numbers with their units, and the unit that is meant where a word is none.

use super::super::{Value, tolerance_class};
use super::Failure;
use crate::fault::{Fault, UnitWay, ValueFault};
use crate::quantity::{Quantity, UNITS, Unit};
use crate::syntax::tree::Name;
use crate::vocabulary::Vocabulary;

pub(super) fn number(value: f64, unit: Option<&Name>, vocabulary: &Vocabulary) -> Result<Value, Failure> {
    let Some(name) = unit else { return Ok(Value::Quantity(Quantity::ratio(value))) };
    match Unit::named(&name.text) {
        Some(unit) => Ok(Value::Quantity(Quantity::of(value, unit))),
        None => Err(Failure::fault(unknown_unit(name, vocabulary))),
    }
}

fn unknown_unit(name: &Name, vocabulary: &Vocabulary) -> Fault {
    let way = match vocabulary.habit(&name.text) {
        Some(way) => UnitWay::Habit(way.into()),
        None => meant_unit(&name.text),
    };
    ValueFault::UnknownUnit { unit: name.text.clone(), way }.at(name.span)
}

/// What a word that is no unit is likely to mean.
fn meant_unit(word: &str) -> UnitWay {
    if let Some((unit, divisor)) = word.split_once('/')
        && Unit::named(unit).is_some()
    {
        return UnitWay::Divide(unit.into(), divisor.into());
    }
    if word
        .split_once('x')
        .is_some_and(|(unit, rest)| Unit::named(unit).is_some() && rest.starts_with(|c: char| c.is_ascii_digit()))
    {
        return UnitWay::Size;
    }
    if tolerance_class::looks_like_class(word) {
        return UnitWay::Class;
    }
    let lower = word.to_lowercase();
    let names = || UNITS.iter().map(|unit| unit.name);
    // The usual units come first.
    let distance = |unit: &&'static str| strsim::damerau_levenshtein(unit, word);
    let near = spelled_out(&lower)
        .or_else(|| names().find(|unit| unit.to_lowercase() == lower))
        .or_else(|| names().min_by_key(distance).filter(|unit| distance(unit) <= 1));
    near.map_or(UnitWay::Unknown, |unit| UnitWay::Meant(unit.into()))
}

/// The unit that a word stands for, where people write it in another way.
fn spelled_out(lower: &str) -> Option<&'static str> {
    let word = lower.strip_suffix('s').filter(|word| word.len() > 2).unwrap_or(lower);
    Some(match word {
        "c" | "celsiu" | "deg-c" => "degC",
        "f" | "fahrenheit" => "degF",
        "mms" | "millimetre" | "millimeter" => "mm",
        "cms" | "centimetre" | "centimeter" => "cm",
        "micron" | "micrometre" | "micrometer" => "um",
        "metre" | "meter" => "m",
        "inche" | "zoll" => "in",
        "degree" | "degr" => "deg",
        "newton" => "N",
        "lb" | "pound" => "lbf",
        "gram" | "gramme" => "g",
        "kilo" | "kilogram" | "kilogramme" => "kg",
        "percent" | "pct" => "%",
        "second" | "sec" => "s",
        "hour" => "h",
        "minute" => "min",
        _ => return None,
    })
}
