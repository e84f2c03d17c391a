//! The pack that every run starts from: in a debug build read from `rules/` when it runs, else carried in the
//! program as its build script read it.

use std::sync::Arc;

use super::schema::{self, RawBlock, RawPack, RawProfile, RawRule, RawTable};
use super::{Later, Words};

/// A file of the built-in pack, most of it not read yet.
pub(crate) type Part =
    schema::Part<Stored<RawRule>, Stored<RawBlock>, Stored<RawProfile>, StoredTable, Stored<RawPack>>;

/// A table, and the names of its rows with the places of their cells.
pub(crate) type StoredTable = Stored<(RawTable, Vec<(Words, usize)>)>;

/// What few runs ask for, file by file.
pub(crate) type Seldom = Arc<Later<Vec<RawPack>>>;

/// What few runs ask for of the built-in pack.
pub(crate) fn seldom(parts: &[Part]) -> Seldom {
    let stored: Vec<_> = parts.iter().map(|part| part.seldom.clone()).collect();
    Arc::new(Later::by(move || stored.iter().map(Stored::read).collect()))
}

/// The built-in pack's files with their names.
#[must_use]
pub fn built_in() -> Vec<(String, RawPack)> {
    let whole = |part: Part| {
        part.whole(
            |rule| rule.read(),
            |block| block.read(),
            |profile| profile.read(),
            |table| table.read(),
            |seldom| seldom.read(),
        )
    };
    parts().into_iter().map(whole).collect()
}

#[cfg(rules_from_disk)]
mod source {
    use std::convert::Infallible;
    use std::fs;
    use std::path::Path;
    use std::sync::OnceLock;

    use super::Part;
    use crate::pack::schema::{RawPack, whole_blocks};
    use crate::pack::{BUILT_IN, cite, yaml};
    use crate::source::Source;
    use crate::syntax::tree::{Expr, Value};

    /// What was read with its file.
    #[derive(Debug, Clone)]
    pub(crate) struct Stored<T>(T);

    impl<T: Clone> Stored<T> {
        pub(crate) fn read(&self) -> T {
            self.0.clone()
        }
    }

    /// The built-in pack's files.
    ///
    /// # Panics
    /// Where a file of `rules/` cannot be read: only whoever changes it sees that.
    pub(crate) fn parts() -> Vec<Part> {
        static PARTS: OnceLock<Vec<Part>> = OnceLock::new();
        PARTS.get_or_init(read).clone()
    }

    #[allow(clippy::panic, reason = "debug builds only: the developer's own file is at fault")]
    fn read() -> Vec<Part> {
        let mut packs = of_folder(Path::new(env!("CARGO_MANIFEST_DIR")), "rules");
        let known = packs.iter().flat_map(|(_, pack)| cite::named(pack)).collect();
        for (_, pack) in &mut packs {
            cite::cite(pack, &known);
        }
        if let Err(why) = whole_blocks(&mut packs) {
            panic!("rules: {why}");
        }
        let part = |file: (String, RawPack)| {
            let Ok(part) = Part::of(file, kept, kept, kept, kept, kept);
            part
        };
        packs.into_iter().map(part).collect()
    }

    #[allow(clippy::unnecessary_wraps, reason = "what the build script does in its place can fail")]
    fn kept<T>(whole: T) -> Result<Stored<T>, Infallible> {
        Ok(Stored(whole))
    }

    #[allow(clippy::panic, reason = "debug builds only: the developer's own file is at fault")]
    fn of_folder(root: &Path, folder: &str) -> Vec<(String, RawPack)> {
        let entries = fs::read_dir(root.join(folder)).into_iter().flatten().filter_map(Result::ok);
        let mut names: Vec<String> =
            entries.map(|entry| format!("{folder}/{}", entry.file_name().to_string_lossy())).collect();
        names.sort();
        let mut packs = Vec::new();
        for name in names {
            let path = root.join(&name);
            if path.is_dir() {
                packs.extend(of_folder(root, &name));
            } else if path.extension().is_some_and(|ending| ending == "yaml") {
                let source = Source::new(name.as_str(), fs::read_to_string(&path).unwrap_or_default());
                let (pack, faults) = yaml::read(&source, BUILT_IN);
                if let Some(fault) = faults.first() {
                    let place = source.place(fault.at.start);
                    panic!("{name}:{}:{}: {}", place.line, place.column, fault.message());
                }
                packs.extend(pack.map(|pack| (name, pack)));
            }
        }
        packs.sort_by(|(one, _), (other, _)| one.cmp(other));
        packs
    }

    /// Nothing was read before.
    pub fn expression(_: &str) -> Option<Expr> {
        None
    }

    /// Nothing was read before.
    pub fn value(_: &str) -> Option<Value> {
        None
    }
}

#[cfg(not(rules_from_disk))]
mod source {
    use std::marker::PhantomData;

    use serde::{Deserialize, Deserializer};

    use super::Part;
    use crate::pack::texts::{TextRange, place};
    use crate::syntax::tree::{Expr, Value};

    /// A rule, block, profile or table in the bytes that the build script wrote.
    #[derive(Debug, Clone)]
    pub(crate) struct Stored<T>(&'static [u8], PhantomData<fn() -> T>);

    impl<T: Deserialize<'static>> Stored<T> {
        pub(crate) fn read(&self) -> T {
            #[allow(clippy::expect_used, reason = "no input reaches it, and a test decodes the same bytes")]
            postcard::from_bytes(self.0).expect("the built-in pack is what the build script wrote")
        }
    }

    impl<T> Deserialize<'static> for Stored<T> {
        fn deserialize<D: Deserializer<'static>>(deserializer: D) -> Result<Self, D::Error> {
            Ok(Self(Deserialize::deserialize(deserializer)?, PhantomData))
        }
    }

    /// The built-in pack's files, read from YAML when the program was built.
    ///
    /// # Panics
    /// Never in a program that was built: its build script wrote these bytes with the same types.
    pub(crate) fn parts() -> Vec<Part> {
        const BYTES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/pack.bin"));
        #[allow(clippy::expect_used, reason = "no input reaches it, and a test decodes the same bytes")]
        postcard::from_bytes(BYTES).expect("the built-in pack is what the build script wrote")
    }

    /// Places with the trees that the texts there were read as, in the order of the places, as the build script laid
    /// them: their count, for each the place and where its tree ends, and the trees.
    pub(super) struct Read(&'static [u8]);

    /// The expressions of the built-in pack, read when the program was built.
    pub(super) static EXPRESSIONS: Read = Read(include_bytes!(concat!(env!("OUT_DIR"), "/expressions.bin")));
    /// Its values.
    pub(super) static VALUES: Read = Read(include_bytes!(concat!(env!("OUT_DIR"), "/values.bin")));

    impl Read {
        fn number(&self, index: usize) -> Option<u32> {
            let bytes = self.0.get(4 * index..4 * index + 4)?;
            Some(u32::from_le_bytes(bytes.try_into().ok()?))
        }

        pub(super) fn count(&self) -> usize {
            self.number(0).map_or(0, |count| count as usize)
        }

        /// The place of one of them.
        pub(super) fn place(&self, index: usize) -> Option<TextRange> {
            Some((self.number(3 * index + 1)?, self.number(3 * index + 2)?))
        }

        fn tree<T: Deserialize<'static>>(&self, text: &str) -> Option<T> {
            let place = place(text)?;
            let (mut low, mut high) = (0, self.count());
            while low < high {
                let middle = usize::midpoint(low, high);
                if self.place(middle)? < place { low = middle + 1 } else { high = middle }
            }
            if self.place(low)? != place {
                return None;
            }
            let trees = 4 + 12 * self.count();
            let start = if low == 0 { 0 } else { self.number(3 * low)? as usize };
            let end = self.number(3 * low + 3)? as usize;
            postcard::from_bytes(self.0.get(trees + start..trees + end)?).ok()
        }
    }

    /// The expression that a text of the built-in pack is; without it each formula is read when it is needed.
    pub fn expression(text: &str) -> Option<Expr> {
        EXPRESSIONS.tree(text)
    }

    /// The value that a text of the built-in pack is.
    pub fn value(text: &str) -> Option<Value> {
        VALUES.tree(text)
    }
}

pub(crate) use source::{Stored, parts};
pub(super) use source::{expression, value};

#[cfg(all(test, not(rules_from_disk)))]
mod tests {
    use super::super::texts::text;
    use super::source::{EXPRESSIONS, VALUES};
    use super::{expression, value};
    use crate::origin::Origin;
    use crate::pack::BUILT_IN;
    use crate::syntax;

    /// As it is stored, without its places.
    fn stored(tree: Option<impl serde::Serialize>) -> Option<Vec<u8>> {
        tree.and_then(|tree| postcard::to_stdvec(&tree).ok())
    }

    #[test]
    fn formulas_are_what_the_program_itself_would_read() {
        let places = |read: &'static super::source::Read| (0..read.count()).filter_map(|index| read.place(index));
        assert!(EXPRESSIONS.count() > 0 && VALUES.count() > 0);
        for place in places(&EXPRESSIONS) {
            let text = text(place);
            assert_eq!(
                stored(expression(text)),
                stored(syntax::expression(text, BUILT_IN, &Origin::default()).ok()),
                "{text}"
            );
        }
        for place in places(&VALUES) {
            let text = text(place);
            assert_eq!(stored(value(text)), stored(syntax::value(text, BUILT_IN, &Origin::default()).ok()), "{text}");
        }
    }
}
