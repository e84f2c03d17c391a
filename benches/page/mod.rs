//! The page for the bench: of an ordinary sheet, and of sheets that grow.

use std::time::{Duration, Instant};

use dryfit::checklist::{checklist, drawings, page};
use dryfit::inspect::Analysis;
use dryfit::rules::Library;

use super::figures::{median, milliseconds, ratio, target};
use super::sheets::{ORDINARY, RAIL, large};

const ROUNDS: usize = 11;
/// A tenth of the largest sheet, and the largest.
const SIZES: [usize; 2] = [50, 500];

/// How long it takes from a text to its page.
fn timed(library: &Library, text: &str) -> Duration {
    let start = Instant::now();
    let (checklist, model) = checklist(Analysis::of_text(library, "p.dryfit", text), None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    std::hint::black_box(page(&checklist, &drawings));
    start.elapsed()
}

pub fn pages() {
    let library = Library::built_in();
    let ordinary = ORDINARY.replace("with \"rail.dryfit\"", RAIL);
    let texts = [ordinary, large(SIZES[0]), large(SIZES[1])];
    let mut times = [const { Vec::new() }; 3];
    for _ in 0..ROUNDS {
        for (text, times) in texts.iter().zip(&mut times) {
            times.push(timed(&library, text));
        }
    }
    let [one, few, many] = times.map(median);
    target("`checklist` of an ordinary sheet", &milliseconds(one), one < Duration::from_millis(50), "under 50 ms");
    let name = format!("… of a sheet of {} features", SIZES[1]);
    target(&name, &milliseconds(many), many < Duration::from_secs(1), "under 1000 ms");
    let growth = ratio(many, few);
    target(&format!("… over one of {}", SIZES[0]), &format!("{growth:.1}"), growth <= 12.0, "at most 12");
}
