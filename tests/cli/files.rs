use crate::bench::{Bench, GOOD, THIN, snapshot};

#[test]
fn a_folder_is_walked_by_name_and_bound_by_ignore_files() {
    let bench = Bench::with(&[
        ("b/two.dryfit", GOOD),
        ("b/ten.dryfit", THIN),
        ("a/one.dryfit", GOOD),
        ("a/notes.txt", "not a sheet"),
        ("old/scrap.dryfit", THIN),
        ("draft.dryfit", THIN),
        (".hidden/x.dryfit", THIN),
        (".gitignore", "old/\n"),
        (".ignore", "draft.dryfit\n"),
    ]);
    std::fs::create_dir(bench.path("c.dryfit")).unwrap();
    bench.write("c.dryfit/inside.dryfit", GOOD);
    let outcome = bench.run(&["inspect", "--report", "plain", "."]);
    assert_eq!(outcome.code, 1);
    snapshot("folder-walked", outcome.all());
}

#[test]
fn files_named_explicitly_are_bound_by_ignore_files_too() {
    let bench = Bench::with(&[
        ("draft.dryfit", THIN),
        ("old/scrap.dryfit", THIN),
        ("old/deep/scrap.dryfit", THIN),
        ("kept.dryfit", GOOD),
        (".gitignore", "old/\ndraft.dryfit\n"),
    ]);
    let names = ["draft.dryfit", "old/scrap.dryfit", "old/deep/scrap.dryfit", "kept.dryfit"];
    let outcome = bench.run(&[&["inspect"], &names[..]].concat());
    assert_eq!(outcome.code, 0);
    snapshot("ignored-but-named", outcome.all());
    let formatted = bench.run(&["format", "--check", "draft.dryfit"]);
    assert_eq!(formatted.code, 0, "{}", formatted.all());
}

#[test]
fn many_files_come_in_one_order_every_time() {
    let bench = Bench::new();
    for index in 0..40 {
        bench.write(&format!("s{index:02}.dryfit"), if index % 3 == 0 { THIN } else { GOOD });
    }
    let first = bench.run(&["inspect", "--report", "lines", "."]);
    // Findings come first, then the verdicts, each in the order of the sheets.
    let (verdicts, findings): (Vec<&str>, Vec<&str>) = first.out.lines().partition(|line| line.contains(".dryfit: "));
    assert_eq!((verdicts.len(), findings.len()), (40, first.out.lines().count() - 40), "{}", first.out);
    assert!(first.out.ends_with(&(verdicts.join("\n") + "\n")), "{}", first.out);
    for lines in [verdicts, findings] {
        let order: Vec<&str> = lines.iter().filter_map(|line| line.split(':').next()).collect();
        assert!(order.is_sorted(), "{}", first.out);
    }
    for _ in 0..2 {
        assert_eq!(bench.run(&["inspect", "--report", "lines", "."]).out, first.out);
    }
    let mut named: Vec<String> = (0..40).rev().map(|index| format!("s{index:02}.dryfit")).collect();
    named.splice(0..0, ["inspect".into(), "--quiet".into()]);
    let arguments: Vec<&str> = named.iter().map(String::as_str).collect();
    let quiet = bench.run(&arguments);
    let verdicts: Vec<&str> = quiet.out.lines().filter(|line| line.contains(".dryfit: ")).collect();
    assert!(verdicts[0].starts_with("s39") && verdicts[39].starts_with("s00"), "{}", quiet.out);
}

#[test]
fn a_sheet_named_twice_is_inspected_once() {
    let bench = Bench::with(&[("a.dryfit", THIN)]);
    let outcome = bench.run(&["inspect", "--report", "lines", "a.dryfit", "a.dryfit"]);
    assert_eq!(outcome.out.matches("[thin-wall]").count(), 1, "{}", outcome.out);
}

#[test]
fn standard_input_goes_by_the_name_that_it_is_given() {
    let bench = Bench::with(&[("parts/rail.dryfit", "bought rail { lip measured 2.0, 2.1 mm }\n")]);
    let outcome = bench.run_with_input(&["inspect", "--report", "lines", "-"], THIN);
    assert_eq!(outcome.code, 1);
    assert!(outcome.out.starts_with("standard-input.dryfit:3:"), "{}", outcome.out);
    let sheet = format!("with \"rail.dryfit\"\n{GOOD}let l = rail.lip\n");
    let named = ["inspect", "--name", "parts/new.dryfit", "--report", "lines", "-"];
    let outcome = bench.run_with_input(&named, &sheet);
    assert!(outcome.out.lines().all(|line| line.starts_with("parts/new.dryfit:")), "{}", outcome.out);
    assert!(!outcome.out.contains("[unusable-sheet]"), "{}", outcome.out);
}

#[test]
fn what_a_path_cannot_be_is_told_for_each() {
    let bench = Bench::with(&[("empty/readme.txt", ""), ("good.dryfit", GOOD)]);
    #[cfg(unix)]
    std::os::unix::fs::symlink("nowhere.dryfit", bench.path("broken.dryfit")).unwrap();
    let outcome =
        bench.run(&["inspect", "missing.dryfit", "empty", "broken.dryfit", "good.dryfit", "missing\n.dryfit"]);
    assert_eq!(outcome.code, 2);
    snapshot("paths-in-trouble", outcome.all());
}

#[cfg(unix)]
#[test]
fn links_out_of_the_project_and_broken_ones_are_trouble_in_a_folder() {
    let outside = Bench::with(&[("secret.dryfit", "root:x:0:0\n")]);
    let bench = Bench::with(&[("sheets/good.dryfit", GOOD), ("elsewhere/other.dryfit", GOOD)]);
    std::os::unix::fs::symlink(outside.path("secret.dryfit"), bench.path("sheets/leak.dryfit")).unwrap();
    std::os::unix::fs::symlink("nowhere", bench.path("sheets/broken.dryfit")).unwrap();
    std::os::unix::fs::symlink("../elsewhere/other.dryfit", bench.path("sheets/inside.dryfit")).unwrap();
    let outcome = bench.run(&["inspect", "sheets"]);
    assert_eq!(outcome.code, 2);
    assert!(!outcome.all().contains("root:x"), "{}", outcome.all());
    snapshot("links-in-a-folder", outcome.all());
}

#[cfg(unix)]
#[test]
fn what_may_not_be_read_is_trouble_and_the_rest_is_checked() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::with(&[("locked.dryfit", GOOD), ("good.dryfit", GOOD), ("closed/x.dryfit", GOOD)]);
    for (name, mode) in [("locked.dryfit", 0o000), ("closed", 0o000), (".", 0o755)] {
        std::fs::set_permissions(bench.path(name), std::fs::Permissions::from_mode(mode)).unwrap();
    }
    let Some(mut command) = unprivileged(&bench, &["inspect", "locked.dryfit", "good.dryfit"]) else { return };
    let outcome = crate::bench::finished(&mut command, "");
    assert_eq!(outcome.code, 2, "{}", outcome.all());
    assert!(outcome.err.contains("locked.dryfit: it may not be read"), "{}", outcome.err);
    assert!(outcome.out.contains("good.dryfit: go"), "{}", outcome.out);
    let Some(mut command) = unprivileged(&bench, &["inspect", "."]) else { return };
    let outcome = crate::bench::finished(&mut command, "");
    assert_eq!(outcome.code, 2, "a folder that may not be read is no folder without sheets: {}", outcome.all());
    assert!(outcome.err.contains("closed"), "{}", outcome.err);
    std::fs::set_permissions(bench.path("closed"), std::fs::Permissions::from_mode(0o755)).unwrap();
}

/// The program as somebody whom permissions bind; `None` where that cannot be had.
#[cfg(unix)]
pub fn unprivileged(bench: &Bench, arguments: &[&str]) -> Option<std::process::Command> {
    use std::os::unix::fs::MetadataExt;
    use std::os::unix::process::CommandExt;
    let mut command = bench.command(arguments);
    if std::fs::metadata(bench.folder()).unwrap().uid() == 0 {
        command.uid(65534).gid(65534);
        let mut trial = bench.command(&["--version"]);
        trial.uid(65534).gid(65534);
        trial.output().ok().filter(|output| output.status.success())?;
    }
    Some(command)
}
