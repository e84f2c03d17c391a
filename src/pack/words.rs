//! Texts of packs. The build script reads the built-in pack with this same type, so this file names
//! only `texts`, of which it has one of its own.

use std::borrow::{Borrow, Cow};
use std::fmt;
use std::ops::{Deref, Range};

use serde::de::{Deserialize, Deserializer};
use serde::ser::{Serialize, Serializer};

use super::texts;

/// A text of a pack. One of the built-in pack lies in the program itself and is never copied.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Words(Cow<'static, str>);

impl Words {
    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// A piece of the text, by bytes.
    ///
    /// # Panics
    /// Where the range is none of the text's.
    #[must_use]
    pub fn part(&self, bytes: Range<usize>) -> Self {
        Self(match &self.0 {
            Cow::Borrowed(text) => Cow::Borrowed(&text[bytes]),
            Cow::Owned(text) => Cow::Owned(text[bytes].to_owned()),
        })
    }
}

impl Deref for Words {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Words {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for Words {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self(Cow::Owned(text))
    }
}

impl From<&'static str> for Words {
    fn from(text: &'static str) -> Self {
        Self(Cow::Borrowed(text))
    }
}

impl From<Words> for String {
    fn from(words: Words) -> Self {
        words.0.into_owned()
    }
}

impl PartialEq<str> for Words {
    fn eq(&self, other: &str) -> bool {
        self.0 == other
    }
}

impl PartialEq<&str> for Words {
    fn eq(&self, other: &&str) -> bool {
        self.0 == *other
    }
}

impl PartialEq<String> for Words {
    fn eq(&self, other: &String) -> bool {
        self.0 == *other
    }
}

impl PartialEq<Words> for String {
    fn eq(&self, other: &Words) -> bool {
        *self == other.0
    }
}

impl fmt::Display for Words {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// In the built-in pack a text is the place where it is among all of them.
impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if deserializer.is_human_readable() {
            return String::deserialize(deserializer).map(|text| Self(Cow::Owned(text)));
        }
        Deserialize::deserialize(deserializer).map(|place| Self(Cow::Borrowed(texts::text(place))))
    }
}

impl Serialize for Words {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        texts::place(&self.0).unwrap_or_default().serialize(serializer)
    }
}
