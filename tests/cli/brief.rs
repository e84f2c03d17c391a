//! The brief report: seen at the bench in five seconds.

use std::path::Path;

use crate::bench::{Bench, THIN, finished, snapshot};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data/vent-latch.dryfit");
const TEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cli/greenhouse");

/// The report of the sheets in the bench's folder at so many columns.
fn brief(bench: &Bench, width: &str, arguments: &[&str]) -> String {
    let mut command = bench.command(&[&["inspect"], arguments].concat());
    finished(command.env("COLUMNS", width), "").out
}

fn demo() -> Bench {
    Bench::with(&[("vent-latch.dryfit", &std::fs::read_to_string(DEMO).unwrap())])
}

fn ten() -> Bench {
    let bench = Bench::new();
    for entry in std::fs::read_dir(Path::new(TEN)).unwrap() {
        let path = entry.unwrap().path();
        bench.write(path.file_name().unwrap().to_str().unwrap(), std::fs::read(&path).unwrap());
    }
    bench
}

fn fits(text: &str, width: usize) {
    // A command to copy is never broken.
    let lines = text.lines().filter(|line| !line.contains("dryfit mend") && !line.contains("dryfit why"));
    for line in lines {
        assert!(line.chars().count() <= width, "{} columns: {line}", line.chars().count());
    }
}

/// The targets are the project's own: a page of a terminal for one faulty sheet, and nothing that one acts on is lost.
#[test]
fn the_faulty_demo_sheet_is_a_page() {
    let bench = demo();
    let told = brief(&bench, "80", &[]);
    snapshot("brief-demo", &told);
    assert!(told.lines().count() <= 45, "{} lines\n{told}", told.lines().count());
    fits(&told, 80);
    assert!(told.starts_with("vent-latch.dryfit: no-go: 1 stop"), "{told}");
    let lines = bench.run(&["inspect", "--report", "lines", "vent-latch.dryfit"]).out;
    let rules = lines.lines().filter_map(|line| line.rsplit_once('[')?.1.strip_suffix(']'));
    let mut met = 0;
    for rule in rules {
        assert!(told.contains(&format!("[{rule}]")), "{rule} is missing in\n{told}");
        met += 1;
    }
    assert!(met >= 5, "only {met} findings");
    // Every first mend of the full report is there, by its new value.
    let run: serde_json::Value =
        serde_json::from_str(&bench.run(&["inspect", "--mends", "--report", "json", "vent-latch.dryfit"]).out).unwrap();
    for finding in run["sheets"][0]["findings"].as_array().unwrap() {
        for change in finding["advice"]["mends"][0]["changes"].as_array().into_iter().flatten() {
            assert!(told.contains(change["to"].as_str().unwrap()), "{change} is missing in\n{told}");
        }
    }
}

#[test]
fn ten_faulty_sheets_are_few_pages_and_the_worst_come_first_in_the_summary() {
    let told = brief(&ten(), "80", &[]);
    assert!(told.lines().count() <= 300, "{} lines\n{told}", told.lines().count());
    fits(&told, 80);
    let summary = told.rsplit("\n\n\n").next().unwrap();
    let verdicts: Vec<&str> = summary.lines().filter(|line| line.contains(".dryfit  ")).collect();
    assert_eq!(verdicts.len(), 10, "{summary}");
    let first_go = verdicts.iter().position(|line| !line.starts_with("no-go")).unwrap_or(verdicts.len());
    assert!(verdicts[first_go..].iter().all(|line| !line.starts_with("no-go")), "{summary}");
    let tally = brief(&ten(), "80", &["--tally"]);
    snapshot("tally", &tally);
    let count =
        |line: &str| line.split_whitespace().skip(1).take(3).filter_map(|n| n.parse::<usize>().ok()).sum::<usize>();
    let findings: usize = tally.lines().skip(1).map(count).sum();
    assert!((36..=48).contains(&findings), "{findings} findings are not about 41\n{tally}");
}

#[test]
fn a_narrow_plain_terminal_gets_ascii_in_its_width() {
    for (name, value) in [("TERM", "dumb"), ("LC_ALL", "C"), ("LANG", "POSIX")] {
        let bench = demo();
        let mut command = bench.command(&["inspect"]);
        let told = finished(command.env("COLUMNS", "40").env(name, value), "").out;
        fits(&told, 40);
        assert!(told.is_ascii(), "{name}={value}: {told}");
        if name == "TERM" {
            snapshot("brief-narrow", &told);
        }
        let mut command = bench.command(&["inspect", "--report", "drawn"]);
        let drawn = finished(command.env("COLUMNS", "40").env(name, value), "").out;
        assert!(drawn.is_ascii(), "{name}={value}: {drawn}");
    }
}

#[test]
fn a_dumb_terminal_is_not_coloured_unless_asked() {
    let bench = Bench::with(&[("a.dryfit", THIN)]);
    let coloured = bench.run(&["--color", "always", "inspect", "a.dryfit"]).out;
    assert!(coloured.contains("\u{1b}[1;31mstop\u{1b}[0m"), "{coloured:?}");
    assert!(!bench.run(&["--colour", "never", "inspect", "a.dryfit"]).out.contains('\u{1b}'));
}

/// What one line about all parts decides is told of them together, and makes none of them another's copy.
#[test]
fn parts_that_are_too_warm_are_told_together() {
    let sheet = "machine bench\nmaterial pla\nservice { temperature 70 degC }\npart a { up +z; size 40 x 20 x 12 mm }\npart b { up +z; size 50 x 20 x 12 mm }\n";
    let told = brief(&Bench::with(&[("a.dryfit", sheet)]), "120", &[]);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(told.matches("[too-warm]").count(), 1, "{told}");
    assert!(told.contains("the same on `b` [too-warm]") && !told.contains("copy"), "{told}");
}

#[test]
fn a_copy_with_the_same_fault_is_no_second_finding() {
    let sheet = "machine bench\nmaterial petg\npart clip { up +z; size 40 x 20 x 12 mm\n  arm jaw { points +x; bends +y; length 18 mm; \
        thickness 1.6 mm; width 10 mm; root-fillet 0.8 mm; hook { depth 1 mm; lead-in 60 deg; return 45 deg } }\n  \
        arm lower-jaw like jaw { bends -y }\n}\n";
    let told = brief(&Bench::with(&[("a.dryfit", sheet)]), "120", &[]);
    assert_eq!(told.matches("[blunt-lead-in]").count(), 1, "{told}");
    assert!(told.contains("the same on `clip.lower-jaw.hook` [blunt-lead-in]"), "{told}");
    assert!(told.contains("2 cares"), "the verdict counts both\n{told}");
}

#[test]
fn what_is_permitted_keeps_its_reason() {
    let reason = "a sacrificial skin that is cut away ".repeat(4);
    let sheet = format!("{THIN}permit thin-wall on tray.side \"{reason}\"\n");
    let told = brief(&Bench::with(&[("a.dryfit", &sheet)]), "80", &[]);
    assert!(told.lines().all(|line| line.chars().count() <= 80), "{told}");
    let words: Vec<&str> = told.split_whitespace().collect();
    assert!(told.contains("\n permitted  thin-wall on tray.side: a sacrificial"), "{told}");
    assert!(words.join(" ").contains(reason.trim()), "{told}");
}

/// What is not shown counts all the same, for the verdict and for the exit code.
#[test]
fn a_selection_hides_and_never_judges() {
    let sheet = "machine bench\nmaterial petg\npart tray { up +z; size 40 x 30 x 20 mm\n  wall side { thickness 0.42 mm; faces +x }\n  \
        bridge gap { span 12 mm }\n}\n";
    let bench = Bench::with(&[("a.dryfit", sheet)]);
    let shown = |arguments: &[&str]| {
        let outcome = bench.run(&[&["inspect", "a.dryfit"], arguments].concat());
        assert_eq!(outcome.code, 1, "{}", outcome.all());
        assert!(outcome.out.starts_with("a.dryfit: no-go: 1 stop, 1 care"), "{}", outcome.out);
        outcome.out
    };
    let stops = shown(&["--level", "stop"]);
    assert!(stops.contains("[thin-wall]") && !stops.contains("[long-bridge]"), "{stops}");
    assert!(stops.contains("1 finding is not shown"), "{stops}");
    let on = shown(&["--on", "tray.gap"]);
    assert!(on.contains("[long-bridge]") && !on.contains("[thin-wall]"), "{on}");
    let all = shown(&["--on", "tray"]);
    assert!(all.contains("[long-bridge]") && all.contains("[thin-wall]"), "{all}");
    let only = shown(&["--only", "long-bridge"]);
    assert!(only.contains("[long-bridge]") && !only.contains("[thin-wall]"), "{only}");
    let without = shown(&["--without", "long-bridge", "--without", "thin-wall"]);
    assert!(!without.contains("[long-bridge]") && without.contains("2 findings are not shown"), "{without}");
    let unknown = bench.run(&["inspect", "--only", "long-brige", "a.dryfit"]);
    assert!(unknown.code == 2 && unknown.err.contains("did you mean `long-bridge`?"), "{}", unknown.all());
    let unknown = bench.run(&["inspect", "--on", "tray.gapp", "a.dryfit"]);
    assert!(unknown.code == 2 && unknown.err.contains("did you mean `tray.gap`?"), "{}", unknown.all());
    let json = bench.run(&["inspect", "--report", "json", "--level", "stop", "a.dryfit"]).out;
    let run: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!((&run["sheets"][0]["hidden"], &run["sheets"][0]["counts"]["care"]), (&1.into(), &1.into()));
}

#[test]
fn quiet_is_a_line_a_sheet_and_without_a_path_it_is_the_folder() {
    let bench = Bench::with(&[("a.dryfit", THIN), ("b/c.dryfit", crate::bench::GOOD)]);
    let outcome = bench.run(&["inspect", "--quiet"]);
    assert_eq!(outcome.code, 1);
    let lines: Vec<&str> = outcome.out.lines().collect();
    assert!(
        lines.len() == 2 && lines[0].contains("a.dryfit: no-go: 1 stop") && lines[1].contains("c.dryfit: go"),
        "{lines:?}"
    );
}

/// `mend` is named where it can do something.
#[test]
fn the_next_commands_are_those_that_help() {
    let told = brief(&Bench::with(&[("a.dryfit", THIN)]), "80", &[]);
    assert!(told.ends_with("\nnext: dryfit mend a.dryfit\n      dryfit why thin-wall\n"), "{told}");
    let faulty = "machine bench\nmaterial petg\npart p { up +z; size 40 x 20 x 25 }\n";
    let told = brief(&Bench::with(&[("a.dryfit", faulty)]), "80", &[]);
    assert!(told.ends_with("\nnext: dryfit why missing-unit\n"), "{told}");
    assert!(!brief(&Bench::with(&[("a.dryfit", crate::bench::GOOD)]), "80", &[]).contains("next:"));
}

/// A place far along in a line is shown with what is around it, and no more.
#[test]
fn a_very_long_line_is_cut_around_its_place() {
    let long = format!(
        "machine bench; material petg; part p {{ up +z; {} wall w {{ thickness 0.5 mm }} }}\n",
        (0..60).map(|n| format!("wall g{n} {{ thickness 1.26 mm }}; ")).collect::<String>()
    );
    let bench = Bench::with(&[("a.dryfit", &long)]);
    for report in ["brief", "drawn"] {
        let mut command = bench.command(&["inspect", "--report", report, "a.dryfit"]);
        let told = finished(command.env("COLUMNS", "80"), "").out;
        assert!(told.contains("thickness 0.5 mm"), "{told}");
        assert!(told.lines().all(|line| line.chars().count() <= 200), "{told}");
    }
}
