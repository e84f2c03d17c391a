//! The pack that every run starts from: in a debug build read from `rules/` when it runs, else carried in the
//! program as its build script read it.

#[cfg(rules_from_disk)]
mod source {
    use std::fs;
    use std::path::Path;
    use std::sync::OnceLock;

    use crate::pack::schema::RawPack;
    use crate::pack::{BUILT_IN, cite, yaml};
    use crate::source::Source;
    use crate::syntax::tree::{Expr, Value};

    /// The built-in pack's files with their names.
    ///
    /// # Panics
    /// Where a file of `rules/` cannot be read: only whoever changes it sees that.
    #[must_use]
    pub fn built_in() -> Vec<(String, RawPack)> {
        static PACKS: OnceLock<Vec<(String, RawPack)>> = OnceLock::new();
        PACKS.get_or_init(read).clone()
    }

    fn read() -> Vec<(String, RawPack)> {
        let mut packs = of_folder(Path::new(env!("CARGO_MANIFEST_DIR")), "rules");
        let known = packs.iter().flat_map(|(_, pack)| cite::named(pack)).collect();
        for (_, pack) in &mut packs {
            cite::cite(pack, &known);
        }
        packs
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
                match yaml::read(&source, BUILT_IN) {
                    Ok(pack) => packs.push((name, pack)),
                    Err(fault) => {
                        let place = source.place(fault.at.start);
                        panic!("{name}:{}:{}: {}", place.line, place.column, fault.message);
                    }
                }
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
    use std::sync::OnceLock;

    use serde::Deserialize;

    use crate::pack::schema::RawPack;
    use crate::pack::texts::{TextRange, place};
    use crate::syntax::tree::{Expr, Value};

    /// The built-in pack's files with their names, read from YAML when the program was built.
    ///
    /// # Panics
    /// Never in a program that was built: its build script wrote these bytes with the same types.
    #[must_use]
    pub fn built_in() -> Vec<(String, RawPack)> {
        const BYTES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/pack.bin"));
        #[allow(clippy::expect_used, reason = "no input reaches it, and a test decodes the same bytes")]
        postcard::from_bytes(BYTES).expect("the built-in pack is what the build script wrote")
    }

    /// Places with the trees that the texts there were read as, in the order of the places.
    type Read = Vec<(TextRange, &'static [u8])>;

    /// The expressions and the values of the built-in pack, read when the program was built.
    pub(super) fn formulas() -> &'static (Read, Read) {
        const BYTES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/formulas.bin"));
        static FORMULAS: OnceLock<(Read, Read)> = OnceLock::new();
        // Without them each formula is read when it is needed.
        FORMULAS.get_or_init(|| postcard::from_bytes(BYTES).unwrap_or_default())
    }

    /// The expression that a text of the built-in pack is.
    pub fn expression(text: &str) -> Option<Expr> {
        tree(&formulas().0, text)
    }

    /// The value that a text of the built-in pack is.
    pub fn value(text: &str) -> Option<Value> {
        tree(&formulas().1, text)
    }

    fn tree<T: Deserialize<'static>>(read: &Read, text: &str) -> Option<T> {
        let place = place(text)?;
        let at = read.binary_search_by_key(&place, |(place, _)| *place).ok()?;
        postcard::from_bytes(read.get(at)?.1).ok()
    }
}

pub use source::built_in;
pub(super) use source::{expression, value};

#[cfg(all(test, not(rules_from_disk)))]
mod tests {
    use super::super::texts::text;
    use super::source::formulas;
    use super::{expression, value};
    use crate::origin::Origin;
    use crate::pack::BUILT_IN;
    use crate::syntax;

    #[test]
    fn formulas_are_what_the_program_itself_would_read() {
        let (expressions, values) = formulas();
        assert!(!expressions.is_empty() && !values.is_empty());
        for (place, _) in expressions {
            let text = text(*place);
            assert_eq!(expression(text), syntax::expression(text, BUILT_IN, &Origin::default()).ok(), "{text}");
        }
        for (place, _) in values {
            let text = text(*place);
            assert_eq!(value(text), syntax::value(text, BUILT_IN, &Origin::default()).ok(), "{text}");
        }
    }
}
