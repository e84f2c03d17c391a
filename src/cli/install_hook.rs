//! `dryfit install-hook`

use std::fs;
use std::path::{Path, PathBuf};

use super::output::talk;
use super::{GO, TROUBLE, git, write};

/// What the hook begins with; its last line does the work.
const HEAD: &str = "#!/bin/sh\n\
    # Written by `dryfit install-hook`; `dryfit install-hook --remove` takes it out again.\n";
/// What is staged or saved of tracked sheets, and the sheets that use them.
const CHECK: &str = "exec dryfit inspect --report lines --changed";

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The hook is a file of three lines in the repository's folder of hooks. One that is there already stays as it is."
)]
pub(super) struct Arguments {
    /// Refuse a commit for what is new beside this baseline only
    #[arg(long, value_name = "FILE")]
    baseline: Option<PathBuf>,
    /// Take the hook out again
    #[arg(long, conflicts_with = "baseline")]
    remove: bool,
}

pub(super) fn run(arguments: &Arguments) -> u8 {
    let baseline = arguments.baseline.as_deref();
    let done = place().and_then(|path| if arguments.remove { remove(&path) } else { install(&path, baseline) });
    match done {
        Ok(told) => {
            talk(&told);
            GO
        }
        Err(why) => {
            talk(&why);
            TROUBLE
        }
    }
}

fn here() -> Result<PathBuf, String> {
    std::env::current_dir().map_err(|error| format!("the folder that you are in cannot be used: {error}"))
}

fn place() -> Result<PathBuf, String> {
    let here = here()?;
    let path = git::ask(&here, "install-hook", &["rev-parse", "--git-path", "hooks/pre-commit"])?;
    let path = git::path_of(path).ok_or("git names no folder for hooks")?;
    Ok(if path.is_absolute() { path } else { here.join(path) })
}

/// The hook's last line. Git runs hooks in the repository's folder: a baseline is named from there.
fn check(baseline: Option<&Path>) -> Result<String, String> {
    let Some(baseline) = baseline else { return Ok(CHECK.to_owned()) };
    let here = here()?;
    if !here.join(baseline).is_file() {
        let shown = baseline.display();
        return Err(format!("there is no baseline {shown}: `dryfit inspect --output baseline={shown}` writes it"));
    }
    let inner = git::path_of(git::ask(&here, "install-hook", &["rev-parse", "--show-prefix"])?).unwrap_or_default();
    let named = inner.join(baseline);
    let named = named.to_str().ok_or("the baseline's name is no text that a hook can hold")?;
    Ok(format!("{CHECK} --baseline '{}'", named.replace('\'', "'\\''")))
}

/// Whether a hook is this program's own, with a baseline or without.
fn is_ours(text: &str) -> bool {
    text.strip_prefix(HEAD).is_some_and(|rest| rest.starts_with(CHECK) && rest.lines().count() == 1)
}

fn install(path: &Path, baseline: Option<&Path>) -> Result<String, String> {
    let (shown, check) = (path.display(), check(baseline)?);
    let hook = format!("{HEAD}{check}\n");
    match fs::read_to_string(path) {
        Ok(text) if text == hook => return Ok(format!("{shown} is installed already")),
        Ok(text) if is_ours(&text) => {
            write::replace(path, &hook).map_err(|error| format!("cannot write {shown}: {error}"))?;
            return Ok(format!("{shown} is changed: {check}"));
        }
        Ok(_) => {
            return Err(format!(
                "{shown} is there already and stays as it is; add the hook's last line to it: {check}"
            ));
        }
        Err(_) if fs::symlink_metadata(path).is_ok() => {
            return Err(format!("{shown} is no text file; it stays as it is"));
        }
        Err(_) => {}
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    let written = fs::create_dir_all(folder).and_then(|()| write::create(path, hook)).and_then(|()| executable(path));
    written.map_err(|error| format!("cannot write {shown}: {error}"))?;
    Ok(format!("{shown} checks changed sheets before each commit"))
}

fn remove(path: &Path) -> Result<String, String> {
    let shown = path.display();
    match fs::read_to_string(path) {
        Ok(text) if is_ours(&text) => {
            fs::remove_file(path).map_err(|error| format!("cannot take {shown} away: {error}"))?;
            Ok(format!("{shown} is taken out"))
        }
        Ok(_) => Err(format!("{shown} is another hook and stays as it is; take this line out of it yourself: {CHECK}")),
        Err(_) => Ok(format!("{shown} is not there: nothing to take out")),
    }
}

#[cfg(unix)]
fn executable(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(0o755))
}

#[cfg(not(unix))]
fn executable(_: &Path) -> std::io::Result<()> {
    Ok(())
}
