//! Build script: reads the built-in pack's YAML and its formulas once, so that the program need not at
//! every start. A debug build in a working copy reads them when it runs, so that a changed word costs no new
//! build; `DRYFIT_PACK=embedded` carries them there too, for the tests of what is carried.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::{env, fs};

// The crate's own reader, as far as formulas need it.
#[path = "braces.rs"]
#[allow(dead_code)]
mod braces;
#[path = "cite.rs"]
mod cite;
#[path = "../fault/mod.rs"]
#[allow(dead_code, unused_imports)]
mod fault;
#[path = "../origin.rs"]
#[allow(dead_code)]
mod origin;
#[path = "schema/mod.rs"]
#[allow(dead_code, unused_imports)]
mod schema;
#[path = "../source/mod.rs"]
#[allow(dead_code, unused_imports)]
mod source;
#[path = "../syntax/mod.rs"]
#[allow(dead_code, unused_imports)]
mod syntax;
#[path = "words.rs"]
#[allow(dead_code)]
mod words;

/// What the program has of its own pack's texts; here they are gathered.
mod texts {
    use std::cell::RefCell;
    use std::collections::HashMap;

    /// Which text stands where.
    type Places = HashMap<String, (u32, u32)>;

    thread_local! {
        static TEXTS: RefCell<(String, Places)> = RefCell::default();
    }

    /// Nothing is read in this form while the program is built.
    pub fn text(_: (u32, u32)) -> &'static str {
        ""
    }

    /// Where a text is among all of them; one that is new comes last.
    pub fn place(text: &str) -> Option<(u32, u32)> {
        TEXTS.with_borrow_mut(|(all, places)| {
            if let Some(place) = places.get(text) {
                return Some(*place);
            }
            let place = (u32::try_from(all.len()).ok()?, u32::try_from(text.len()).ok()?);
            all.push_str(text);
            places.insert(text.to_owned(), place);
            Some(place)
        })
    }

    pub fn all() -> String {
        TEXTS.with_borrow(|(all, _)| all.clone())
    }
}

/// The source that the program gives to its own pack.
const BUILT_IN: source::SourceId = source::SourceId::BUILT_IN;
/// Places of texts with what these were read as.
type Read = BTreeMap<(u32, u32), Vec<u8>>;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo::rustc-check-cfg=cfg(rules_from_disk)");
    println!("cargo::rerun-if-changed=src/pack/embed.rs");
    println!("cargo::rerun-if-env-changed=DRYFIT_PACK");
    if is_read_from_disk() {
        println!("cargo::rustc-cfg=rules_from_disk");
        return Ok(());
    }
    println!("cargo::rerun-if-changed=rules");
    println!("cargo::rerun-if-changed=grammar");
    println!("cargo::rerun-if-changed=src/pack/schema");
    println!("cargo::rerun-if-changed=src/pack/words.rs");
    println!("cargo::rerun-if-changed=src/pack/cite.rs");
    println!("cargo::rerun-if-changed=src/pack/braces.rs");
    println!("cargo::rerun-if-changed=src/syntax");
    println!("cargo::rerun-if-changed=src/source");
    println!("cargo::rerun-if-changed=src/fault");
    println!("cargo::rerun-if-changed=src/origin.rs");
    let mut files = Vec::new();
    collect(Path::new("rules"), &mut files)?;
    files.sort();
    let mut packs: Vec<(String, schema::RawPack)> = Vec::new();
    for path in files {
        let text = fs::read_to_string(&path)?;
        let pack = serde_yaml::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        packs.push((path.to_string_lossy().replace('\\', "/"), pack));
    }
    let known = packs.iter().flat_map(|(_, pack)| cite::named(pack)).collect();
    for (_, pack) in &mut packs {
        cite::cite(pack, &known);
    }
    schema::whole_blocks(&mut packs)?;
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let (expressions, values) = formulas(&packs)?;
    fs::write(out.join("expressions.bin"), indexed(&expressions)?)?;
    fs::write(out.join("values.bin"), indexed(&values)?)?;
    fs::write(out.join("pack.bin"), postcard::to_stdvec(&parts(packs)?)?)?;
    fs::write(out.join("texts.txt"), texts::all())?;
    Ok(())
}

/// A page has no disk, and whoever uses the published crate may run the program elsewhere.
fn is_read_from_disk() -> bool {
    let is = |name: &str, value: &str| env::var(name).is_ok_and(|now| now == value);
    let is_working_copy = Path::new("tests").is_dir();
    is("PROFILE", "debug")
        && !is("CARGO_CFG_TARGET_FAMILY", "wasm")
        && !is("DRYFIT_PACK", "embedded")
        && is_working_copy
}

/// How many there are, for each where its text stands and where its bytes end, and all bytes: looked up as it lies in the
/// program.
fn indexed(read: &Read) -> Result<Vec<u8>, std::num::TryFromIntError> {
    let mut bytes = u32::try_from(read.len())?.to_le_bytes().to_vec();
    let mut end = 0;
    for ((start, length), tree) in read {
        end += u32::try_from(tree.len())?;
        bytes.extend([*start, *length, end].iter().flat_map(|number| number.to_le_bytes()));
    }
    bytes.extend(read.values().flatten());
    Ok(bytes)
}

/// A file of the pack, with what the program reads when a sheet calls for it in bytes of its own.
type Part = schema::Part<Vec<u8>, Vec<u8>, Vec<u8>, Vec<u8>, Vec<u8>>;

fn parts(packs: Vec<(String, schema::RawPack)>) -> postcard::Result<Vec<Part>> {
    packs.into_iter().map(|file| Part::of(file, bytes, bytes, bytes, bytes, bytes)).collect()
}

fn bytes<T: serde::Serialize>(whole: T) -> postcard::Result<Vec<u8>> {
    postcard::to_stdvec(&whole)
}

/// The expressions and the values of the packs. What cannot be read is left to the program, which
/// says what is wrong with it.
fn formulas(packs: &[(String, schema::RawPack)]) -> postcard::Result<(Read, Read)> {
    let (mut expressions, mut values) = (Read::new(), Read::new());
    let origin = origin::Origin::default();
    for (_, pack) in packs {
        let rules = pack.rules.0.iter().flat_map(|(_, rule)| of_rule(rule));
        let shared = pack.shared.0.iter().flat_map(|(_, shared)| of_steps(&shared.limits, &shared.r#where));
        let fields = pack.blocks.0.iter().flat_map(|(_, block)| &block.fields.0).flat_map(|(_, field)| of_field(field));
        let chances = pack.chances.0.iter().flat_map(|(_, by_level)| &by_level.0);
        let asked = pack.rules.0.iter().flat_map(|(_, rule)| &rule.asks).flat_map(|text| {
            let (fact, only) = schema::ask_parts(&text.value);
            std::iter::once(fact).chain(only).map(|part| (&*text.value, part))
        });
        let judged = chances.chain(&pack.steps.0).chain(&pack.resolution.0).chain(&pack.learning.0);
        let judged = judged.map(|(_, judged)| &judged.value);
        let derived = pack.blocks.0.iter().flat_map(|(_, block)| &block.derives.0).map(|(_, derived)| &derived.is);
        let bodies = pack.blocks.0.iter().filter_map(|(_, block)| block.body.as_deref()).flat_map(of_body);
        let whole = rules
            .chain(shared)
            .chain(fields)
            .chain(judged)
            .chain(derived)
            .chain(bodies)
            .map(|text| (&*text.value, 0..text.value.len()));
        let messages =
            pack.rules.0.iter().flat_map(|(_, rule)| [&rule.says, &rule.doubts, &rule.help]).flat_map(|said| &said.0);
        let braced =
            messages.flat_map(|(_, text)| braces::braced(&text.value).map(|braced| (&*text.value, braced.formula)));
        for (text, part) in whole.chain(braced).chain(asked) {
            let Ok(expression) = syntax::expression(&text[part.clone()], BUILT_IN, &origin) else { continue };
            expressions.extend(place(text, part).zip(Some(postcard::to_stdvec(&expression)?)));
        }
        let profiles = [&pack.materials, &pack.machines, &pack.instruments];
        for (_, stated) in profiles.into_iter().flat_map(|section| &section.0).flat_map(|(_, one)| &one.values.0) {
            let text = &*stated.value.value;
            let Ok(value) = syntax::value(text, BUILT_IN, &origin) else { continue };
            values.extend(place(text, 0..text.len()).zip(Some(postcard::to_stdvec(&value)?)));
        }
    }
    Ok((expressions, values))
}

/// Where a part of a text stands among all texts.
fn place(text: &str, part: std::ops::Range<usize>) -> Option<(u32, u32)> {
    let (start, _) = texts::place(text)?;
    Some((start + u32::try_from(part.start).ok()?, u32::try_from(part.len()).ok()?))
}

fn of_rule(rule: &schema::RawRule) -> impl Iterator<Item = &schema::Text> {
    let steps = of_steps(&rule.limits, &rule.r#where);
    let holds = rule.holds.0.iter().map(|(_, comparison)| comparison);
    rule.when.iter().chain(steps).chain(holds).chain(&rule.change).chain(&rule.aim)
}

fn of_steps<'a>(
    limits: &'a schema::Entries<schema::RawValue>,
    steps: &'a schema::Entries<schema::Text>,
) -> impl Iterator<Item = &'a schema::Text> {
    limits.0.iter().map(|(_, limit)| &limit.value).chain(steps.0.iter().map(|(_, step)| step))
}

fn of_field(field: &schema::RawField) -> impl Iterator<Item = &schema::Text> {
    [&field.default, &field.above, &field.at_least, &field.at_most].into_iter().flatten()
}

fn of_body(body: &schema::RawBody) -> impl Iterator<Item = &schema::Text> {
    [&body.ahead, &body.behind, &body.inward, &body.thick, &body.wide, &body.round].into_iter().flatten()
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, files)?;
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            files.push(path);
        }
    }
    Ok(())
}
