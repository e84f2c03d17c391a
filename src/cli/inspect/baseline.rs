//! `--baseline FILE`: what is known of an old project does not fail.

use std::path::Path;

use super::job::Done;
use crate::cli::output;
use crate::files::{Disk, Files, Kind};
use crate::pack::Repository;
use crate::report::machine::{Baseline, Gone, State};

/// Bytes of a baseline.
const BYTES: u64 = 64 * 1024 * 1024;
/// So many findings that are gone are named.
const NAMED: usize = 20;

/// Reads a baseline; why it cannot be used goes after its name.
pub(super) fn read(disk: &Disk, path: &Path) -> Result<Baseline, String> {
    let text = disk.text(path, BYTES).map_err(|why| {
        format!("{why}; a baseline is written with `dryfit inspect --output baseline={}`", path.display())
    })?;
    Baseline::read(&text)
}

/// Says what a run has found beside the baseline, and what of that is gone.
pub(super) fn tell(disk: &Disk, repository: &Repository, path: &Path, baseline: &Baseline, results: &[Done]) {
    let states = || results.iter().filter_map(|done| done.checked.as_ref()).flat_map(|sheet| &sheet.records);
    let count = |state: State| states().filter(|record| record.is_open() && record.state == state).count();
    let inspected = |sheet: &str| results.iter().filter_map(|done| done.checked.as_ref()).any(|one| one.path == sheet);
    let is_lost = |sheet: &&str| !inspected(sheet) && disk.kind(&repository.root().join(sheet)) == Kind::Missing;
    let lost = baseline.sheets().filter(is_lost).flat_map(|sheet| baseline.gone_with(sheet));
    let gone: Vec<Gone> = results.iter().flat_map(|done| done.gone.iter().cloned()).chain(lost).collect();
    for Gone { sheet, name } in gone.iter().take(NAMED) {
        output::talk(&format!("gone from the baseline: {sheet}: {name}"));
    }
    if gone.len() > NAMED {
        output::talk(&format!("gone from the baseline: and {} more", gone.len() - NAMED));
    }
    let renew = if gone.is_empty() {
        String::new()
    } else {
        format!(", {} gone: `--output baseline={}` writes it anew", gone.len(), path.display())
    };
    let worse = count(State::Worse);
    let worse = if worse == 0 { String::new() } else { format!(", {worse} worse than known") };
    let (new, known) = (count(State::New), count(State::Known));
    output::talk(&format!("baseline {}: {new} new{worse}, {known} known and not shown{renew}", path.display()));
}
