//! `--watch`: checked again when something is saved.

use std::io::{BufRead, BufReader};
use std::process::{Child, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use crate::bench::{Bench, GOOD, THIN};

struct Watched {
    child: Child,
    lines: Receiver<String>,
}

impl Watched {
    fn start(bench: &Bench) -> Self {
        let mut command = bench.command(&["inspect", "--report", "lines", "--watch"]);
        let mut child = command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        let (send, lines) = channel();
        std::thread::spawn(move || out.lines().map_while(Result::ok).try_for_each(|line| send.send(line)));
        Self { child, lines }
    }

    /// The next verdict, waited for a while.
    fn verdict(&self) -> String {
        let end = Instant::now() + Duration::from_secs(60);
        loop {
            let line = self.lines.recv_timeout(end.saturating_duration_since(Instant::now())).expect("no verdict came");
            if line.contains(".dryfit: ") {
                return line;
            }
        }
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn a_saved_sheet_pack_or_setting_is_checked_again() {
    let bench = Bench::with(&[("a.dryfit", GOOD)]);
    let watched = Watched::start(&bench);
    assert!(watched.verdict().starts_with("a.dryfit: go"));
    bench.write("a.dryfit", THIN);
    assert!(watched.verdict().starts_with("a.dryfit: no-go"));
    bench.write("dryfit.yaml", "levels: {thin-wall: note}\n");
    assert!(watched.verdict().starts_with("a.dryfit: go: 2 notes"));
    bench.write("dryfit/shop.yaml", "limits: {thin-wall: {least-lines: 1}}\n");
    let line = watched.verdict();
    assert!(line.starts_with("a.dryfit: "), "{line}");
    bench.write("b.dryfit", THIN);
    watched.verdict();
    assert!(watched.verdict().starts_with("b.dryfit: "));
}

/// The processor's time of a watch that has nothing to do, from the system's own count.
#[cfg(target_os = "linux")]
#[test]
fn watching_does_not_keep_the_processor_busy() {
    let bench = Bench::with(&[("a.dryfit", GOOD)]);
    let watched = Watched::start(&bench);
    watched.verdict();
    let ticks = || {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", watched.child.id())).unwrap();
        let fields: Vec<&str> = stat.rsplit_once(") ").unwrap().1.split(' ').collect();
        fields[11].parse::<u64>().unwrap() + fields[12].parse::<u64>().unwrap()
    };
    let before = ticks();
    std::thread::sleep(Duration::from_secs(2));
    // proc(5): a tick is a hundredth of a second; a tenth of a processor would be 20.
    assert!(ticks() - before < 20, "{} ticks in two seconds", ticks() - before);
}
