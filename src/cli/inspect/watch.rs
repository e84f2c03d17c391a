//! `--watch`: the run again whenever something that it rests on was saved.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

use super::Ended;
use super::chosen::Choice;
use crate::cli::output;
use crate::files::{Disk, Files};
use crate::pack::Project;
use crate::workspace::{self, folder_of};

/// Between two looks at the files.
const PAUSE: Duration = Duration::from_millis(200);
/// So many times as long as a look takes is rested after it: a large project costs one core a twentieth at most.
const REST: u32 = 20;

/// When each file was last written and how long it is; `None` where it is not there.
type State = BTreeMap<PathBuf, Option<(SystemTime, u64)>>;

/// Runs until interrupted, or until nobody reads the output any more: the exit code then.
pub(super) fn run(disk: &Disk, choice: &Choice, once: impl Fn() -> Ended) -> u8 {
    let nothing = BTreeSet::new();
    loop {
        let (began, before) = (SystemTime::now(), state(disk, choice, &nothing));
        let ended = once();
        if output::is_closed() {
            return ended.code;
        }
        output::talk("watching; interrupt to end");
        let opened: BTreeSet<PathBuf> = ended.opened.into_iter().collect();
        let mut known = state(disk, choice, &opened);
        // What was saved or made while the run looked is run again at once.
        let run = began..=SystemTime::now();
        let is_newer = |data: &Option<(SystemTime, u64)>| data.is_some_and(|(written, _)| run.contains(&written));
        let is_stale = known.values().any(is_newer) || state(disk, choice, &nothing) != before;
        if !is_stale {
            known = next(disk, choice, &opened, &known);
        }
        settle(disk, choice, &opened, known);
    }
}

/// Waits for a state that is another one.
fn next(disk: &Disk, choice: &Choice, opened: &BTreeSet<PathBuf>, known: &State) -> State {
    loop {
        let began = Instant::now();
        let now = state(disk, choice, opened);
        if now != *known {
            return now;
        }
        std::thread::sleep(PAUSE.max(began.elapsed() * REST));
    }
}

/// Waits until whoever is saving is done.
fn settle(disk: &Disk, choice: &Choice, opened: &BTreeSet<PathBuf>, mut known: State) {
    loop {
        std::thread::sleep(PAUSE / 4);
        let now = state(disk, choice, opened);
        if now == known {
            return;
        }
        known = now;
    }
}

/// The files that a run rests on as they are now: those it opened, the sheets that there are, and the settings and packs
/// that there are or could be.
fn state(disk: &Disk, choice: &Choice, opened: &BTreeSet<PathBuf>) -> State {
    let here = [PathBuf::from(".")];
    let paths = if choice.paths.is_empty() { &here[..] } else { &choice.paths };
    let sheets = workspace::find(disk, paths).sheets;
    let folders: BTreeSet<PathBuf> = sheets.iter().map(|sheet| folder_of(sheet)).collect();
    let folders = folders.iter().filter_map(|folder| disk.full(folder).ok());
    let around: BTreeSet<PathBuf> =
        folders.flat_map(|folder| folder.ancestors().map(Path::to_path_buf).collect::<Vec<_>>()).collect();
    let settings = around.iter().flat_map(|folder| Project::own_files(disk, folder));
    let all = sheets.iter().map(|sheet| disk.from_here(sheet)).chain(settings).chain(opened.iter().cloned());
    let mut state = State::new();
    for path in all {
        let data = fs::metadata(&path).ok().and_then(|data| Some((data.modified().ok()?, data.len())));
        state.insert(path, data);
    }
    state
}
