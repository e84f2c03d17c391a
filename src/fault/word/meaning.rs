//! What a value that is one too many is likely to mean.

use crate::fault::{Help, exchange};

/// What a value that is one too many is likely to mean.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Meaning {
    /// `at lest 18 mm`: the bound as it is written.
    Bound(String),
    /// `2.5 m m`: the number, the unit as it is written, and in one.
    SplitUnit(String, String, String),
    /// `mm 2.5`: the number with its unit.
    UnitFirst(String),
    /// `slack mm`: the unit.
    UnitOfName(String),
    /// `14.6 till 15 mm`: the two bounds.
    Bounds(String, String),
    /// One of these words.
    OneOf(String),
    /// A path.
    Path(String),
    /// A size whose first length is worked out.
    WorkedOutSize,
    /// A size.
    Size,
    /// A place.
    Place,
    /// A field of its own.
    Field(String),
    /// A reading.
    Reading,
    /// `1 1/2 in`: the one number.
    Fraction(String),
    /// An instrument.
    Instrument,
    /// `20 (+0.1/-0.05) mm`: a tolerance.
    Tolerance,
    /// A word of habit: what is written here.
    Habit(String),
    /// A word that is no unit.
    NoUnit(String),
    /// An `if` after a value.
    Condition,
    /// Anything else.
    SecondField,
}

impl Meaning {
    pub(super) fn help(&self) -> Help {
        match self {
            Self::Bound(bound) => format!("did you mean `{bound}`?").into(),
            Self::SplitUnit(number, split, unit) => {
                exchange(split, unit, format!("write the unit in one: `{number} {unit}`"))
            }
            Self::UnitFirst(number) => format!("the unit follows the number: `{number}`").into(),
            Self::UnitOfName(unit) => {
                format!("a name has its unit where it gets its value, not here: `let slack = 2 {unit}`").into()
            }
            Self::Bounds(low, high) => format!("bounds are written `between {low} and {high}`").into(),
            Self::OneOf(words) => format!("it is one word: {words}").into(),
            Self::Path(path) => format!("a path has dots between its names: `{path}`").into(),
            Self::WorkedOutSize => "put what is worked out in parentheses: `(tray.width - slack) x 24 x 12 mm`".into(),
            Self::Size => "put `x` between the lengths: `42 x 24 x 12 mm`".into(),
            Self::Place => "put commas between the distances: `12, 8, 0 mm`".into(),
            Self::Field(word) => format!("`{word}` is a field of its own: put it on its own line, or after `;`").into(),
            Self::Reading => "put a comma and a space between readings: `measured 2.02, 1.98 mm`".into(),
            Self::Fraction(sum) => format!("write it as one number: `{sum}`").into(),
            Self::Instrument => "an instrument follows readings or a tolerance: `measured 17.1, 16.9 mm by ruler`, \
                                 `17 mm ± 0.5 mm by ruler`"
                .into(),
            Self::Tolerance => {
                "a tolerance follows the unit, without parentheses: `20 mm ± 0.1 mm`, `20 mm +0.1/-0.05 mm`".into()
            }
            Self::Habit(way) => way.as_str().into(),
            Self::NoUnit(word) => {
                format!("`{word}` is no unit; put a second field on its own line or after `;`").into()
            }
            Self::Condition => {
                "an `if` is all of a value, or stands in parentheses after a sign: `2 mm + (if … then … else …)`".into()
            }
            Self::SecondField => "put a second field on its own line, or after `;`".into(),
        }
    }
}
