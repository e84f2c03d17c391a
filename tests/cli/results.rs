//! What the other commands print, for people and for programs.

use serde_json::Value;

use crate::bench::{Bench, THIN};

const SHEET: &str = "machine bench\nmaterial petg\npart tray { up +z; size 40 x 30 x 20 mm\n  wall side { thickness 0.5 mm; height 20 mm; \
    faces +x }\n  wall good { thickness 1.26 mm; height 20 mm; faces -x }\n}\npermit uneven-wall on tray.side \"it may\"\n";

fn json(bench: &Bench, arguments: &[&str]) -> Value {
    let outcome = bench.run(&[arguments, &["--report", "json"]].concat());
    assert!(!outcome.out.contains("-0.0"), "{}", outcome.out);
    // The residue of arithmetic has many digits.
    let digits = outcome.out.split(|c: char| !c.is_ascii_digit()).map(str::len).max();
    assert!(digits < Some(14), "{}", outcome.out);
    serde_json::from_str(&outcome.out).unwrap_or_else(|error| panic!("{arguments:?}: {error}: {}", outcome.all()))
}

#[test]
fn every_command_with_a_result_has_it_in_json() {
    let bench = Bench::with(&[("a.dryfit", SHEET)]);
    let mends = json(&bench, &["mend", "a.dryfit"]);
    assert_eq!((&mends["shape"], &mends["written"]), (&"dryfit-mends/1".into(), &false.into()));
    assert_eq!(mends["sheets"][0]["applied"][0]["changes"][0]["to"], "0.84 mm");
    assert!(mends["sheets"][0]["text"].as_str().unwrap().contains("thickness 0.84 mm"));
    assert_eq!(bench.read("a.dryfit"), SHEET, "nothing is written unasked");
    let orient = json(&bench, &["orient", "a.dryfit"]);
    assert_eq!((&orient["shape"], &orient["parts"][0]["part"]), (&"dryfit-orient/1".into(), &"tray".into()));
    assert!(orient["parts"][0]["ways"][0]["height"].is_number());
    let window = json(&bench, &["window", "a.dryfit", "tray.side.thickness", "--step", "0.1"]);
    assert_eq!((&window["shape"], &window["moved"][0]["now"]), (&"dryfit-window/1".into(), &0.5.into()));
    assert_eq!(window["whole"][0]["state"], "stop");
    let ledger = json(&bench, &["ledger", "a.dryfit", "--rule", "thin-wall"]);
    let entry = &ledger["entries"][0];
    assert_eq!((&entry["rule"], &entry["feature"]), (&"thin-wall".into(), &"tray.side".into()));
    assert_eq!(entry["comparisons"][0]["margin"]["value"], 0.5);
    let why = json(&bench, &["why", "thin-wall"]);
    assert_eq!((&why["shape"], &why["rules"][0]["name"]), (&"dryfit-rules/1".into(), &"thin-wall".into()));
}

#[test]
fn the_ledger_shows_what_fails_and_marks_what_is_permitted() {
    let bench = Bench::with(&[("a.dryfit", SHEET)]);
    let failing = bench.run(&["ledger", "--failing", "a.dryfit"]).out;
    assert!(failing.contains("FAILS (stop)") && !failing.contains("tray.good"), "{failing}");
    assert!(failing.contains("  uneven-wall (permitted: it may)\n"), "{failing}");
    let one = bench.run(&["ledger", "--rule", "thin-wall", "a.dryfit"]).out;
    assert!(one.contains("  thin-wall\n") && !one.contains("uneven-wall"), "{one}");
    let unknown = bench.run(&["ledger", "--rule", "thin-wal", "a.dryfit"]);
    assert!(unknown.code == 2 && unknown.err.contains("did you mean `thin-wall`?"), "{}", unknown.all());
}

#[test]
fn mend_ends_with_what_to_do_and_tells_by_its_code_that_it_wrote() {
    let bench = Bench::with(&[("a.dryfit", THIN)]);
    let shown = bench.run(&["mend", "a.dryfit"]);
    assert_eq!(shown.code, 1, "the sheet on the disk still has a stop: {}", shown.all());
    assert!(shown.err.ends_with("dryfit: 1 change; `--write` writes it\n"), "{}", shown.err);
    let coloured = bench.run(&["--colour", "always", "mend", "a.dryfit"]).out;
    assert!(coloured.contains("\u{1b}[32m+") && coloured.contains("\u{1b}[31m-"), "{coloured:?}");
    let written = bench.run(&["mend", "--write", "a.dryfit"]);
    assert_eq!(written.code, 3, "{}", written.all());
    assert!(written.err.ends_with("dryfit: 1 change written\n"), "{}", written.err);
    let again = bench.run(&["mend", "--write", "a.dryfit"]);
    assert!(again.code == 0 && again.err.is_empty(), "{}", again.all());
}

/// Half and twice mean nothing for a temperature, and a reading is not looked at beyond what it may be.
#[test]
fn a_window_begins_and_ends_where_it_means_something() {
    let sheet = "machine bench\nmaterial petg\nservice { temperature 30 degC }\nbought bar { width measured 8.06, 8.02, 8.10 mm }\n\
        part p { up +z; size 30 x 30 x 30 mm; arm a { points +x; bends +y; length 20 mm; thickness 2 mm; width 6 mm; \
        root-fillet 1 mm; hook { depth 1 mm; lead-in 60 deg; return 45 deg } }; slot s { width bar.width + 0.4 mm; depth 4 mm; axis +z } }\n";
    let bench = Bench::with(&[("a.dryfit", sheet)]);
    let ends = |field: &str, step: &str| {
        let moved = json(&bench, &["window", "a.dryfit", field, "--step", step])["moved"][0].clone();
        (moved["from"].as_f64().unwrap(), moved["to"].as_f64().unwrap())
    };
    assert_eq!(ends("service.temperature", "20"), (0.0, 60.0));
    // An angle of a slope is at most 90 deg, by the vocabulary.
    assert_eq!(ends("p.a.hook.lead-in", "20"), (30.0, 90.0));
    let (from, to) = ends("bar.width", "0.1");
    assert!(7.5 < from && from < 8.02 && 8.1 < to && to < 8.6, "{from} to {to}");
}
