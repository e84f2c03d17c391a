//! A pack's files taken apart: what the program has of its own pack from the start, and what it reads when a sheet calls
//! for it. How the latter is kept is left open: the build script keeps bytes, the program where these are.

use serde::{Deserialize, Serialize};

use super::super::words::Words;
use super::{Entries, RawBlock, RawPack, RawProfile, RawRule, RawTable, Text};
use crate::source::last_word;

/// A file whose rules, blocks, profiles and tables are kept as `R`, `B`, `P` and `T`, and what few runs ask for as `S`.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Part<R, B, P, T, S> {
    /// The file.
    pub name: String,
    /// All of it but these.
    pub pack: RawPack,
    /// Its rules.
    pub rules: Vec<RuleApart<R>>,
    /// Its kinds of block.
    pub blocks: Vec<BlockApart<B>>,
    /// Its materials, machines and instruments.
    pub profiles: [Vec<(Text, P)>; 3],
    /// Its tables.
    pub tables: Vec<TableApart<T>>,
    /// Its tasks, terms, habits, sources and figures of learning, as a file of these alone.
    pub seldom: S,
}

/// A rule, with what tells whether a sheet calls for it.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct RuleApart<R> {
    /// Its name.
    pub name: Text,
    /// The kinds of feature that it looks at.
    pub about: Vec<Text>,
    /// A warning for people.
    pub caution: bool,
    /// How it works.
    pub works: R,
    /// What it says, as a rule of this alone.
    pub says: R,
}

/// A kind of block, with what is asked of all kinds to find one.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct BlockApart<B> {
    /// Its word.
    pub name: Text,
    /// All but its fields, its space and its drawing.
    pub head: RawBlock,
    /// The words of its fields.
    pub fields: Vec<Words>,
    /// The names of what follows from them.
    pub derives: Vec<Words>,
    /// All of it.
    pub whole: B,
}

/// A table, with the last words of its rows' names: a long one is mostly asked for what it does not have, and has the
/// same cells in many rows.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct TableApart<T> {
    /// Its name.
    pub name: Text,
    /// The ends of its rows' names, in their order.
    pub endings: Vec<Ending>,
    /// All of it, of rows with the same cells the first; and the names of its rows, each with the row that has its cells.
    pub whole: T,
}

/// How the name of a table's row ends.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Ending {
    /// From its last word on, in small letters.
    pub end: Words,
    /// The place of the row.
    pub row: usize,
    /// All of the name.
    pub name: Words,
}

impl<R, B, P, T, S> Part<R, B, P, T, S> {
    /// Takes a file apart; the rest says how to keep its rules, blocks, profiles and tables, and what few runs ask for.
    ///
    /// # Errors
    /// What these say.
    pub fn of<E>(
        (name, mut pack): (String, RawPack),
        rule: impl Fn(RawRule) -> Result<R, E>,
        block: impl Fn(RawBlock) -> Result<B, E>,
        profile: impl Fn(RawProfile) -> Result<P, E>,
        table: impl Fn((RawTable, Vec<(Words, usize)>)) -> Result<T, E>,
        seldom: impl Fn(RawPack) -> Result<S, E>,
    ) -> Result<Self, E> {
        let rule_apart = |(name, mut works): (Text, RawRule)| {
            let (about, caution) = (works.about.clone(), works.caution);
            let says = rule(works.take_says())?;
            Ok(RuleApart { name, about, caution, works: rule(works)?, says })
        };
        let block_apart = |(name, whole): (Text, RawBlock)| {
            let (fields, derives) = (words(&whole.fields), words(&whole.derives));
            Ok(BlockApart { name, head: head(&whole), fields, derives, whole: block(whole)? })
        };
        let rules = taken(&mut pack.rules).map(rule_apart).collect::<Result<_, E>>()?;
        let blocks = taken(&mut pack.blocks).map(block_apart).collect::<Result<_, E>>()?;
        let table_apart = |(name, mut whole): (Text, RawTable)| {
            let rows = fold(&mut whole);
            Ok(TableApart { name, endings: endings(&rows), whole: table((whole, rows))? })
        };
        let tables = taken(&mut pack.tables).map(table_apart).collect::<Result<_, E>>()?;
        let mut profiles = [const { Vec::new() }; 3];
        for (kept, section) in profiles.iter_mut().zip([&mut pack.materials, &mut pack.machines, &mut pack.instruments])
        {
            for (name, whole) in taken(section) {
                kept.push((name, profile(whole)?));
            }
        }
        let seldom = seldom(seldom_of(&mut pack))?;
        Ok(Self { name, pack, rules, blocks, profiles, tables, seldom })
    }

    /// The file as it was; the rest says how to read what was kept.
    pub fn whole(
        self,
        rule: impl Fn(R) -> RawRule,
        block: impl Fn(B) -> RawBlock,
        profile: impl Fn(P) -> RawProfile,
        table: impl Fn(T) -> (RawTable, Vec<(Words, usize)>),
        seldom: impl Fn(S) -> RawPack,
    ) -> (String, RawPack) {
        let [materials, machines, instruments] = self
            .profiles
            .map(|section| Entries(section.into_iter().map(|(name, kept)| (name, profile(kept))).collect()));
        let RawPack { tasks, terms, habits, sources, learning, .. } = seldom(self.seldom);
        let pack = RawPack {
            tasks,
            terms,
            habits,
            sources,
            learning,
            rules: Entries(
                self.rules
                    .into_iter()
                    .map(|apart| (apart.name, rule(apart.works).with_says(rule(apart.says))))
                    .collect(),
            ),
            blocks: Entries(self.blocks.into_iter().map(|apart| (apart.name, block(apart.whole))).collect()),
            tables: Entries(self.tables.into_iter().map(|apart| unfold(apart, &table)).collect()),
            materials,
            machines,
            instruments,
            ..self.pack
        };
        (self.name, pack)
    }
}

fn taken<T>(entries: &mut Entries<T>) -> impl Iterator<Item = (Text, T)> + use<T> {
    std::mem::take(&mut entries.0).into_iter()
}

/// Takes out of a file what few runs ask for.
fn seldom_of(pack: &mut RawPack) -> RawPack {
    RawPack {
        tasks: std::mem::take(&mut pack.tasks),
        terms: std::mem::take(&mut pack.terms),
        habits: std::mem::take(&mut pack.habits),
        sources: std::mem::take(&mut pack.sources),
        learning: std::mem::take(&mut pack.learning),
        ..RawPack::default()
    }
}

/// How the names of a table's rows end, in the order of the ends.
#[must_use]
pub fn endings(rows: &[(Words, usize)]) -> Vec<Ending> {
    let ending = |(row, (name, _)): (usize, &(Words, usize))| {
        let small = name.to_lowercase();
        let end = small[last_word(&small)?.start..].to_owned().into();
        Some(Ending { end, row, name: name.clone() })
    };
    let mut endings: Vec<Ending> = rows.iter().enumerate().filter_map(ending).collect();
    endings.sort();
    endings
}

fn words<T>(entries: &Entries<T>) -> Vec<Words> {
    entries.0.iter().map(|(name, _)| name.value.clone()).collect()
}

/// Leaves one of the rows that have the same cells; gives the names of all, with the place of the one.
fn fold(table: &mut RawTable) -> Vec<(Words, usize)> {
    let (mut names, mut left) = (Vec::new(), Vec::<(Text, Vec<Option<Text>>)>::new());
    for (name, cells) in std::mem::take(&mut table.rows.0) {
        let known = left.iter().position(|(_, known)| alike(known, &cells));
        names.push((name.value.clone(), known.unwrap_or(left.len())));
        if known.is_none() {
            left.push((name, cells));
        }
    }
    table.rows.0 = left;
    names
}

/// Whether they say the same, wherever it is written.
fn alike(one: &[Option<Text>], other: &[Option<Text>]) -> bool {
    let said = |cell: &Option<Text>| cell.as_ref().map(|cell| cell.value.clone());
    one.iter().map(said).eq(other.iter().map(said))
}

/// The table as it was.
fn unfold<T>(apart: TableApart<T>, table: impl Fn(T) -> (RawTable, Vec<(Words, usize)>)) -> (Text, RawTable) {
    let (mut table, rows) = table(apart.whole);
    let cells = |row: usize| table.rows.0.get(row).map(|(_, cells)| cells.clone()).unwrap_or_default();
    let rows = rows.into_iter().map(|(name, row)| (Text { value: name, at: None }, cells(row))).collect();
    table.rows = Entries(rows);
    (apart.name, table)
}

fn head(block: &RawBlock) -> RawBlock {
    let (open, body, detail, example) = (None, None, None, None);
    let (fields, derives) = (Entries::default(), Entries::default());
    RawBlock { open, fields, derives, body, detail, example, ..block.clone() }
}

#[cfg(test)]
mod tests {
    use std::convert::Infallible;

    use super::{Part, RawPack};

    /// Something of each section, and of tables two rows that say the same.
    const FILE: &str = "
blocks: {wall: {doc: a wall, fields: {height: {kind: length}}, derives: {slenderness: {is: height / thickness}}}}
materials: {petg: {values: {density: {value: 1.27}}}}
machines: {bench: {values: {nozzle: {value: 0.4 mm}}}}
instruments: {caliper: {values: {step: {value: 0.01 mm}}}}
tables: {sizes: {columns: {wide: {unit: mm}, note: {unit: word}}, rows: {M3: [3, big], M4: [4, big], M5: [3, big]}}}
sources: {handbook: a handbook}
terms: {rim: what stands around a hole}
habits: {width: thickness}
rules: {thin: {about: [wall], title: a thin wall, says: it is too thin}}
tasks: {look: {about: [wall]}}
learning: {least: {value: 3}}
levels: {thin: note}
";

    #[test]
    fn what_was_taken_apart_becomes_what_it_was() -> Result<(), Box<dyn std::error::Error>> {
        let pack: RawPack = serde_yaml::from_str(FILE)?;
        let before = serde_json::to_value(&pack)?;
        let part: Part<_, _, _, _, _> = Part::of::<Infallible>(("a.yaml".into(), pack), Ok, Ok, Ok, Ok, Ok)?;
        assert_eq!(part.tables[0].endings.len(), 3);
        let ids = (part.rules.len(), part.blocks.len(), part.profiles.each_ref().map(Vec::len));
        assert_eq!(ids, (1, 1, [1, 1, 1]));
        let (name, pack) = part.whole(|rule| rule, |block| block, |profile| profile, |table| table, |seldom| seldom);
        assert_eq!((name.as_str(), serde_json::to_value(&pack)?), ("a.yaml", before));
        Ok(())
    }
}
