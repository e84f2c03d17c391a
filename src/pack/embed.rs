//! Build script: reads the built-in pack's YAML once, so that the program need not at every start.

use std::path::{Path, PathBuf};
use std::{env, fs};

#[path = "raw.rs"]
#[allow(dead_code)]
mod raw;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    println!("cargo::rerun-if-changed=rules");
    println!("cargo::rerun-if-changed=grammar");
    println!("cargo::rerun-if-changed=src/pack/raw.rs");
    println!("cargo::rerun-if-changed=src/pack/embed.rs");
    let mut files = Vec::new();
    collect(Path::new("rules"), &mut files)?;
    files.sort();
    let mut packs: Vec<(String, raw::RawPack)> = Vec::new();
    for path in files {
        let text = fs::read_to_string(&path)?;
        let pack = serde_yaml::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        packs.push((path.to_string_lossy().replace('\\', "/"), pack));
    }
    let out = PathBuf::from(env::var("OUT_DIR")?).join("pack.bin");
    fs::write(out, postcard::to_stdvec(&packs)?)?;
    Ok(())
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
