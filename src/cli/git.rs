//! What git knows of the repository that one is in.

use std::path::{Path, PathBuf};
use std::process::Command;

/// The full paths of files that differ from where the current work left a revision, as git itself tells it: saved and
/// staged changes count, files that were never added do not. Those are included that are not there any more. Before the
/// first commit these are all files that were added.
pub(super) fn changed(here: &Path, revision: &str) -> Result<Vec<PathBuf>, String> {
    let root = ask(here, CHANGED, &["rev-parse", "--show-toplevel"])?;
    let root = path_of(root).ok_or("git names no folder of this repository")?;
    let found = match base(here, revision)? {
        Some(base) => ask(&root, CHANGED, &[&DIFFERENT[..], &[&base, "--"]].concat())?,
        None => ask(&root, CHANGED, &["ls-files", "-z", "--cached"])?,
    };
    Ok(paths(&found).into_iter().map(|path| root.join(path)).collect())
}

/// What asks here.
const CHANGED: &str = "--changed";

const DIFFERENT: [&str; 7] =
    ["diff", "--name-only", "-z", "--no-renames", "--no-ext-diff", "--no-relative", "--ignore-submodules"];

/// The commit at which the current work left a revision; none before the first commit.
fn base(here: &Path, revision: &str) -> Result<Option<String>, String> {
    let commit = format!("{revision}^{{commit}}");
    let known = run(here, CHANGED, &["rev-parse", "--verify", "--quiet", "--end-of-options", &commit])?;
    if known.is_none() {
        let is_first =
            revision == "HEAD" && run(here, CHANGED, &["rev-parse", "--verify", "--quiet", "HEAD"])?.is_none();
        return if is_first {
            Ok(None)
        } else {
            Err(format!(
                "git knows no revision `{revision}` here; name a commit, branch or tag, and in CI fetch it first"
            ))
        };
    }
    let known = text(&known.unwrap_or_default());
    if revision == "HEAD" {
        return Ok(Some(known));
    }
    match run(here, CHANGED, &["merge-base", &known, "HEAD"])? {
        Some(base) => Ok(Some(text(&base))),
        None => {
            Err(format!("`{revision}` and this work have no commit in common here; in CI fetch more of the history"))
        }
    }
}

/// What git answers to a question that `what`, an option or a command, puts.
pub(super) fn ask(here: &Path, what: &str, arguments: &[&str]) -> Result<Vec<u8>, String> {
    run(here, what, arguments)?.ok_or_else(|| format!("`git {}` failed", arguments.join(" ")))
}

/// What git answers; `None` where it has nothing to say to it and does not complain.
fn run(here: &Path, what: &str, arguments: &[&str]) -> Result<Option<Vec<u8>>, String> {
    let output = Command::new("git").args(arguments).current_dir(here).output();
    let output = output.map_err(|error| format!("`{what}` asks git, and git cannot be run: {error}"))?;
    if output.status.success() {
        return Ok(Some(output.stdout));
    }
    let said = String::from_utf8_lossy(&output.stderr);
    match said.lines().next().map(str::trim).filter(|line| !line.is_empty()) {
        Some(line) => Err(format!("`{what}` asks git, and git says: {line}")),
        None => Ok(None),
    }
}

/// A path that git answers with, on a line.
pub(super) fn path_of(mut bytes: Vec<u8>) -> Option<PathBuf> {
    while bytes.last().is_some_and(|byte| matches!(byte, b'\n' | b'\r')) {
        bytes.pop();
    }
    paths(&bytes).into_iter().next()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).trim().lines().last().unwrap_or_default().to_owned()
}

/// Paths that each end with a zero.
#[cfg(unix)]
fn paths(bytes: &[u8]) -> Vec<PathBuf> {
    use std::os::unix::ffi::OsStrExt;
    let parts = bytes.split(|byte| *byte == 0).filter(|part| !part.is_empty());
    parts.map(|part| Path::new(std::ffi::OsStr::from_bytes(part)).to_path_buf()).collect()
}

#[cfg(not(unix))]
fn paths(bytes: &[u8]) -> Vec<PathBuf> {
    let parts = bytes.split(|byte| *byte == 0).filter(|part| !part.is_empty());
    parts.map(|part| PathBuf::from(String::from_utf8_lossy(part).into_owned())).collect()
}
