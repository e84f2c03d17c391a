//! How to write what a block's first line does not take.

use crate::fault::{Help, meant};

/// How to write what a block's first line does not take.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Form {
    /// A word that is nearly a known one.
    Meant(String, String),
    /// A field in braces, after the block's name, if it has one.
    Inside(Option<String>, String),
    /// A field for a value without one, after the block's name, if it has one.
    Field(Option<String>, String),
    /// A name in two words.
    OneWord(String, String),
    /// As the block's example says.
    Like(String),
    /// A name, where the block has none: its example, if it has one.
    Nameless(Option<String>),
}

/// Words with which people ask for a copy.
const COPYING: [&str; 4] = ["as", "same", "copy", "copies"];

impl Form {
    /// What is wrong.
    pub(super) fn message(&self, word: &str, is_block: bool) -> String {
        match self {
            Self::Nameless(_) => format!("`{word}` takes no name"),
            _ if is_block => format!("`{word}` is a block: its fields must be in braces"),
            _ => format!("`{word}` does not take this on its first line"),
        }
    }

    pub(super) fn help(&self, block: &str) -> Help {
        match self {
            Self::Meant(word, near) => meant(word, near),
            Self::Inside(name, word) => {
                format!("put `{word}` inside braces: `{block}{} {{ {word} … }}`", after_blank(name.as_ref())).into()
            }
            Self::Field(name, field) => format!("write `{block}{} {{ {field} }}`", after_blank(name.as_ref())).into(),
            Self::OneWord(name, word) if COPYING.contains(&word.as_str()) => {
                format!("a copy is written with `like`: `{block} {name} like …`").into()
            }
            Self::OneWord(name, word) => {
                format!("a name is one word: `{name}-{word}`; fields must be in braces").into()
            }
            Self::Like(example) | Self::Nameless(Some(example)) => format!("write it like `{example}`").into(),
            Self::Nameless(None) => {
                format!("write `{block} {{ … }}`; or let it have a name, with `name: required` in its pack").into()
            }
        }
    }
}

/// A name after a blank, if there is one.
fn after_blank(name: Option<&String>) -> String {
    name.map_or(String::new(), |name| format!(" {name}"))
}
