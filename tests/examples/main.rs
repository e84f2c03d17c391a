//! The example repository does what it says: its jobs are run step by step, with the program unpacked from an archive as
//! they do it, on its sheets as they are and with a fault in one.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod jobs;

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;

use jobs::Job;
use tempfile::TempDir;

const EXAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/greenhouse");
const CLIP: &str = "cold-frame/vent-clip.dryfit";
const BASELINE: &str = "dryfit-baseline.json";
/// The program, unpacked and run in one line of a shell.
const PROGRAM: &str = "tar -xzf tools/*.tar.gz -C tools --strip-components=1; tools/dryfit";

#[test]
fn every_job_passes_on_the_repository_as_it_is() {
    for Job { name, scripts, files } in jobs::of_both_systems(Path::new(EXAMPLE)) {
        let repository = Repository::with_archive();
        for step in scripts {
            let (passed, said) = repository.run(&step);
            assert!(passed, "{name}: {step}\n{said}");
        }
        for file in files {
            let text = fs::read_to_string(repository.path(&file)).unwrap();
            // The readers of these two compare runs themselves: what is known is in them, and marked where they have a way.
            let tells_known = file == "dryfit.sarif" || file == "dryfit-quality.json";
            assert_eq!(text.contains("thin-wall"), tells_known, "{name}: {file}: {text}");
        }
    }
}

/// What was found before sheets were checked, and nothing else: the baseline is made anew to the letter.
#[test]
fn the_baseline_is_what_the_repository_has() {
    let repository = Repository::with_archive();
    let known = fs::read_to_string(repository.path(BASELINE)).unwrap();
    assert_eq!(known.matches("seed-bench/tray.dryfit").count(), 1, "{known}");
    let written = format!("{PROGRAM} inspect --never-fail --output baseline={BASELINE}");
    assert!(repository.run(&written).0);
    assert_eq!(fs::read_to_string(repository.path(BASELINE)).unwrap(), known);
    let without = repository.run(&format!("{PROGRAM} inspect --report lines ."));
    assert!(!without.0 && without.1.contains("seed-bench/tray.dryfit:10:"), "{}", without.1);
}

#[test]
fn every_job_fails_at_a_part_that_will_not_work_and_says_where() {
    for (said, files) in failure_of_every_job(|text| text.replace("2.52 mm", "0.5 mm")) {
        assert!(said.contains("cold-frame/vent-clip.dryfit:12:") && said.contains("[thin-wall]"), "{said}");
        for (name, text) in files {
            let mut lines = text.lines().filter(|line| line.contains("cold-frame/vent-clip.dryfit"));
            assert!(lines.any(|line| line.contains("thin-wall")), "{name}: {text}");
        }
    }
}

#[test]
fn every_job_fails_at_a_sheet_that_is_not_tidy() {
    for (said, files) in failure_of_every_job(|text| text.replace("size 40", "size    40")) {
        assert!(said.contains(CLIP) && files.is_empty(), "{said}");
    }
}

/// The pack is in use: its rule, its machine and its limit.
#[test]
fn the_workshops_pack_holds() {
    let repository = Repository::with_archive();
    let label = repository.path("cold-frame/label-holder.dryfit");
    fs::write(&label, fs::read_to_string(&label).unwrap().replace("2.1 mm", "1.26 mm")).unwrap();
    let said = |arguments: &str| {
        let (passed, said) = repository.run(&format!("{PROGRAM} {arguments}"));
        assert!(passed, "{arguments}: {said}");
        said
    };
    let full = said("inspect --never-fail --full .");
    assert!(full.contains("[thin-label]") && full.contains("source: our own seed trays"), "{full}");
    assert!(said("why corner-shed").contains("measured on six test pieces"));
    assert!(said("why thin-wall").contains("least-lines = 3 (set by this project"));
}

/// What the first step that fails in each job says, with the clip's sheet changed, and the files that it has left to hand on.
fn failure_of_every_job(change: impl Fn(&str) -> String) -> Vec<(String, Vec<(String, String)>)> {
    let fails = |Job { name, scripts, files }: Job| {
        let repository = Repository::with_archive();
        let clip = repository.path(CLIP);
        let text = fs::read_to_string(&clip).unwrap();
        assert_ne!(change(&text), text, "the change changes nothing");
        fs::write(&clip, change(&text)).unwrap();
        let mut failed = scripts.iter().map(|step| repository.run(step)).filter(|(passed, _)| !passed);
        let said = failed.next().unwrap_or_else(|| panic!("{name} passes all the same")).1;
        let left = files.into_iter().filter_map(|file| Some((fs::read_to_string(repository.path(&file)).ok()?, file)));
        (said, left.map(|(text, file)| (file, text)).collect())
    };
    jobs::of_both_systems(Path::new(EXAMPLE)).into_iter().map(fails).collect()
}

/// A copy of the example, committed, with an archive of the program in `tools/`.
struct Repository {
    folder: TempDir,
}

impl Repository {
    fn with_archive() -> Self {
        let repository = Self { folder: tempfile::tempdir().unwrap() };
        copy(Path::new(EXAMPLE), repository.folder.path());
        repository.archive();
        let (passed, said) = repository.run("git init --quiet && git add --all");
        assert!(passed, "{said}");
        repository
    }

    /// As `packaging/build` makes it, but with a way to the program that is under test, which is large.
    fn archive(&self) {
        let name = "dryfit-0.0.0-here";
        let folder = tempfile::tempdir().unwrap();
        let program = folder.path().join(name).join("dryfit");
        fs::create_dir(program.parent().unwrap()).unwrap();
        fs::write(&program, format!("#!/bin/sh\nexec '{}' \"$@\"\n", env!("CARGO_BIN_EXE_dryfit"))).unwrap();
        fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).unwrap();
        let archive = self.path(&format!("tools/{name}.tar.gz"));
        let packed =
            Command::new("tar").arg("-czf").arg(archive).arg("-C").arg(folder.path()).arg(name).status().unwrap();
        assert!(packed.success());
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Runs a step as the systems do: in a shell that stops at a fault, with the path that earlier steps asked for.
    fn run(&self, step: &str) -> (bool, String) {
        let asked = self.path(".git/path");
        let path = fs::read_to_string(&asked).unwrap_or_default().trim().replace('\n', ":");
        let output = Command::new("bash")
            .args(["--noprofile", "--norc", "-eo", "pipefail", "-c", step])
            .current_dir(self.folder.path())
            .env("GITHUB_PATH", asked)
            .env("PATH", format!("{path}:/usr/local/bin:/usr/bin:/bin"))
            .output()
            .unwrap();
        let said = [output.stdout, output.stderr].concat();
        (output.status.success(), String::from_utf8(said).unwrap())
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let to = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &to);
        } else {
            fs::copy(&path, to).unwrap();
        }
    }
}
