//! Values of pack files with their places.

use serde::de::{Deserializer, IntoDeserializer, MapAccess, Visitor};
use serde::{Deserialize, Serialize, Serializer};
use std::fmt;
use std::marker::PhantomData;

use super::super::words::Words;

/// A value with the bytes of its file where it is; without them in the built-in pack.
#[derive(Debug, Clone, Default)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// First byte and length in its file.
    pub at: Option<(u32, u32)>,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Located<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if !deserializer.is_human_readable() {
            return Ok(Self { value: T::deserialize(deserializer)?, at: None });
        }
        let spanned = serde_yaml::Spanned::<T>::deserialize(deserializer)?;
        let span = spanned.referenced.span();
        let narrow = |n: Option<u64>| n.and_then(|n| u32::try_from(n).ok());
        let at = narrow(span.byte_offset()).zip(narrow(span.byte_len()));
        Ok(Self { value: spanned.value, at })
    }
}

impl<T: Serialize> Serialize for Located<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.value.serialize(serializer)
    }
}

/// A text with its place.
pub type Text = Located<Words>;

/// A mapping in the file's order, with the places of its keys.
#[derive(Debug, Clone)]
pub struct Entries<T>(pub Vec<(Text, T)>);

impl<T> Default for Entries<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Entries<T> {
    /// The entry of a name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&T> {
        self.0.iter().find(|(key, _)| key.value == *name).map(|(_, value)| value)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Entries<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if !deserializer.is_human_readable() {
            return Vec::deserialize(deserializer).map(Self);
        }
        deserializer.deserialize_option(InOrder(PhantomData))
    }
}

/// Takes a mapping's entries as they come.
struct InOrder<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for InOrder<T> {
    type Value = Entries<T>;
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("names with what belongs to them")
    }
    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(Entries::default())
    }
    // A section whose entries are yet to be written.
    fn visit_none<E>(self) -> Result<Self::Value, E> {
        Ok(Entries::default())
    }
    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
        deserializer.deserialize_map(self)
    }
    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Self::Value, M::Error> {
        let mut list = Vec::new();
        while let Some(entry) = map.next_entry()? {
            list.push(entry);
        }
        Ok(Entries(list))
    }
}

impl<T: Serialize> Serialize for Entries<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

/// A text, or one for each level of what must hold: `says: {stop: …, care: …}`.
#[derive(Debug, Clone, Default)]
pub struct ByLevel(pub Vec<(Option<Text>, Text)>);

impl<'de> Deserialize<'de> for ByLevel {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if !deserializer.is_human_readable() {
            return Vec::deserialize(deserializer).map(Self);
        }
        let Located { value, at } = Located::<OneOrMore>::deserialize(deserializer)?;
        Ok(Self(match value {
            OneOrMore::One(value) => vec![(None, Located { value, at })],
            OneOrMore::More(more) => more.into_iter().map(|(level, text)| (Some(level), text)).collect(),
        }))
    }
}

impl Serialize for ByLevel {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

enum OneOrMore {
    One(Words),
    More(Vec<(Text, Text)>),
}

impl<'de> Deserialize<'de> for OneOrMore {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(OneOrMoreVisitor)
    }
}

struct OneOrMoreVisitor;

impl<'de> Visitor<'de> for OneOrMoreVisitor {
    type Value = OneOrMore;
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a text, or one for each level")
    }
    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<OneOrMore, E> {
        Words::deserialize(text.into_deserializer()).map(OneOrMore::One)
    }
    fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<OneOrMore, M::Error> {
        let mut list = Vec::new();
        while let Some(entry) = map.next_entry()? {
            list.push(entry);
        }
        Ok(OneOrMore::More(list))
    }
}
