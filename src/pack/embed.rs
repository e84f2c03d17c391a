//! Build script: reads the built-in pack's YAML and its formulas once, so that the program need not at
//! every start.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::{env, fs};

// The crate's own reader, as far as formulas need it.
#[path = "../fault.rs"]
#[allow(dead_code)]
mod fault;
#[path = "../origin.rs"]
#[allow(dead_code)]
mod origin;
#[path = "raw.rs"]
#[allow(dead_code)]
mod raw;
#[path = "../source.rs"]
#[allow(dead_code)]
mod source;
#[path = "../syntax/mod.rs"]
#[allow(dead_code, unused_imports)]
mod syntax;

/// The source that the program gives to its own pack.
const BUILT_IN: source::SourceId = source::SourceId(u32::MAX);
/// Texts with what they were read as.
type Read = BTreeMap<String, Vec<u8>>;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo::rerun-if-changed=rules");
    println!("cargo::rerun-if-changed=grammar");
    println!("cargo::rerun-if-changed=src/pack/raw.rs");
    println!("cargo::rerun-if-changed=src/pack/embed.rs");
    println!("cargo::rerun-if-changed=src/syntax");
    println!("cargo::rerun-if-changed=src/source.rs");
    println!("cargo::rerun-if-changed=src/fault.rs");
    println!("cargo::rerun-if-changed=src/origin.rs");
    let mut files = Vec::new();
    collect(Path::new("rules"), &mut files)?;
    files.sort();
    let mut packs: Vec<(String, raw::RawPack)> = Vec::new();
    for path in files {
        let text = fs::read_to_string(&path)?;
        let pack = serde_yaml::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        packs.push((path.to_string_lossy().replace('\\', "/"), pack));
    }
    let out = PathBuf::from(env::var("OUT_DIR")?);
    fs::write(out.join("pack.bin"), postcard::to_stdvec(&packs)?)?;
    fs::write(out.join("formulas.bin"), postcard::to_stdvec(&formulas(&packs)?)?)?;
    Ok(())
}

/// The expressions and the values of the packs. What cannot be read is left to the program, which
/// says what is wrong with it.
fn formulas(packs: &[(String, raw::RawPack)]) -> postcard::Result<(Read, Read)> {
    let (mut expressions, mut values) = (Read::new(), Read::new());
    for (_, pack) in packs {
        let rules = pack.rules.0.iter().flat_map(|(_, rule)| of_rule(rule));
        let fields = pack.blocks.0.iter().flat_map(|(_, block)| &block.fields.0).flat_map(|(_, field)| of_field(field));
        for text in rules.chain(fields) {
            if let Ok(expression) = syntax::expression(&text.value, BUILT_IN, &origin::Origin::default()) {
                expressions.insert(text.value.clone(), postcard::to_stdvec(&expression)?);
            }
        }
        let profiles = [&pack.materials, &pack.machines, &pack.instruments];
        for (_, stated) in profiles.into_iter().flat_map(|section| &section.0).flat_map(|(_, one)| &one.values.0) {
            if let Ok(value) = syntax::value(&stated.value.value, BUILT_IN, &origin::Origin::default()) {
                values.insert(stated.value.value.clone(), postcard::to_stdvec(&value)?);
            }
        }
    }
    Ok((expressions, values))
}

fn of_rule(rule: &raw::RawRule) -> impl Iterator<Item = &raw::Text> {
    let limits = rule.limits.0.iter().map(|(_, limit)| &limit.value);
    let steps = rule.r#where.0.iter().map(|(_, step)| step);
    let holds = rule.holds.0.iter().map(|(_, comparison)| comparison);
    rule.when.iter().chain(limits).chain(steps).chain(holds).chain(&rule.change)
}

fn of_field(field: &raw::RawField) -> impl Iterator<Item = &raw::Text> {
    [&field.default, &field.above, &field.at_least, &field.at_most].into_iter().flatten()
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
