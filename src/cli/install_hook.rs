//! `dryfit install-hook`

use std::fs;
use std::path::{Path, PathBuf};

use super::output::talk;
use super::{GO, TROUBLE, git, write};

/// The whole hook: what is staged or saved of tracked sheets, and the sheets that use them.
const HOOK: &str = "#!/bin/sh\n\
    # Written by `dryfit install-hook`; `dryfit install-hook --remove` takes it out again.\n\
    exec dryfit inspect --report lines --changed\n";

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The hook is a file of three lines in the repository's folder of hooks. One that is there already stays as it is."
)]
pub(super) struct Arguments {
    /// Take the hook out again
    #[arg(long)]
    remove: bool,
}

pub(super) fn run(arguments: &Arguments) -> u8 {
    let done = place().and_then(|path| if arguments.remove { remove(&path) } else { install(&path) });
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

fn place() -> Result<PathBuf, String> {
    let here =
        std::env::current_dir().map_err(|error| format!("the folder that you are in cannot be used: {error}"))?;
    let path = git::ask(&here, "install-hook", &["rev-parse", "--git-path", "hooks/pre-commit"])?;
    let path = git::path_of(path).ok_or("git names no folder for hooks")?;
    Ok(if path.is_absolute() { path } else { here.join(path) })
}

fn install(path: &Path) -> Result<String, String> {
    let shown = path.display();
    match fs::read_to_string(path) {
        Ok(text) if text == HOOK => return Ok(format!("{shown} is installed already")),
        Ok(_) => {
            return Err(format!(
                "{shown} is there already and stays as it is; add the hook's last line to it: {}",
                last()
            ));
        }
        Err(_) if fs::symlink_metadata(path).is_ok() => {
            return Err(format!("{shown} is no text file; it stays as it is"));
        }
        Err(_) => {}
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    let written = fs::create_dir_all(folder).and_then(|()| write::create(path, HOOK)).and_then(|()| executable(path));
    written.map_err(|error| format!("cannot write {shown}: {error}"))?;
    Ok(format!("{shown} checks changed sheets before each commit"))
}

fn remove(path: &Path) -> Result<String, String> {
    let shown = path.display();
    match fs::read_to_string(path) {
        Ok(text) if text == HOOK => {
            fs::remove_file(path).map_err(|error| format!("cannot take {shown} away: {error}"))?;
            Ok(format!("{shown} is taken out"))
        }
        Ok(_) => {
            Err(format!("{shown} is another hook and stays as it is; take this line out of it yourself: {}", last()))
        }
        Err(_) => Ok(format!("{shown} is not there: nothing to take out")),
    }
}

/// What does the work.
fn last() -> &'static str {
    HOOK.lines().last().unwrap_or_default()
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
