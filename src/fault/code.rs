//! What can be wrong: a code with its data, and what it reads like.

use std::mem::discriminant;

use super::{
    FormulaFault, NoteFault, PackFault, PermitFault, RuleFault, SettingsFault, TextFault, ValueFault, WordFault, Words,
};

/// What is wrong, with the data that its words show.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Code {
    /// With the text.
    Text(TextFault),
    /// With a word, a name or a block.
    Word(WordFault),
    /// With a value.
    Value(ValueFault),
    /// With a permit.
    Permit(PermitFault),
    /// With a pack's files and words.
    Pack(PackFault),
    /// With a pack's rule.
    Rule(RuleFault),
    /// With a pack's formula.
    Formula(FormulaFault),
    /// With what a project wants otherwise.
    Settings(SettingsFault),
    /// With notes on prints.
    Note(NoteFault),
}

impl Code {
    /// The rule that explains it.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Text(code) => code.name(),
            Self::Word(code) => code.name(),
            Self::Value(code) => code.name(),
            Self::Permit(code) => code.name(),
            Self::Pack(code) => code.name(),
            Self::Rule(code) => code.name(),
            Self::Formula(code) => code.name(),
            Self::Settings(code) => code.name(),
            Self::Note(code) => code.name(),
        }
    }

    /// Whether it is the same code, whatever its data.
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(a), Self::Text(b)) => discriminant(a) == discriminant(b),
            (Self::Word(a), Self::Word(b)) => discriminant(a) == discriminant(b),
            (Self::Value(a), Self::Value(b)) => discriminant(a) == discriminant(b),
            (Self::Permit(a), Self::Permit(b)) => discriminant(a) == discriminant(b),
            (Self::Pack(a), Self::Pack(b)) => discriminant(a) == discriminant(b),
            (Self::Rule(a), Self::Rule(b)) => discriminant(a) == discriminant(b),
            (Self::Formula(a), Self::Formula(b)) => discriminant(a) == discriminant(b),
            (Self::Settings(a), Self::Settings(b)) => discriminant(a) == discriminant(b),
            (Self::Note(a), Self::Note(b)) => discriminant(a) == discriminant(b),
            _ => false,
        }
    }

    /// What it reads like.
    #[must_use]
    pub fn words(&self) -> Words {
        match self {
            Self::Text(code) => code.words(),
            Self::Word(code) => code.words(),
            Self::Value(code) => code.words(),
            Self::Permit(code) => code.words(),
            Self::Pack(code) => code.words(),
            Self::Rule(code) => code.words(),
            Self::Formula(code) => code.words(),
            Self::Settings(code) => code.words(),
            Self::Note(code) => code.words(),
        }
    }
}

/// Every code by its name, with data that serve as an example: a list of all that can be wrong with a text.
#[must_use]
pub fn all() -> Vec<(&'static str, Code)> {
    [
        TextFault::all(),
        WordFault::all(),
        ValueFault::all(),
        PermitFault::all(),
        PackFault::all(),
        RuleFault::all(),
        FormulaFault::all(),
        SettingsFault::all(),
        NoteFault::all(),
    ]
    .concat()
}

/// The codes of an area: each with its data and an example of them, the rule that explains it, and its words.
macro_rules! codes {
    ($(#[$meta:meta])* $area:ident as $of:ident {
        $($code:ident { $($field:ident: $type:ty = $example:expr),* $(,)? } $rule:literal => $words:expr;)*
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq)]
        #[non_exhaustive]
        #[allow(missing_docs, reason = "its words say what a code is, and its data are named in them")]
        pub enum $area { $($code { $($field: $type),* }),* }

        impl $area {
            /// The rule that explains it.
            #[must_use]
            pub fn name(&self) -> &'static str {
                match self { $(Self::$code { .. } => $rule),* }
            }

            pub(super) fn words(&self) -> $crate::fault::Words {
                match self { $(Self::$code { $($field),* } => $words),* }
            }

            /// The fault of this code at a place.
            pub(crate) fn at(self, at: $crate::source::Span) -> $crate::fault::Fault {
                $crate::fault::Fault::of(self, at)
            }

            pub(super) fn all() -> Vec<(&'static str, $crate::fault::Code)> {
                vec![$((stringify!($code), Self::$code { $($field: $example),* }.into())),*]
            }
        }

        impl From<$area> for $crate::fault::Code {
            fn from(code: $area) -> Self {
                Self::$of(code)
            }
        }
    };
}

pub(super) use codes;
