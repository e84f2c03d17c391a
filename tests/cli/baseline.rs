//! `--baseline`: living with an old project.

use crate::bench::{Bench, GOOD, THIN, snapshot};

const WRITE: [&str; 4] = ["inspect", "--quiet", "--output", "baseline=old.json"];
const WITH: [&str; 5] = ["inspect", "--report", "lines", "--baseline", "old.json"];

#[test]
fn only_what_is_new_fails_and_what_is_gone_is_said() {
    let bench =
        Bench::with(&[("old.dryfit", THIN), ("mended.dryfit", THIN), ("away.dryfit", THIN), ("good.dryfit", GOOD)]);
    assert_eq!(bench.run(&WRITE).code, 1);
    assert_eq!(bench.run(&WITH).code, 0, "all is known");
    bench.write("good.dryfit", THIN);
    bench.write("mended.dryfit", GOOD);
    std::fs::remove_file(bench.path("away.dryfit")).unwrap();
    let outcome = bench.run(&WITH);
    assert_eq!(outcome.code, 1);
    snapshot("baseline", format!("{}{}", bench.read("old.json"), outcome.all()));
    let brief = bench.run(&["inspect", "--baseline", "old.json"]);
    snapshot("baseline-brief", brief.all());
    assert_eq!(bench.run(&["inspect", "--never-fail"]).code, 0);
    let renewed = bench.run(&["inspect", "--baseline", "old.json", "--output", "baseline=old.json"]);
    assert_eq!(renewed.code, 1, "one run both compares and writes");
    assert_eq!(bench.run(&WITH).code, 0);
    assert!(!bench.run(&WITH).err.contains("gone"));
}

#[test]
fn what_became_worse_or_lost_its_permit_is_new() {
    // Within its limit on the mean, but not by much.
    let note = GOOD.replace("1.26", "1.05");
    let permitted = format!("{THIN}permit thin-wall on tray.side \"a label only\"\n");
    let bench = Bench::with(&[("a.dryfit", &note), ("b.dryfit", &permitted)]);
    bench.run(&WRITE);
    let known = bench.run(&["inspect", "--threshold", "note", "--baseline", "old.json"]);
    assert_eq!(known.code, 0, "{}", known.all());
    bench.write("a.dryfit", THIN);
    let worse = bench.run(&[&WITH[..], &["a.dryfit"]].concat());
    assert_eq!(worse.code, 1, "{}", worse.all());
    bench.write("b.dryfit", THIN);
    let bare = bench.run(&[&WITH[..], &["b.dryfit"]].concat());
    assert_eq!(bare.code, 1, "{}", bare.all());
    assert!(!bare.err.contains("a.dryfit"), "a sheet that was not looked at is not gone: {}", bare.err);
}

/// A warning for people must be answered in the sheet.
#[test]
fn no_baseline_hides_a_danger_to_people() {
    let sheet = "sheet \"Spare step for a loft ladder\"\nmachine bench\nmaterial petg\npart tread { up +z; size 120 x 60 x 20 mm; wall plate { thickness 6 mm; faces +z } }\n";
    let bench = Bench::with(&[("step.dryfit", sheet)]);
    let before = bench.run(&["inspect", "--report", "lines"]);
    bench.run(&WRITE);
    let after = bench.run(&WITH);
    let cautions = |text: &str| text.lines().filter(|line| line.contains("danger to people: ")).count();
    assert!(cautions(&before.out) > 0, "{}", before.all());
    assert_eq!(cautions(&after.out), cautions(&before.out), "{}", after.all());
}

#[test]
fn a_baseline_that_is_none_is_told() {
    let bench = Bench::with(&[("a.dryfit", GOOD)]);
    let mut told = String::new();
    for text in ["", "{}", "{\"shape\":\"dryfit-baseline/2\",\"findings\":[]}", "[1]\n"] {
        bench.write("old.json", text);
        let outcome = bench.run(&WITH);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        told.push_str(&outcome.err);
    }
    std::fs::remove_file(bench.path("old.json")).unwrap();
    told.push_str(&bench.run(&WITH).err);
    snapshot("baselines-refused", told);
}

#[test]
fn a_folder_without_sheets_is_no_mistake_where_one_says_so() {
    let bench = Bench::with(&[("empty/readme.txt", "")]);
    assert_eq!(bench.run(&["inspect", "empty"]).code, 2);
    let outcome = bench.run(&["inspect", "--allow-empty", "--output", "sarif=x.sarif", "empty"]);
    assert_eq!(outcome.code, 0, "{}", outcome.all());
    assert!(bench.read("x.sarif").contains("\"results\":[]"));
}
