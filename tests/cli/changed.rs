//! `--changed`, `--users`, `install-hook`: what a commit is about.

use std::process::Command;

use crate::bench::{Bench, GOOD, Outcome, THIN, finished, snapshot};

const RAIL: &str = "bought rail { lip measured 3.02, 2.98, 3.05 mm }\n";

fn user(of: &str) -> String {
    format!("with \"{of}\"\n{GOOD}let l = rail.lip\n")
}

/// Git as somebody whose settings are not those of this machine.
fn gardener(bench: &Bench, arguments: &[&str]) -> Command {
    let mut command = Command::new("git");
    for setting in ["user.name=gardener", "user.email=gardener@greenhouse.invalid", "init.defaultBranch=main"] {
        command.args(["-c", setting]);
    }
    command.args(arguments).current_dir(bench.folder());
    command
}

fn git(bench: &Bench, arguments: &[&str]) -> String {
    let output = gardener(bench, arguments).output().unwrap();
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// A repository with a shared sheet, a sheet that uses it, one that uses that, and two that have nothing to do with it.
fn repository() -> Bench {
    let bench = Bench::with(&[
        ("shared/rail.dryfit", RAIL),
        ("parts/slide.dryfit", &user("../shared/rail.dryfit")),
        ("parts/cover.dryfit", "with \"slide.dryfit\"\nmachine bench\nlet twice = l * 2\n"),
        ("parts/tray.dryfit", GOOD),
        ("loose.dryfit", &format!("# not the guard-rail.dryfit\n{GOOD}")),
        ("notes.txt", "nothing\n"),
    ]);
    std::fs::remove_dir(bench.path(".git")).unwrap();
    git(&bench, &["init", "--quiet"]);
    bench
}

fn checked(outcome: &Outcome) -> Vec<String> {
    let names = outcome.out.lines().filter_map(|line| line.split_once(".dryfit: ").map(|(name, _)| name.to_owned()));
    names.collect()
}

fn run(bench: &Bench, arguments: &[&str]) -> Outcome {
    bench.run(&[&["inspect", "--quiet"], arguments].concat())
}

#[test]
fn what_has_changed_is_checked_with_what_uses_it() {
    let bench = repository();
    assert_eq!(run(&bench, &["--changed"]).code, 0, "nothing was added yet");
    git(&bench, &["add", "."]);
    assert_eq!(checked(&run(&bench, &["--changed"])).len(), 5, "all is new before the first commit");
    git(&bench, &["commit", "--quiet", "-m", "first"]);
    let nothing = run(&bench, &["--changed"]);
    assert_eq!((nothing.code, nothing.err.as_str()), (0, "dryfit: no sheet has changed since HEAD\n"));
    bench.write("shared/rail.dryfit", RAIL.replace("3.05", "3.06"));
    bench.write("never-added.dryfit", THIN);
    assert_eq!(checked(&run(&bench, &["--changed"])), ["parts/cover", "parts/slide", "shared/rail"]);
    assert_eq!(checked(&run(&bench, &["--changed", "parts"])), ["parts/cover", "parts/slide"]);
    git(&bench, &["checkout", "--quiet", "-b", "work"]);
    git(&bench, &["commit", "--quiet", "-am", "second"]);
    assert!(checked(&run(&bench, &["--changed"])).is_empty());
    assert_eq!(checked(&run(&bench, &["--changed=main"])).len(), 3);
    // What the other branch does meanwhile is not this work's.
    git(&bench, &["checkout", "--quiet", "main"]);
    bench.write("parts/tray.dryfit", THIN);
    git(&bench, &["commit", "--quiet", "-am", "third"]);
    git(&bench, &["checkout", "--quiet", "work"]);
    assert_eq!(checked(&run(&bench, &["--changed=main"])), ["parts/cover", "parts/slide", "shared/rail"]);
    let mut inside = bench.command(&["inspect", "--quiet", "--changed=main"]);
    let inside = crate::bench::finished(inside.current_dir(bench.path("parts")), "");
    assert_eq!(checked(&inside), ["cover", "slide"], "{}", inside.all());
}

#[test]
fn what_is_gone_or_governs_a_project_changes_others() {
    let bench = repository();
    bench.write("dryfit/shop.yaml", "machines: {}\n");
    git(&bench, &["add", "."]);
    git(&bench, &["commit", "--quiet", "-m", "first"]);
    std::fs::remove_file(bench.path("shared/rail.dryfit")).unwrap();
    let lost = run(&bench, &["--changed"]);
    assert_eq!(
        (lost.code, checked(&lost)),
        (1, vec!["parts/cover".to_owned(), "parts/slide".to_owned()]),
        "{}",
        lost.all()
    );
    bench.write("shared/rail.dryfit", RAIL);
    bench.write("dryfit/shop.yaml", "machines:\n");
    assert_eq!(checked(&run(&bench, &["--changed"])).len(), 5);
    git(&bench, &["checkout", "--quiet", "."]);
    git(&bench, &["rm", "--quiet", "dryfit/shop.yaml"]);
    bench.write("dryfit.yaml", "levels: {}\n");
    git(&bench, &["add", "."]);
    assert_eq!(checked(&run(&bench, &["--changed"])).len(), 5);
}

#[test]
fn named_files_call_for_those_that_use_them() {
    let bench = repository();
    bench.write("dryfit.yaml", "levels: {}\n");
    assert_eq!(
        checked(&run(&bench, &["--users", "shared/rail.dryfit"])),
        ["shared/rail", "parts/cover", "parts/slide"]
    );
    assert_eq!(checked(&run(&bench, &["--users", "parts/tray.dryfit"])), ["parts/tray"]);
    assert_eq!(checked(&run(&bench, &["--users", "dryfit.yaml"])).len(), 5);
    bench.write(".ignore", "parts/cover.dryfit\n");
    assert_eq!(checked(&run(&bench, &["--users", "shared/rail.dryfit"])), ["shared/rail", "parts/slide"]);
}

#[test]
fn a_question_that_git_cannot_answer_is_told() {
    let bench = repository();
    git(&bench, &["add", "."]);
    git(&bench, &["commit", "--quiet", "-m", "first"]);
    git(&bench, &["tag", "old"]);
    git(&bench, &["checkout", "--quiet", "--orphan", "other"]);
    git(&bench, &["commit", "--quiet", "-m", "another beginning"]);
    let mut told = run(&bench, &["--changed=old"]).err;
    told.push_str(&run(&bench, &["--changed=nowhere"]).err);
    told.push_str(&run(&bench, &["--changed=--output=x"]).err);
    let mut without = bench.command(&["inspect", "--changed"]);
    let without = crate::bench::finished(without.env("PATH", bench.folder()), "");
    assert_eq!(without.code, 2);
    told.push_str(&without.err);
    snapshot("git-cannot-tell", told);
    let outside = Bench::new();
    std::fs::remove_dir(outside.path(".git")).unwrap();
    let outcome = outside.run(&["inspect", "--changed"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.err.contains("not a git repository"), "{}", outcome.err);
}

#[cfg(unix)]
#[test]
fn the_plain_hook_refuses_a_commit_and_is_taken_out_again() {
    let bench = repository();
    let installed = bench.run(&["install-hook"]);
    assert_eq!(installed.code, 0, "{}", installed.all());
    let hook = bench.read(".git/hooks/pre-commit");
    assert_eq!(hook.lines().count(), 3);
    assert_eq!(bench.run(&["install-hook"]).code, 0, "once more changes nothing");
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_dryfit")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let commit = || {
        git(&bench, &["add", "."]);
        let output = gardener(&bench, &["commit", "-m", "parts"]).env("PATH", &path).output().unwrap();
        (output.status.success(), String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned())
    };
    bench.write("parts/tray.dryfit", THIN);
    let (done, told) = commit();
    assert!(!done && told.contains("parts/tray.dryfit:3:") && told.contains("parts/tray.dryfit: no-go"), "{told}");
    bench.write("parts/tray.dryfit", GOOD);
    let (done, told) = commit();
    assert!(done, "{told}");
    let without = bench.run(&["install-hook", "--baseline", "known.json"]);
    assert_eq!((without.code, bench.read(".git/hooks/pre-commit")), (2, hook), "{}", without.all());
    bench.write("parts/tray.dryfit", THIN);
    bench.run(&["inspect", "--never-fail", "--output", "baseline=parts/it's known.json"]);
    let changed = finished(
        bench.command(&["install-hook", "--baseline", "it's known.json"]).current_dir(bench.path("parts")),
        "",
    );
    assert_eq!(changed.code, 0, "{}", changed.all());
    let (done, told) = commit();
    assert!(done, "what is known is no reason to refuse: {told}");
    bench.write("parts/new.dryfit", THIN);
    let (done, told) = commit();
    assert!(!done && told.contains("parts/new.dryfit: no-go"), "{told}");
    assert_eq!(bench.run(&["install-hook", "--remove"]).code, 0);
    assert!(!bench.path(".git/hooks/pre-commit").exists());
    bench.write(".git/hooks/pre-commit", "#!/bin/sh\nexit 0\n");
    let refused = bench.run(&["install-hook"]);
    let kept = bench.run(&["install-hook", "--remove"]);
    assert_eq!((refused.code, kept.code), (2, 2));
    assert_eq!(bench.read(".git/hooks/pre-commit"), "#!/bin/sh\nexit 0\n");
    snapshot(
        "hook-refused",
        format!("{}{}", refused.err, kept.err).replace(bench.folder().to_str().unwrap(), "FOLDER"),
    );
}
