//! The ways out where a name does not lead to a value.

use crate::fault::{Help, exchange, meant, renamed};

/// What an unknown name is likely to mean.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Guess {
    /// One name less another.
    Subtraction(String, String),
    /// An axis in capitals, which is written small.
    Capital(String),
    /// An axis without its sign.
    Axis(String),
    /// Something further in: its whole path.
    Path(String),
    /// A word of habit: what is written here.
    Habit(String),
    /// A name that is nearly it.
    Near(String),
    /// Nothing that is known.
    Nothing,
}

/// The way out where a name lies further in: of a path that has it once, what comes before it is what lacks.
fn whole_path(name: &str, path: &str) -> Help {
    let words = format!("write the whole path: `{path}`");
    let names: Vec<&str> = path.split('.').collect();
    let mut places = (0..names.len()).filter(|at| names[*at] == name);
    match (places.next(), places.next()) {
        (Some(at), None) => exchange(name, &names[..=at].join("."), words),
        _ => words.into(),
    }
}

impl Guess {
    pub(in crate::fault) fn help(&self, name: &str) -> Help {
        match self {
            Self::Subtraction(left, right) => {
                let instead = format!("{left} - {right}");
                let words = format!("names may hold hyphens: to subtract, write spaces: `{instead}`");
                exchange(name, &instead, words)
            }
            Self::Capital(axis) => format!("directions are written small: `+{axis}` or `-{axis}`").into(),
            Self::Axis(axis) => format!("a direction has its sign written to it: `+{axis}` or `-{axis}`").into(),
            Self::Path(path) => whole_path(name, path),
            Self::Habit(way) => way.as_str().into(),
            Self::Near(near) => meant(name, near),
            Self::Nothing => "give it a value with `let`, or use a path such as `clip.jaw.length`".into(),
        }
    }
}

/// What a name that a feature does not have is likely to mean.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Lookup {
    /// A field by its name of before.
    Renamed(String),
    /// One name less another.
    Subtraction,
    /// A name that is nearly it.
    Near(String),
    /// One of these.
    Has(Vec<String>),
}

impl Lookup {
    pub(in crate::fault) fn help(&self, name: &str) -> Help {
        match self {
            Self::Renamed(now) => renamed(name, now),
            Self::Subtraction => "names may hold hyphens: to subtract, write spaces around the sign".into(),
            Self::Near(near) => meant(name, near),
            Self::Has(known) if known.is_empty() => "it has no fields".into(),
            Self::Has(known) => format!("it has {}", known.join(", ")).into(),
        }
    }
}

/// What a line may give that names only itself.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum OwnWay {
    /// A direction.
    Direction,
    /// The number itself, or a `let` of this name.
    Number(String),
    /// What has this name elsewhere, where the feature is of this kind.
    Elsewhere(String, String),
}

/// The directions that there are.
pub(in crate::fault) const DIRECTIONS: &str =
    "the part's own directions are `+x`, `-x`, `+y`, `-y`, `+z` and `-z`, whichever way up it prints";

impl OwnWay {
    pub(in crate::fault) fn help(&self) -> String {
        match self {
            Self::Direction => DIRECTIONS.into(),
            Self::Number(name) => {
                format!("nothing else here is called `{name}`: write the number, or give it with `let {name} = …`")
            }
            Self::Elsewhere(name, block) => format!(
                "inside this `{block}`, `{name}` is meant to be something else, such as `bought {name} {{ … }}`, and \
                 there is none"
            ),
        }
    }
}
