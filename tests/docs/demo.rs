use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// What each demo sheet teaches, a line a finding and the verdict; permitted findings are counted there.
#[test]
fn the_demo_sheets_show_what_they_are_there_for() {
    let mut met = 0;
    for name in sheets() {
        let path = format!("demo-data/{name}.dryfit");
        let lines = dryfit(&["inspect", "--report", "lines", &path]);
        let shown = String::from_utf8(lines.stdout).unwrap();
        insta::with_settings!({snapshot_path => "../snapshots/demo", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(name.as_str(), &shown);
        });
        let no_go = lines.status.code() == Some(1);
        assert_eq!(no_go, name == "vent-latch", "{path}: only the vent latch is drawn to fail\n{shown}");
        met += 1;
    }
    assert!(met >= 7, "only {met} demo sheets were found");
}

#[test]
fn the_demo_sheets_are_tidy() {
    let output = dryfit(&["format", "--check", "demo-data"]);
    assert!(output.status.success(), "{}", String::from_utf8(output.stderr).unwrap());
}

/// Their page has a line for each.
#[test]
fn the_page_lists_the_demo_sheets() {
    let text = fs::read_to_string(Path::new(ROOT).join("docs/demo-sheets.md")).unwrap();
    for name in sheets() {
        assert!(
            text.contains(&format!("](../demo-data/{name}.dryfit)")),
            "{name} is not on the page of the demo sheets"
        );
    }
}

fn sheets() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(Path::new(ROOT).join("demo-data"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "dryfit"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    names.sort();
    names
}

fn dryfit(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dryfit")).args(arguments).current_dir(ROOT).output().unwrap()
}
