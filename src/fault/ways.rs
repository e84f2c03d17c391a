//! The ways out of a fault of a value, where there are several.

mod names;

pub(super) use names::DIRECTIONS;
pub use names::{Guess, Lookup, OwnWay};

use super::{Help, exchange, meant};
use crate::source::printable_line;

/// How a field's value is written.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum HowTo {
    /// Without the quotes around it.
    NoQuotes(String),
    /// Like an example, with what the field is.
    Like(String, String),
    /// Readings, which follow a word of their own.
    Readings(String),
    /// A size, which has a sign between its lengths.
    Across(String),
    /// A day, which is a text.
    Day(String),
    /// The feature itself in the place of one of its values.
    Whole(String),
    /// As its documentation says.
    Doc(String),
    /// As a metric size, where the number of an inch thread is given.
    Metric,
    /// The one number of a chamfer, or of something that there is several times.
    OneNumber(String),
    /// The same, and how many there are.
    Counted(String, String),
    /// As one of the dimensions of the feature that is named.
    DimensionOf(String),
}

impl HowTo {
    pub(super) fn help(&self, field: &str) -> Help {
        match self {
            Self::NoQuotes(text) => {
                let words = format!("take the quotes away: `{field} {}`", printable_line(text));
                exchange(&format!("\"{text}\""), text, words)
            }
            Self::Like(example, doc) => format!("write it like `{field} {example}` ({doc})").into(),
            Self::Readings(readings) => {
                format!("readings follow the word `measured`: `{field} measured {readings}`").into()
            }
            Self::Across(size) => format!("put `x` between the lengths of a size: `{field} {size}`").into(),
            Self::Day(day) => {
                let text = format!("\"{day}\"");
                exchange(day, &text, format!("a day is a text: `{field} {text}`"))
            }
            Self::Whole(path) => format!("name the whole of it, not one of its dimensions: `{field} {path}`").into(),
            Self::Doc(doc) => doc.as_str().into(),
            Self::Metric => {
                "threads have metric sizes here, such as `M3`; a screw of another kind is `bought`, with its measured \
                             diameter and a `fit` in its `hole`"
                    .into()
            }
            Self::OneNumber(number) => format!("write the one number: `{field} {number}`").into(),
            Self::Counted(number, count) => {
                format!("write `{field} {number}`; how many there are is the field `count`: `count {count}`").into()
            }
            Self::DimensionOf(path) => format!("name one of its dimensions: `{path}`").into(),
        }
    }
}

/// What an unknown unit is likely to mean.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum UnitWay {
    /// A unit divided by something.
    Divide(String, String),
    /// A tolerance class.
    Class,
    /// A word of habit: what is written here.
    Habit(String),
    /// A unit.
    Meant(String),
    /// The lengths of a size, without spaces between them.
    Size,
    /// Nothing that is known.
    Unknown,
}

impl UnitWay {
    pub(super) fn help(&self, word: &str) -> Help {
        match self {
            Self::Divide(unit, by) => format!("to divide, put spaces around the slash: `{unit} / {by}`").into(),
            Self::Class => format!("a tolerance class follows the unit: `22 mm {word}`").into(),
            Self::Habit(way) => way.as_str().into(),
            Self::Meant(unit) => meant(word, unit),
            Self::Size => "put spaces around the `x` of a size: `42 mm x 24 mm x 12 mm`".into(),
            Self::Unknown => {
                "the usual units are mm, in, deg, N, g, kg, MPa, degC and %; docs/words.md lists all".into()
            }
        }
    }
}

/// What to write where two values of different kinds meet.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum MeetingWay {
    /// The number with its unit.
    Unit(String),
    /// The same, of two that are likely bounds.
    Bound(String),
    /// A name whose value has no unit.
    NameWithout(String),
    /// Values of one kind.
    Like,
}

impl MeetingWay {
    pub(super) fn help(&self) -> String {
        let missing = |number: &str| format!("a unit is missing: did you mean `{number}`?");
        match self {
            Self::Unit(number) => missing(number),
            Self::Bound(number) => format!("{} bounds are written `between 14.6 mm and 15.0 mm`", missing(number)),
            Self::NameWithout(name) => format!("`{name}` has no unit: give it one where it is written"),
            Self::Like => "only like can be added to or compared with like".into(),
        }
    }
}

/// What to write in place of a bare number.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum BareWay {
    /// The number with its unit.
    Meant(String),
    /// The last of several numbers with their unit.
    Last(String),
    /// Each of several numbers with its unit: what comes last is none.
    Each(String),
}

impl BareWay {
    pub(super) fn help(&self) -> Help {
        match self {
            Self::Meant(number) => with_unit(number, format!("did you mean `{number}`?")),
            Self::Last(number) => with_unit(number, format!("write it after the last number: `{number}`")),
            Self::Each(list) => format!("write it after each number: `{list}`").into(),
        }
    }
}

/// The way out, in these words, where a bare number is to have its unit.
pub(super) fn with_unit(number: &str, words: String) -> Help {
    match number.rsplit_once(' ') {
        Some((bare, _)) => exchange(bare, number, words),
        None => words.into(),
    }
}

/// The way out where a decimal is written as two numbers.
pub(super) fn in_one(whole: f64, decimals: f64, unit: &str) -> Help {
    let point = format!("{whole}.{decimals}");
    let number = if unit.is_empty() { point.clone() } else { format!("{point} {unit}") };
    let words = format!("a decimal has a point and no space: `{number}`");
    exchange(&format!("{whole}, {decimals}"), &point, words)
}

/// What to write where a value has another unit than the field.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum UnlikeWay {
    /// A temperature, or a difference of temperatures.
    Temperature,
    /// Degrees of an angle, where those of a temperature are meant: the temperature.
    Degrees(String),
    /// The weight of a mass.
    Weight,
    /// A fraction of a unit: what it divides by, and what is meant.
    Fraction(Option<String>, String),
    /// A name, or what the value is made of, that lacks the unit.
    Unitless(Option<String>, String),
    /// A bare number.
    Count,
    /// As the field's value is written.
    HowTo(HowTo),
}

impl UnlikeWay {
    pub(super) fn help(&self, field: &str) -> Help {
        match self {
            Self::Temperature => "a temperature is given in degC or degF, a difference of temperatures in K".into(),
            Self::Degrees(number) => format!("degrees of temperature are degC or degF: `{field} {number}`").into(),
            Self::Weight => "a kilogram weighs 9.81 N: write the force that it pulls with".into(),
            Self::Fraction(by, number) => {
                let by = by.as_ref().map_or("a unit".into(), |by| format!("`{by}`"));
                format!("this divides by {by}; write `{number}`").into()
            }
            Self::Unitless(name, unit) => {
                let name = name.as_ref().map_or("what it is made of".into(), |name| format!("`{name}`"));
                format!("a unit is missing: give {name} one, such as `{unit}`").into()
            }
            Self::Count => "it is a count or ratio: write it without a unit".into(),
            Self::HowTo(way) => way.help(field),
        }
    }
}

/// What lets a value reach beyond its bounds.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum ReachBy {
    /// Its tolerance.
    Tolerance {
        /// What is drawn.
        at: String,
        /// How much of a tolerance is possible.
        room: String,
        /// Toward more.
        is_upward: bool,
    },
    /// The instrument's limit of error: bounds instead of it.
    Limit(String, String),
    /// Bounds of its own: as far as they can be, toward more or not.
    Bounds(String, bool),
}

impl ReachBy {
    pub(super) fn words(&self) -> (&'static str, String) {
        match self {
            Self::Tolerance { at, room, is_upward } => (
                "with its tolerance it can be",
                format!(
                    "at {at}, a tolerance of at most {room} {} is possible: check its digits and its unit",
                    if *is_upward { "upward" } else { "downward" }
                ),
            ),
            Self::Limit(low, high) => (
                "by the instrument's limit it can be",
                format!(
                    "check the limit's digits and its unit; if it is right, a surer instrument is needed, or bounds \
                     such as `between {low} and {high}`"
                ),
            ),
            Self::Bounds(most, true) => {
                (THESE, format!("write bounds up to {most}: check their digits and their unit"))
            }
            Self::Bounds(least, false) => (THESE, format!("write bounds from {least} up: check the sign and the unit")),
        }
    }
}

const THESE: &str = "these bounds let it be";
