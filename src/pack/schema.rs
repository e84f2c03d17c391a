//! The shape of pack files, as serde sees it. The build script reads the built-in pack with these
//! same types, so this file names nothing else of the crate but [`Words`].

use serde::de::{Deserializer, IntoDeserializer, MapAccess, Visitor};
use serde::{Deserialize, Serialize, Serializer};
use std::fmt;
use std::marker::PhantomData;
use std::ops::Range;

use super::words::Words;

/// A value with the bytes of its file where it stands; without them in the built-in pack.
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

/// Where a fact that a rule asks for stands in its text, and where the condition does under which it is asked.
#[must_use]
pub fn ask_parts(text: &str) -> (Range<usize>, Option<Range<usize>>) {
    const WHERE: &str = " where ";
    match text.find(WHERE) {
        Some(at) => (0..at, Some(at + WHERE.len()..text.len())),
        None => (0..text.len(), None),
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

/// One file of a pack: any of these sections.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawPack {
    /// Block kinds of the language.
    pub blocks: Entries<RawBlock>,
    /// Material profiles.
    pub materials: Entries<RawProfile>,
    /// Machine profiles.
    pub machines: Entries<RawProfile>,
    /// Measuring instruments.
    pub instruments: Entries<RawProfile>,
    /// What the shop's own readings and trials say of a machine in a material, or of a material: over their profiles.
    pub learnt: Entries<RawLearnt>,
    /// Tables of standards and practice.
    pub tables: Entries<RawTable>,
    /// What several rules work out alike.
    pub shared: Entries<RawShared>,
    /// Texts of sources by their names.
    pub sources: Entries<Text>,
    /// What the words mean that are no block, field, profile, unit or function.
    pub terms: Entries<Text>,
    /// Rules.
    pub rules: Entries<RawRule>,
    /// What is to do at the bench.
    pub tasks: Entries<RawTask>,
    /// From which chance of failing a comparison that holds is reported: by the level that it would
    /// fail with, and the level it is reported with.
    pub chances: Entries<Entries<RawValue>>,
    /// What is less than a drawing can say: a `length`, and a `share` of the limit for anything else.
    pub resolution: Entries<RawValue>,
    /// The steps in which values are drawn where their fields give none.
    pub steps: Entries<RawValue>,
    /// Levels of rules that stand elsewhere.
    pub levels: Entries<Text>,
    /// Limits of rules that stand elsewhere, by rule and name.
    pub limits: Entries<Entries<Text>>,
}

/// A kind of block.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawBlock {
    /// One line for the reference and the editor.
    pub doc: Text,
    /// Words that it had before.
    pub was: Vec<Text>,
    /// The kinds of block that it can stand in; `sheet` for the top level.
    pub r#in: Vec<Text>,
    /// Whether it has a name: `required`, `optional` or `none`.
    pub name: Text,
    /// The section of profiles that its name picks from.
    pub profile: Option<Text>,
    /// What it does beyond holding fields: `import`, `value`, `permit`.
    pub acts: Option<Text>,
    /// At most one of it in a block.
    pub single: bool,
    /// Its dimensions are drawn and printed, not measured.
    pub drawn: bool,
    /// It matters to it which way up the part prints.
    pub oriented: bool,
    /// Any further field is allowed, of this kind.
    pub open: Option<RawField>,
    /// Its fields.
    pub fields: Entries<RawField>,
    /// What follows from its fields, for the rules on it and on what stands in it.
    pub derives: Entries<RawDerived>,
    /// The space that it takes up around the place where it is.
    pub body: Option<RawBody>,
    /// An example, for the reference.
    pub example: Option<Text>,
}

/// The space that a block takes up around its place: names of fields, and formulas in the block's own terms.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawBody {
    /// The direction field that it lies along.
    pub along: Option<Text>,
    /// How far it goes from its place along that direction.
    pub ahead: Option<Text>,
    /// How far it goes from its place against that direction.
    pub behind: Option<Text>,
    /// How far it goes into the part from its place on a face.
    pub inward: Option<Text>,
    /// The direction field across it.
    pub across: Option<Text>,
    /// How thick it is across.
    pub thick: Option<Text>,
    /// How wide it is square to both.
    pub wide: Option<Text>,
    /// Its diameter, where it is round about that direction.
    pub round: Option<Text>,
    /// The flag field that says whether it goes through the whole part.
    pub through: Option<Text>,
    /// Whether it is a space without material.
    pub hollow: bool,
}

/// What follows from a block's fields.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawDerived {
    /// One line for the reference.
    pub doc: Text,
    /// The formula, in the block's own terms.
    pub is: Text,
    /// In place of both: a block from which the same follows.
    pub like: Option<Text>,
}

/// A field of a block.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawField {
    /// One line for the reference and the editor.
    pub doc: Text,
    /// Words that it had before.
    pub was: Vec<Text>,
    /// What it holds: `quantity` (if `unit` is given), `size`, `place`, `direction`, `word`, `text`, `flag`,
    /// `condition`, `feature`, `rule`.
    pub kind: Option<Text>,
    /// The field of the same block that takes a value which is no single word: one word for both in a sheet.
    pub or: Option<Text>,
    /// The unit that stands for its dimension, `1` for a bare number.
    pub unit: Option<Text>,
    /// It must be given.
    pub required: bool,
    /// What it is when not given: an expression in the block's own terms.
    pub default: Option<Text>,
    /// It must be more than this.
    pub above: Option<Text>,
    /// It must be at least this.
    pub at_least: Option<Text>,
    /// It must be at most this.
    pub at_most: Option<Text>,
    /// The words it can be.
    pub one_of: Vec<Text>,
    /// Which of the machine's deviations applies to it when printed.
    pub makes: Option<Text>,
    /// The direction field along which it lies.
    pub along: Option<Text>,
    /// The flag field that, where it says yes, leaves it as drawn.
    pub unless: Option<Text>,
    /// Where it stands in the block's first line: `first`, or `named` (after its own name).
    pub head: Option<Text>,
    /// The step in which it is drawn: a mend goes to whole steps.
    pub step: Option<Text>,
    /// The step where it lies along the direction that points up on the bed.
    pub step_up: Option<Text>,
    /// The table of the sizes that it is bought in: a mend takes one of these.
    pub sizes: Option<Text>,
    /// A mass may stand for this force: it counts with what it weighs.
    pub weighs: bool,
    /// It brings dimensions together: a name for a number counts as exact there.
    pub joins: bool,
    /// What a mend may do with it: `drawn` (unless another is given), `last`, `asked`, `claimed`, `function`, `mating`
    /// or `derived`.
    pub sort: Option<Text>,
}

/// A material, machine or instrument.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawProfile {
    /// One line.
    pub about: Text,
    /// The profile it starts from.
    pub like: Option<Text>,
    /// The unit of what an instrument reads.
    pub measures: Option<Text>,
    /// Its values.
    pub values: Entries<RawValue>,
}

/// What was learnt of a machine in a material; of the material itself where no machine is named.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawLearnt {
    /// The machine's profile.
    pub machine: Option<Text>,
    /// The material's profile.
    pub material: Text,
    /// The values.
    pub values: Entries<RawValue>,
}

/// A value and where it comes from.
#[derive(Debug, Default, Clone, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawValue {
    /// As it would be written in a sheet.
    pub value: Text,
    /// Who says so.
    pub source: Text,
    /// How it was had: `published`, `derived`, `common-practice`, `memory`, `judgement`.
    pub basis: Text,
    /// How sure it is: `high`, `medium`, `low`.
    pub sure: Text,
}

/// A table.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawTable {
    /// One line.
    pub about: Text,
    /// Who says so.
    pub source: Text,
    /// As for [`RawValue`].
    pub basis: Text,
    /// As for [`RawValue`].
    pub sure: Text,
    /// What a reader should know.
    pub notes: Option<Text>,
    /// What the rows are named by.
    pub key: Text,
    /// The unit of the rows' ranges, where the rows are `3 to 6`.
    pub range: Option<Text>,
    /// Rows written from memory.
    pub recalled: Vec<Text>,
    /// Rows that borrow the values of something similar.
    pub stand_in: Vec<Text>,
    /// The columns.
    pub columns: Entries<RawColumn>,
    /// The rows, a cell for each column.
    pub rows: Entries<Vec<Option<Text>>>,
}

/// A column of a table.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawColumn {
    /// Its unit, `ratio` for bare numbers, `word` for words.
    pub unit: Text,
    /// One line.
    pub doc: Text,
    /// Where it differs from the table's.
    pub source: Option<Text>,
    /// Where it differs from the table's.
    pub basis: Option<Text>,
    /// Where it differs from the table's.
    pub sure: Option<Text>,
    /// Rows of this column written from memory.
    pub recalled: Vec<Text>,
}

/// Numbers and names for parts of a calculation that several rules have in common.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawShared {
    /// What it works out, in a line.
    pub doc: Text,
    /// As for [`RawRule`].
    pub limits: Entries<RawValue>,
    /// As for [`RawRule`].
    pub r#where: Entries<Text>,
}

/// A rule.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawRule {
    /// Names that it had before.
    pub was: Vec<Text>,
    /// The kinds of feature it looks at.
    pub about: Vec<Text>,
    /// What it is about, in a few words.
    pub title: Text,
    /// Only where this holds.
    pub when: Option<Text>,
    /// The groups of `shared` whose limits and steps it has besides its own.
    pub shares: Vec<Text>,
    /// Its numbers, which a project can change.
    pub limits: Entries<RawValue>,
    /// Names for parts of the calculation, each may use those before it.
    pub r#where: Entries<Text>,
    /// What must hold, by the level of the finding when it does not.
    pub holds: Entries<Text>,
    /// What a mend must keep to besides: a condition.
    pub aim: Option<Text>,
    /// The finding in words, with `{name}` for values.
    pub says: ByLevel,
    /// The same where it holds, but not for certain; without it `says` serves for both.
    pub doubts: ByLevel,
    /// The way out in words.
    pub help: ByLevel,
    /// The fields that may be changed to cure it.
    pub change: Vec<Text>,
    /// Raised while a sheet is read, not by a comparison; the level of its findings.
    pub reading: Option<Text>,
    /// A warning for people: it can be acknowledged, but neither permitted away nor switched off.
    pub caution: bool,
    /// Facts that it would need to have its say, `bears`, or only in some cases, `bears where cycles > 1`: where the
    /// sheet does not give one, the verdict says that it was not asked.
    pub asks: Vec<Text>,
    /// The rules that tell the cause, where this one finds a chance of failing only: theirs is enough.
    pub yields_to: Vec<Text>,
    /// What of printing a part one way up or another it decides: bed, support or strength.
    pub aspect: Option<Text>,
    /// The explanation.
    pub why: Text,
    /// On whose authority.
    pub sources: Vec<Text>,
    /// A sheet on which it raises nothing.
    pub passes: Text,
    /// A sheet on which it raises a finding.
    pub fails: Text,
}

/// Something to do, or to watch, at the bench.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawTask {
    /// The kinds of feature that call for it.
    pub about: Vec<Text>,
    /// When it is done: `before` the print, `during`, `after`, or at the `assembly`.
    pub at: Text,
    /// As for [`RawRule`].
    pub when: Option<Text>,
    /// As for [`RawRule`].
    pub shares: Vec<Text>,
    /// As for [`RawRule`].
    pub limits: Entries<RawValue>,
    /// As for [`RawRule`].
    pub r#where: Entries<Text>,
    /// What to do, with `{name}` for values.
    pub says: Text,
    /// Why, in half a line.
    pub because: Text,
    /// On whose authority.
    pub source: Text,
}
