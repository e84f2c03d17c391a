//! The shape of pack files, as serde sees it. The build script reads the built-in pack with these
//! same types, so these files name nothing else of the crate but `Words`, and `last_word` of texts.

mod apart;
mod located;
mod rule;
mod whole;
mod word;

use serde::{Deserialize, Serialize};

pub use apart::{BlockApart, Ending, Part, RuleApart, TableApart, endings};
pub use located::{ByLevel, Entries, Located, Text};
pub use rule::{RawRule, RawShared, RawTask, ask_parts};
pub use whole::whole_blocks;
pub use word::{RawBlock, RawBody, RawColumn, RawDerived, RawDetail, RawField, RawLearnt, RawProfile, RawTable};

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
    /// Words that people write from habit, and what is written here.
    pub habits: Entries<Text>,
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
    /// The figures that learning from prints goes by.
    pub learning: Entries<RawValue>,
    /// Levels of rules that stand elsewhere.
    pub levels: Entries<Text>,
    /// Limits of rules that stand elsewhere, by rule and name.
    pub limits: Entries<Entries<Text>>,
}

/// How a number was had.
pub const BASES: [&str; 5] = ["published", "derived", "common-practice", "memory", "judgement"];
/// How sure it is.
pub const SURE: [&str; 3] = ["high", "medium", "low"];

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
