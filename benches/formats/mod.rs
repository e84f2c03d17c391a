//! What hooks and CI wait for: one changed sheet of a large repository, and a log of many findings.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use dryfit::files::Memory;
use dryfit::inspect::inspect_text;
use dryfit::pack::Repository;
use dryfit::report::machine::{Checked, Told, sarif};
use dryfit::rules::Library;

use crate::figures::{median, milliseconds, ratio, target};
use crate::sheets::large;
use crate::{LARGE, MANY, Outcome, program};

/// As the hook framework calls it: the changed sheet, and what uses it.
pub fn hook(many: &Path) -> Outcome<()> {
    const ROUNDS: usize = 21;
    // A hook runs in a repository.
    fs::create_dir(many.join(".git"))?;
    let sheet = many.join("probe-0001.dryfit");
    let words = ["inspect", "--report", "lines", "--users"].map(Path::new);
    let mut times = Vec::new();
    for _ in 0..ROUNDS {
        times.push(program(&[&words[..], &[&sheet]].concat(), None)?.wall);
    }
    let time = median(times);
    let name = format!("hook: one changed sheet of {MANY}, and what uses it");
    target(&name, &milliseconds(time), time < Duration::from_millis(50), "under 50 ms");
    Ok(())
}

/// So many copies of a large sheet make ten thousand findings.
const COPIES: usize = 5;

pub fn log() {
    const ROUNDS: usize = 9;
    let library = Library::built_in();
    let inspection = inspect_text(&library, "tray.dryfit", &large(LARGE));
    let repository = Repository::around(&Memory::default(), Path::new("/shop/tray.dryfit"));
    let timed = |copies: usize| {
        let start = Instant::now();
        let sheets = (0..copies).map(|_| Checked::of(&inspection, Some(&library), &repository)).collect();
        let mut told = Told::default();
        (told.sheets, told.libraries) = (sheets, vec![&library]);
        std::hint::black_box(sarif(&told));
        start.elapsed()
    };
    let (mut one, mut all) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        one.push(timed(1));
        all.push(timed(COPIES));
    }
    let (one, all) = (median(one), median(all));
    let findings = inspection.findings.len() * COPIES;
    let name = format!("SARIF of {findings} findings");
    target(&name, &milliseconds(all), all < Duration::from_millis(200), "under 200 ms");
    let growth = ratio(all, one);
    target(&format!("… over a {COPIES}th of them"), &format!("{growth:.1}"), growth <= 6.0, "at most 6");
}
