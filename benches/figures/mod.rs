//! Figures, and the table of them: printed row by row, what, how much, the target and whether it holds.

use std::time::Duration;

pub fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

pub fn ratio(of: Duration, over: Duration) -> f64 {
    of.as_secs_f64() / over.as_secs_f64().max(f64::MIN_POSITIVE)
}

pub fn milliseconds(time: Duration) -> String {
    let milliseconds = time.as_secs_f64() * 1e3;
    if milliseconds < 100.0 { format!("{milliseconds:.2} ms") } else { format!("{milliseconds:.0} ms") }
}

pub fn begin_table() {
    println!("| what | figure | target |\n|---|--:|---|");
}

pub fn row(what: &str, figure: &str) {
    println!("| {what} | {figure} | |");
}

pub fn target(what: &str, figure: &str, holds: bool, target: &str) {
    let verdict = if holds { "holds" } else { "misses" };
    println!("| {what} | {figure} | {target}: {verdict} |");
}
