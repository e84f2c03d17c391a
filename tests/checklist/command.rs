//! The command from outside: where pages go, and what is left alone.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const TAG: &str =
    "machine bench\nmaterial petg\npart tag { up +z; size 60 x 24 x 3 mm; wall w { thickness 2.1 mm; faces +z } }\n";
const RAIL: &str = "machine bench\nmaterial petg\nbought rail { lip measured 8.01, 8.02 mm }\n";

fn dryfit(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dryfit")).args(arguments).current_dir(folder).output().unwrap()
}

fn talk(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn a_project_keeps_a_page_for_each_sheet_with_a_part() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("parts")).unwrap();
    fs::write(folder.path().join("parts/tag.dryfit"), TAG).unwrap();
    fs::write(folder.path().join("clip.dryfit"), TAG.replace("tag", "clip")).unwrap();
    fs::write(folder.path().join("rail.dryfit"), RAIL).unwrap();
    let run = || dryfit(folder.path(), &["checklist", "--project", ".", "-o", "pages"]);
    let first = run();
    assert!(first.status.success(), "{}", talk(&first));
    let mut pages: Vec<_> = fs::read_dir(folder.path().join("pages"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    pages.sort();
    assert_eq!(pages, ["clip.html", "parts-tag.html"]);
    assert_eq!(talk(&run()), "", "what would be the same is left alone");
    fs::write(folder.path().join("clip.dryfit"), TAG.replace("2.1 mm", "2.5 mm")).unwrap();
    let again = talk(&run());
    assert!(again.contains("clip.html: written") && !again.contains("tag.html"), "{again}");
}

#[test]
fn what_is_no_page_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("tag.dryfit"), TAG).unwrap();
    fs::write(folder.path().join("mine.html"), "<p>mine</p>\n").unwrap();
    let refused = dryfit(folder.path(), &["checklist", "tag.dryfit", "-o", "mine.html"]);
    assert_eq!(refused.status.code(), Some(2), "{}", talk(&refused));
    assert_eq!(fs::read_to_string(folder.path().join("mine.html")).unwrap(), "<p>mine</p>\n");
    let no_part = dryfit(folder.path(), &["checklist", "tag.dryfit", "--part", "lid"]);
    assert_eq!(no_part.status.code(), Some(2));
    assert!(talk(&no_part).contains("it has no part `lid`"), "{}", talk(&no_part));
}
