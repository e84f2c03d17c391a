//! How soon an editor hears of a keystroke: `cargo bench --bench language_server` prints one table in Markdown.
//!
//! The program runs as a language server over its pipes, as an editor starts it. The plain check of the same sheet is
//! measured in the same run, so that a busy machine troubles both. A missed target is said and fails nothing.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a benchmark may stop where it fails")]

mod figures;
#[path = "../tests/language_server/program.rs"]
mod program;
mod sheets;

use std::time::{Duration, Instant};

use dryfit::inspect::inspect_text;
use dryfit::rules::Library;
use figures::{begin_table, median, milliseconds, ratio, row, target};
use lsp_server::Message;
use program::Program;
use serde_json::{Value, json};
use sheets::{ORDINARY, RAIL, large};

/// The program's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const EDITS: usize = 1_000;
const FEATURES: usize = 300;
const ADDRESS: &str = "file:///shop/probe.dryfit";
/// The demo sheet with real mistakes.
const FAULTY: &str = include_str!("../demo-data/vent-latch.dryfit");

fn main() {
    begin_table();
    start();
    // Alone it uses no other sheet: the rail stands in it.
    let ordinary = ORDINARY.replace("with \"rail.dryfit\"", RAIL);
    keystrokes(&format!("a sheet of {} lines", ordinary.lines().count()), &ordinary, Duration::from_millis(10));
    keystrokes(&format!("a sheet of {FEATURES} features"), &large(FEATURES), Duration::from_millis(16));
    burst(&ordinary);
    fixes();
    memory(&ordinary);
}

/// Waits for the findings of a version; gives how often others came before.
fn told(program: &mut Program, version: usize) -> usize {
    let mut before = 0;
    loop {
        if let Message::Notification(heard) = program.message()
            && heard.method == "textDocument/publishDiagnostics"
        {
            if heard.params["version"] == version {
                return before;
            }
            before += 1;
        }
    }
}

fn start() {
    const ROUNDS: usize = 21;
    let mut times = Vec::new();
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let mut program = Program::start(&json!({}));
        program.open(ADDRESS, FAULTY);
        told(&mut program, 1);
        times.push(start.elapsed());
        program.end();
    }
    let (time, limit) = (median(times), Duration::from_millis(100));
    target("start to first findings", &milliseconds(time), time < limit, "under 100 ms");
}

/// The places of digits after a blank, where a figure can be typed into.
fn figures_in(text: &str) -> Vec<(usize, usize)> {
    let of_line = |(number, line): (usize, &str)| {
        let code = line.split('#').next().unwrap_or_default().as_bytes().to_vec();
        let is_figure = move |at: &usize| code[*at].is_ascii_digit() && code[at - 1] == b' ';
        (1..line.split('#').next().unwrap_or_default().len()).filter(is_figure).map(move |at| (number, at)).collect()
    };
    text.lines().enumerate().flat_map(|line| -> Vec<(usize, usize)> { of_line(line) }).collect()
}

fn place((line, character): (usize, usize), length: usize) -> Value {
    json!({ "start": { "line": line, "character": character }, "end": { "line": line, "character": character + length } })
}

/// A digit typed in front of a figure and taken away again, at one figure after the other.
fn keystrokes(name: &str, text: &str, limit: Duration) {
    let library = Library::built_in();
    let places = figures_in(text);
    let mut program = Program::start(&json!({}));
    program.open(ADDRESS, text);
    told(&mut program, 1);
    let (mut times, mut checks) = (Vec::new(), Vec::new());
    for edit in 0..EDITS {
        let at = places[edit / 2 % places.len()];
        let (range, new) = if edit % 2 == 0 { (place(at, 0), "1") } else { (place(at, 1), "") };
        let start = Instant::now();
        program.change(ADDRESS, edit + 2, &range, new);
        told(&mut program, edit + 2);
        times.push(start.elapsed());
        if edit % 20 == 0 {
            let start = Instant::now();
            std::hint::black_box(inspect_text(&library, "probe.dryfit", text));
            checks.push(start.elapsed());
        }
    }
    program.end();
    times.sort_unstable();
    let slow = times[EDITS * 99 / 100 - 1];
    let (check, usual) = (median(checks), times[EDITS / 2]);
    row(&format!("plain check of {name}"), &milliseconds(check));
    row("… a keystroke in it to its findings, median", &milliseconds(usual));
    row("… over the check", &format!("{:.2}", ratio(usual, check)));
    let wanted = format!("under {} ms", limit.as_millis());
    target(&format!("… 99th percentile of {EDITS}"), &milliseconds(slow), slow < limit, &wanted);
}

fn burst(text: &str) {
    const ROUNDS: usize = 21;
    const KEYS: usize = 30;
    let at = figures_in(text)[0];
    let mut program = Program::start(&json!({}));
    program.open(ADDRESS, text);
    told(&mut program, 1);
    let mut most = 0;
    for round in 0..ROUNDS {
        let first = 2 + round * KEYS;
        for key in 0..KEYS {
            let (range, new) = if key % 2 == 0 { (place(at, 0), "1") } else { (place(at, 1), "") };
            program.change(ADDRESS, first + key, &range, new);
        }
        most = most.max(1 + told(&mut program, first + KEYS - 1));
    }
    program.end();
    target(
        &format!("checks for {KEYS} keystrokes without a pause, the most of {ROUNDS}"),
        &most.to_string(),
        most <= 3,
        "at most 3",
    );
}

/// The actions of one finding after another, each after a keystroke, so that the sheet is read anew.
fn fixes() {
    let mut program = Program::start(&json!({ "textDocument": { "diagnostic": {} } }));
    program.open(ADDRESS, FAULTY);
    let document = json!({ "uri": ADDRESS });
    let pulled = program.ask("textDocument/diagnostic", json!({ "textDocument": document }));
    let findings = pulled["items"].as_array().unwrap().clone();
    let mut slowest = Duration::ZERO;
    let mut version = 1;
    for finding in &findings {
        let mut times = Vec::new();
        for _ in 0..11 {
            version += 1;
            program.change(ADDRESS, version, &Value::Null, FAULTY);
            let asked =
                json!({ "textDocument": document, "range": finding["range"], "context": { "diagnostics": [] } });
            let start = Instant::now();
            let actions = program.ask("textDocument/codeAction", asked);
            times.push(start.elapsed());
            assert!(!actions.as_array().unwrap().is_empty());
        }
        slowest = slowest.max(median(times));
    }
    program.end();
    let name = format!("quick fixes of one of {} findings, the slowest", findings.len());
    target(&name, &milliseconds(slowest), slowest < Duration::from_millis(50), "under 50 ms");
}

#[allow(clippy::cast_precision_loss, reason = "counts are small")]
fn memory(text: &str) {
    let at = figures_in(text)[0];
    let mut program = Program::start(&json!({}));
    program.open(ADDRESS, text);
    told(&mut program, 1);
    let mut early = 0;
    for edit in 0..10 * EDITS {
        let (range, new) = if edit % 2 == 0 { (place(at, 0), "1") } else { (place(at, 1), "") };
        program.change(ADDRESS, edit + 2, &range, new);
        told(&mut program, edit + 2);
        if edit + 1 == EDITS {
            early = program.memory();
        }
    }
    let late = program.memory();
    program.end();
    row(&format!("memory after {EDITS} edits"), &format!("{:.1} MB", early as f64 / 1e6));
    let more = late as f64 / early.max(1) as f64;
    target(
        &format!("… after {}", 10 * EDITS),
        &format!("{:.1} MB", late as f64 / 1e6),
        more < 1.1,
        "at most a tenth more",
    );
}
