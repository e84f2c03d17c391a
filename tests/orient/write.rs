//! `--write` from outside.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

const SHEET: &str = "# a post\r\nmachine bench\r\nmaterial petg\r\npart post { # upright\r\n  size 10 x 12 x 60 mm\r\n  arm a { points +z; bends +x; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm }\r\n}\r\n";

fn orient(folder: &Path, arguments: &[&str]) -> Output {
    let program = env!("CARGO_BIN_EXE_dryfit");
    Command::new(program).arg("orient").args(arguments).current_dir(folder).output().unwrap()
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("post.dryfit"), SHEET).unwrap();
    folder
}

#[test]
fn the_best_way_up_is_put_in_once() {
    let folder = folder();
    let path = folder.path().join("post.dryfit");
    let first = orient(folder.path(), &["post.dryfit", "--write"]);
    assert_eq!(first.status.code(), Some(0), "{first:?}");
    let written = fs::read_to_string(&path).unwrap();
    assert_eq!(written, SHEET.replace("upright\r\n", "upright\r\n  up +x\r\n"));
    let again = orient(folder.path(), &["post.dryfit", "--write"]);
    assert!(String::from_utf8(again.stderr).unwrap().contains("nothing to write"));
    assert_eq!(fs::read_to_string(&path).unwrap(), written);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "a half-written file was left");
}

#[test]
fn nothing_is_written_without_being_asked() {
    let folder = folder();
    let drawn = orient(folder.path(), &["post.dryfit", "post", "--svg", "post.svg"]);
    assert_eq!(drawn.status.code(), Some(0), "{drawn:?}");
    assert_eq!(fs::read_to_string(folder.path().join("post.dryfit")).unwrap(), SHEET);
    assert!(fs::read_to_string(folder.path().join("post.svg")).unwrap().starts_with("<svg "));
}

#[test]
fn a_sheet_that_cannot_be_read_whole_is_left_alone() {
    let folder = folder();
    let path = folder.path().join("post.dryfit");
    let broken = SHEET.replace("bends +x", "bends +");
    fs::write(&path, &broken).unwrap();
    let refused = orient(folder.path(), &["post.dryfit", "--write"]);
    assert_eq!(refused.status.code(), Some(2), "{refused:?}");
    assert_eq!(fs::read_to_string(&path).unwrap(), broken);
}

#[test]
fn a_read_only_sheet_is_left_alone() {
    let folder = folder();
    let path = folder.path().join("post.dryfit");
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    assert_eq!(orient(folder.path(), &["post.dryfit", "--write"]).status.code(), Some(2));
    assert_eq!(fs::read_to_string(&path).unwrap(), SHEET);
}

#[test]
fn a_part_that_is_not_there_is_trouble_with_a_hint() {
    let refused = orient(folder().path(), &["post.dryfit", "pst"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(String::from_utf8(refused.stderr).unwrap().contains("did you mean `post`?"));
}

/// 1 where even the best way up has a stop; that a feature is not satisfied is no stop by itself.
#[test]
fn the_exit_code_tells_whether_the_best_way_up_has_a_stop() {
    let folder = folder();
    let arm = |name: &str, lies: &str| {
        format!("arm {name} {{ {lies}; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; opens 3 mm }}; ")
    };
    let arms = arm("a", "points +x; bends +y") + &arm("b", "points +y; bends +z") + &arm("c", "points +z; bends +x");
    let hole = arm("a", "points +z; bends +x") + "hole h { diameter 12 mm; axis +z; depth 20 mm }";
    for (features, code, said) in [
        (&*arms, 1, "No way up satisfies every feature. Even the best has a stop."),
        (&*hole, 0, "No way up satisfies every feature. The best has no stop."),
        (&*arm("a", "points +z; bends +x"), 0, "There is a way up that satisfies every feature."),
    ] {
        let sheet = format!("machine bench\nmaterial petg\npart p {{ size 60 x 40 x 20 mm; {features} }}\n");
        fs::write(folder.path().join("post.dryfit"), sheet).unwrap();
        let tried = orient(folder.path(), &["post.dryfit"]);
        let out = String::from_utf8(tried.stdout).unwrap();
        assert_eq!(tried.status.code(), Some(code), "{out}");
        assert!(out.contains(said), "{out}");
    }
    let help = String::from_utf8(orient(folder.path(), &["--help"]).stdout).unwrap();
    assert!(help.contains("Exit codes: 0 every part has a way up without a stop"), "{help}");
}
