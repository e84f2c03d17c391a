use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;

use super::assert_current;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// The README and the pages that are written by hand: those that the data writes are checked in `reference.rs`.
fn pages() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(Path::new(ROOT).join("docs"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| {
            Path::new(name).extension().is_some_and(|ending| ending == "md")
                && !["words.md", "rules.md"].contains(&name.as_str())
        })
        .map(|name| format!("docs/{name}"))
        .chain(["README.md".to_owned()])
        .collect();
    names.sort();
    names
}

/// Fenced blocks marked `dryfit NAME` or `yaml NAME` are files; those marked `console` hold `$ dryfit …` commands
/// with what they print. Those of a page work in one folder that also holds the demo sheets.
#[test]
fn the_pages_commands_print_what_they_show() {
    let commands: usize = pages().iter().map(|page| commands_of(page)).sum();
    assert!(commands >= 10, "the pages show only {commands} commands");
}

fn commands_of(page: &str) -> usize {
    let folder = tempfile::tempdir().unwrap();
    copy(&Path::new(ROOT).join("demo-data"), &folder.path().join("demo-data"));
    let text = fs::read_to_string(Path::new(ROOT).join(page)).unwrap();
    let mut wanted = String::new();
    let mut lines = text.lines();
    let mut commands = 0;
    while let Some(line) = lines.next() {
        wanted.push_str(line);
        wanted.push('\n');
        let Some(kind) = line.strip_prefix("```").filter(|kind| !kind.is_empty()) else { continue };
        let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
        if let Some(name) = kind.strip_prefix("dryfit ").or_else(|| kind.strip_prefix("yaml ")) {
            fs::write(folder.path().join(name), block.join("\n") + "\n").unwrap();
        }
        if kind == "console" {
            for command in block.iter().filter_map(|line| line.strip_prefix("$ dryfit ")) {
                commands += 1;
                let _ = write!(wanted, "$ dryfit {command}\n{}", run(command, folder.path()));
            }
        } else {
            let _ = writeln!(wanted, "{}", block.join("\n"));
        }
        wanted.push_str("```\n");
    }
    assert_current(page, &wanted);
    commands
}

/// What a page points at in this folder is there.
#[test]
fn the_pages_links_lead_somewhere() {
    let mut met = 0;
    for page in pages() {
        let path = Path::new(ROOT).join(&page);
        let text = fs::read_to_string(&path).unwrap();
        for rest in text.split("](").skip(1) {
            let target = rest.split([')', '#']).next().unwrap();
            if target.is_empty() || target.contains("://") {
                continue;
            }
            assert!(path.parent().unwrap().join(target).exists(), "{page} points at {target}");
            met += 1;
        }
    }
    assert!(met >= 10, "the pages have only {met} links");
}

/// The one command that sets a newcomer's test run going is the one that CI runs.
#[test]
fn the_readme_has_two_commands_to_set_up() {
    let text = fs::read_to_string(Path::new(ROOT).join("README.md")).unwrap();
    let section = text.split("\n## ").find(|section| section.starts_with("Set up")).unwrap();
    let blocks: Vec<&str> = section.split("```sh\n").skip(1).map(|rest| rest.split("```").next().unwrap()).collect();
    assert_eq!(blocks.len(), 2, "{blocks:?}");
    assert!(blocks[0].starts_with("cargo run"), "{}", blocks[0]);
    assert_eq!(blocks[1].trim(), "cargo test");
}

fn run(command: &str, folder: &Path) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_dryfit"))
        .args(command.split_whitespace())
        .current_dir(folder)
        .env("COLUMNS", "96")
        .output()
        .unwrap();
    let talk = String::from_utf8(output.stderr).unwrap();
    let data = String::from_utf8(output.stdout).unwrap();
    // Trailing blanks do not survive editors.
    let text: String = (data + &talk).lines().map(|line| line.trim_end().to_owned() + "\n").collect();
    text
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        if path.is_file() {
            fs::copy(&path, to.join(path.file_name().unwrap())).unwrap();
        }
    }
}
