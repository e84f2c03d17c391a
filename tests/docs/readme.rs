use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;

use super::assert_current;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// Fenced blocks marked `dryfit NAME` are files; those marked `console` hold `$ dryfit …` commands
/// with what they print. Both work in one folder that also holds the demo sheets.
#[test]
fn the_readmes_commands_print_what_it_shows() {
    let folder = tempfile::tempdir().unwrap();
    copy(&Path::new(ROOT).join("demo-data"), &folder.path().join("demo-data"));
    let text = fs::read_to_string(Path::new(ROOT).join("README.md")).unwrap();
    let mut wanted = String::new();
    let mut lines = text.lines();
    let mut commands = 0;
    while let Some(line) = lines.next() {
        wanted.push_str(line);
        wanted.push('\n');
        let Some(kind) = line.strip_prefix("```").filter(|kind| !kind.is_empty()) else { continue };
        let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
        if let Some(name) = kind.strip_prefix("dryfit ") {
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
    assert!(commands >= 3, "the README shows only {commands} commands");
    assert_current("README.md", &wanted);
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
