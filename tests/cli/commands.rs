use crate::bench::{Bench, GOOD, THIN, snapshot};

#[test]
fn every_help_reads_well() {
    let bench = Bench::new();
    for (name, arguments) in [
        ("help", vec!["--help"]),
        ("help-inspect", vec!["inspect", "--help"]),
        ("help-why", vec!["why", "--help"]),
        ("help-new", vec!["new", "--help"]),
        ("help-gauge", vec!["gauge", "--help"]),
        ("help-dimensions", vec!["dimensions", "--help"]),
        ("help-format", vec!["format", "--help"]),
        ("help-settings", vec!["settings", "--help"]),
        ("help-install-hook", vec!["install-hook", "--help"]),
    ] {
        let outcome = bench.run(&arguments);
        assert_eq!(outcome.code, 0);
        assert!(outcome.err.is_empty());
        snapshot(name, outcome.out);
    }
}

#[test]
fn the_short_help_is_the_same_data() {
    let bench = Bench::new();
    assert_eq!(bench.run(&["-h"]).code, 0);
    assert!(bench.run(&["--version"]).out.starts_with("dryfit "));
}

#[test]
fn mistakes_in_the_arguments_exit_with_2_and_say_so_on_stderr() {
    let bench = Bench::with(&[("a.dryfit", GOOD)]);
    for arguments in [
        vec![],
        vec!["inspekt", "a.dryfit"],
        vec!["inspect", "--report", "boxes", "a.dryfit"],
        vec!["inspect", "--threshold", "panic", "a.dryfit"],
        vec!["--colour", "green", "inspect", "a.dryfit"],
        vec!["format"],
        vec!["why", "thin-wall", "fused-gap"],
    ] {
        let outcome = bench.run(&arguments);
        assert_eq!(outcome.code, 2, "{arguments:?}");
        assert!(outcome.out.is_empty() && !outcome.err.is_empty(), "{arguments:?}");
    }
}

#[test]
fn exit_codes_follow_the_threshold() {
    let note = GOOD.replace("1.26", "1.05");
    let bench = Bench::with(&[("go.dryfit", GOOD), ("note.dryfit", &note), ("stop.dryfit", THIN)]);
    let code = |arguments: &[&str]| bench.run(arguments).code;
    assert_eq!(code(&["inspect", "go.dryfit"]), 0);
    assert_eq!(code(&["inspect", "note.dryfit"]), 0);
    assert_eq!(code(&["inspect", "--threshold", "care", "note.dryfit"]), 0);
    assert_eq!(code(&["inspect", "--threshold", "note", "note.dryfit"]), 1);
    assert_eq!(code(&["inspect", "--threshold", "note", "go.dryfit"]), 0);
    assert_eq!(code(&["inspect", "stop.dryfit"]), 1);
    assert_eq!(code(&["inspect", "go.dryfit", "stop.dryfit"]), 1);
    assert_eq!(code(&["inspect", "stop.dryfit", "missing.dryfit"]), 2);
}

#[test]
fn a_permit_keeps_the_exit_code_at_go() {
    let bench = Bench::with(&[("a.dryfit", &format!("{THIN}permit thin-wall on tray.side \"a sacrificial skin\"\n"))]);
    let outcome = bench.run(&["inspect", "a.dryfit"]);
    assert_eq!(outcome.code, 0, "{}", outcome.all());
    assert!(outcome.out.contains("permitted"), "{}", outcome.out);
}

#[test]
fn why_lists_rules_and_explains_one() {
    let bench = Bench::new();
    let list = bench.run(&["why"]);
    assert_eq!(list.code, 0);
    // A line that goes on stands further in.
    let lines = list.out.lines().filter(|line| !line.starts_with("   "));
    let names: Vec<&str> = lines.filter_map(|line| line.split_whitespace().next()).collect();
    assert!(names.contains(&"thin-wall") && names.contains(&"broken-pack"), "{}", list.out);
    snapshot("why-thin-wall", bench.run(&["why", "thin-wall"]).out);
    snapshot("why-control-character", bench.run(&["why", "control-character"]).out);
    for name in names {
        let outcome = bench.run(&["why", name]);
        assert_eq!(outcome.code, 0, "{name}");
        assert!(outcome.out.starts_with(name));
    }
}

#[test]
fn an_unknown_rule_is_trouble_with_a_way_out() {
    let bench = Bench::new();
    let near = bench.run(&["why", "thin-wal"]);
    let far = bench.run(&["why", "\u{1b}[31mred"]);
    assert_eq!((near.code, far.code), (2, 2));
    snapshot("why-unknown", format!("{}{}", near.err, far.err));
}

/// A permit that has ended accepts nothing any more, whichever command asks.
#[test]
fn the_day_counts_for_ways_up_too() {
    let bench = Bench::new();
    bench.write(
        "a.dryfit",
        "machine bench\nmaterial petg\npart p { up +z; size 30 x 30 x 30 mm; wall w { thickness 1.5 mm; height 9 mm; faces +x } }\n\
         permit uneven-wall on p.w \"prints well\" until \"2027-03-31\"\n",
    );
    let before = bench.run(&["orient", "a.dryfit", "--today", "2027-03-31"]).out;
    assert!(before.contains("note (permitted)"), "{before}");
    let after = bench.run(&["orient", "a.dryfit", "--today", "2027-04-01"]).out;
    assert!(!after.contains("(permitted)") && after.contains("[uneven-wall]"), "{after}");
}
