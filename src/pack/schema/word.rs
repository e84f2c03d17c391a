//! The shape of words: blocks with their fields, profiles and tables.

use serde::{Deserialize, Serialize};

use super::{Entries, RawValue, Text};

/// A kind of block.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
#[allow(clippy::struct_excessive_bools, reason = "each is a word of the data that is there or not")]
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
    /// It belongs to notes on prints: an editor offers it in these alone.
    pub in_notes: bool,
    /// Its dimensions are drawn and printed, not measured.
    pub drawn: bool,
    /// It matters to it which way up the part prints.
    pub oriented: bool,
    /// Any further field is allowed, of this kind.
    pub open: Option<Box<RawField>>,
    /// Its fields.
    pub fields: Entries<RawField>,
    /// What follows from its fields, for the rules on it and on what is in it.
    pub derives: Entries<RawDerived>,
    /// The space that it takes up around the place where it is.
    pub body: Option<Box<RawBody>>,
    /// How it is drawn beside the views of its part.
    pub detail: Option<Box<RawDetail>>,
    /// An example, for the reference.
    pub example: Option<Text>,
}

impl RawBlock {
    /// Whether it gives nothing but what may be added to a block that exists: fields, and what follows from them.
    #[must_use]
    pub fn adds_only(&self) -> bool {
        let Self { doc, was, r#in, name, profile, acts, single, in_notes, drawn, oriented, open, .. } = self;
        let texts = [doc, name].into_iter().all(|text| text.value.is_empty());
        let lists = was.is_empty() && r#in.is_empty();
        let flags = *single || *in_notes || *drawn || *oriented;
        let named = profile.is_some() || acts.is_some();
        let parts = open.is_some() || self.body.is_some() || self.detail.is_some() || self.example.is_some();
        texts && lists && !(flags || named || parts)
    }
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

/// A small drawing of a block.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RawDetail {
    /// What is drawn: `arm`, `slot`, `rings`, …
    pub shape: Text,
    /// What it measures, formulas in the block's own terms, in the order of the shape.
    pub of: Vec<Text>,
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
    /// The field of which it keeps its share where a mend makes that larger.
    pub keeps_to: Option<Text>,
    /// Where it is in the block's first line: `first`, or `named` (after its own name).
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
