//! The program writes the old file or the new one, and nothing in between.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const OLD: &str = "machine bench\r\nmaterial petg\r\npart clip {\r\n  up +z\r\n  wall back { thickness 0.6 mm; height 12 mm; faces +x }\t# keep\r\n}\r\n";

fn new() -> String {
    OLD.replace("0.6 mm", "0.84 mm")
}

fn dryfit(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dryfit")).args(arguments).current_dir(folder).output().unwrap()
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("clip.dryfit"), OLD).unwrap();
    folder
}

fn text(folder: &Path) -> String {
    fs::read_to_string(folder.join("clip.dryfit")).unwrap()
}

#[test]
fn a_diff_changes_nothing_and_applies() {
    let folder = folder();
    let output = dryfit(folder.path(), &["mend", "clip.dryfit"]);
    assert_eq!(output.status.code(), Some(1), "the sheet on the disk still has a stop");
    assert_eq!(text(folder.path()), OLD);
    let diff = String::from_utf8(output.stdout).unwrap();
    assert!(diff.starts_with("--- a/clip.dryfit\n+++ b/clip.dryfit\n"), "{diff}");
    assert!(diff.contains("-  wall back { thickness 0.6 mm;") && diff.contains("+  wall back { thickness 0.84 mm;"));
    assert!(String::from_utf8(output.stderr).unwrap().contains("thin-wall on clip.back"));
}

#[test]
fn writing_keeps_line_endings_and_permissions() {
    let folder = folder();
    let path = folder.path().join("clip.dryfit");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    }
    let before = fs::metadata(&path).unwrap().permissions();
    let output = dryfit(folder.path(), &["mend", "--write", "clip.dryfit"]);
    assert_eq!(output.status.code(), Some(3), "{output:?}");
    assert_eq!(text(folder.path()), new());
    assert_eq!(fs::metadata(&path).unwrap().permissions(), before);
    let again = dryfit(folder.path(), &["mend", "--write", "clip.dryfit"]);
    assert_eq!(again.status.code(), Some(0));
    assert_eq!(text(folder.path()), new());
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left behind");
}

#[test]
fn a_read_only_file_stays_as_it_is() {
    let folder = folder();
    let path = folder.path().join("clip.dryfit");
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let output = dryfit(folder.path(), &["mend", "--write", "clip.dryfit"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(text(folder.path()), OLD);
}

#[test]
fn a_killed_process_leaves_one_file_or_the_other() {
    for step in 0..12 {
        let folder = folder();
        let mut child = Command::new(env!("CARGO_BIN_EXE_dryfit"))
            .args(["mend", "--write", "clip.dryfit"])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(step * 4));
        let _ = child.kill();
        let _ = child.wait();
        let found = text(folder.path());
        assert!(found == OLD || found == new(), "{found}");
    }
}

#[test]
fn a_pick_chooses_and_a_wrong_one_is_told() {
    let folder = folder();
    let output = dryfit(folder.path(), &["mend", "clip.dryfit", "--pick", "thin-wall:clip.back:1"]);
    assert!(String::from_utf8(output.stdout).unwrap().contains("0.84 mm"));
    let output = dryfit(folder.path(), &["mend", "clip.dryfit", "--pick", "thin-wall:9"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
}

#[test]
fn a_sheet_that_others_use_is_proven_with_them() {
    let folder = folder();
    let shared = "machine bench\nmaterial petg\nlet slack = 0.05 mm\nbought rail { lip measured 6.02, 5.98, 6.05 mm }\n\
                  part own { up +z; slot mouth { width rail.lip + slack; axis +z } }\n\
                  fit \"own mouth\" { inside own.mouth.width; outside rail.lip; class free }\n";
    let user = "with \"shared.dryfit\"\npart other { up +z; slot gap { width rail.lip + slack; axis +z } }\n\
                demand other.gap.width < 6.2 mm \"no wider than the plate\"\n";
    fs::write(folder.path().join("shared.dryfit"), shared).unwrap();
    let alone = dryfit(folder.path(), &["mend", "shared.dryfit"]);
    assert!(String::from_utf8(alone.stdout).unwrap().contains("+let slack = "));
    // Whether it is named or only lies in the project, and also through a third one.
    fs::write(folder.path().join("between.dryfit"), "with \"shared.dryfit\"\n").unwrap();
    for (user, named) in [
        (user.to_owned(), &["mend", "shared.dryfit", "user.dryfit"][..]),
        (user.to_owned(), &["mend", "shared.dryfit"]),
        (user.replace("shared", "between"), &["mend", "shared.dryfit"]),
    ] {
        fs::write(folder.path().join("user.dryfit"), user).unwrap();
        let mended = dryfit(folder.path(), named);
        let (diff, said) = (String::from_utf8(mended.stdout).unwrap(), String::from_utf8(mended.stderr).unwrap());
        assert!(!diff.contains("+let slack = "), "{diff}");
        assert!(said.contains("broken-demand") && said.contains("in user.dryfit"), "{said}");
    }
    let shown = dryfit(folder.path(), &["inspect", "--mends", "--full", "shared.dryfit"]);
    assert!(String::from_utf8(shown.stdout).unwrap().contains("in user.dryfit"));
}

#[test]
fn lone_carriage_returns_are_line_ends() {
    let folder = folder();
    let old = OLD.replace("\r\n", "\r");
    fs::write(folder.path().join("clip.dryfit"), &old).unwrap();
    let output = dryfit(folder.path(), &["mend", "clip.dryfit"]);
    let (diff, told) = (String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap());
    assert!(diff.contains("@@ -3,4 +3,4 @@") && diff.contains("\n+  wall back { thickness 0.84 mm;"), "{diff}");
    assert!(told.contains("shown here as line feeds"), "{told}");
    dryfit(folder.path(), &["mend", "--write", "clip.dryfit"]);
    assert_eq!(text(folder.path()), new().replace("\r\n", "\r"));
}
