//! What the other commands print, for people and for programs.

use serde_json::Value;

use crate::bench::{Bench, THIN, snapshot};

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

/// The ledger says of each rule what an inspection says: at which level it is reported, what is permitted, what a caution was
/// answered, and which permits are in use.
#[test]
fn the_ledger_says_what_an_inspection_says() {
    let sheet = "machine bench\nmaterial petg\npart hanger { up +z; size 40 x 30 x 20 mm\n  wall side { thickness 0.5 mm; height 20 mm; \
                 faces +x }\n  wall low { thickness 0.6 mm; height 1 mm; faces -x }\n  \
                 tie strap { points +x; width 10 mm; thickness 4 mm; load { force 10 N; over-people yes } }\n}\n\
                 permit thin-wall on hanger.low \"only a label\"\npermit over-people on hanger.strap.load \"a wire holds it\"\n\
                 permit uneven-wall on hanger.strap \"nothing needs this one\"\n";
    let bench = Bench::with(&[("a.dryfit", sheet), ("dryfit.yaml", "levels: {thin-wall: note}\n")]);
    let rules = ["thin-wall", "over-people", "spent-permit"];
    let of = |word: &'static str| rules.into_iter().flat_map(|rule| [word, rule]).collect::<Vec<&str>>();
    let inspect = bench.run(&[&["inspect", "--report", "lines", "a.dryfit"], of("--only").as_slice()].concat()).out;
    let ledger = [&["ledger", "a.dryfit"], of("--rule").as_slice()].concat();
    let told = json(&bench, &ledger);
    let ledger = bench.run(&ledger).out;
    snapshot("ledger-as-inspected", format!("{inspect}\n{ledger}"));
    let entry = |rule: &str, feature: &str| {
        let mut entries = told["entries"].as_array().unwrap().iter();
        entries.find(|entry| entry["rule"] == rule && entry["feature"] == feature).unwrap()
    };
    let reported = |rule: &str, feature: &str| &entry(rule, feature)["comparisons"][0]["reported"];
    assert_eq!(reported("thin-wall", "hanger.side"), "note");
    assert_eq!(reported("over-people", "hanger.strap.load"), "note");
    assert_eq!(entry("over-people", "hanger.strap.load")["acknowledged"], "a wire holds it");
    assert_eq!(entry("thin-wall", "hanger.low")["permitted"], "only a label");
    assert_eq!(entry("thin-wall", "hanger.side")["permitted"], Value::Null);
}

/// Ways up and windows look at what they decide, and do not pass for a verdict.
#[test]
fn a_go_of_some_rules_does_not_pass_for_one_of_the_sheet() {
    let sheet = "machine bench\nmaterial petg\npart hanger { up +z; size 40 x 30 x 20 mm\n  \
                 tie strap { points +x; width 10 mm; thickness 4 mm; load { force 10 N; over-people yes } }\n}\n";
    let bench = Bench::with(&[("a.dryfit", sheet)]);
    let inspect = bench.run(&["inspect", "a.dryfit"]).out;
    assert!(inspect.contains("a.dryfit: go with care"), "{inspect}");
    for (arguments, told) in [
        (&["window", "a.dryfit", "hanger.strap.load.force"][..], "Only rules that the value reaches count here"),
        (&["orient", "a.dryfit"], "Only rules that the way up reaches count here"),
    ] {
        let said = bench.run(arguments).out.replace('\n', " ");
        assert!(said.contains(told) && said.contains("the verdict on the sheet is `dryfit inspect`'s"), "{said}");
    }
}

/// What could not be written is not counted as written, in words, in JSON and by the exit code.
#[test]
fn mend_tells_what_it_wrote_and_what_it_left() {
    let bench = Bench::with(&[("a.dryfit", THIN), ("b.dryfit", THIN)]);
    let set_read_only = |name: &str, is: bool| {
        let mut permissions = std::fs::metadata(bench.path(name)).unwrap().permissions();
        permissions.set_readonly(is);
        std::fs::set_permissions(bench.path(name), permissions).unwrap();
    };
    set_read_only("a.dryfit", true);
    let none = bench.run(&["mend", "--write", "a.dryfit"]);
    let last = "dryfit: a.dryfit: left as it is: the file is read-only\ndryfit: nothing written: 1 change was not\n";
    assert!(none.code == 2 && none.err.ends_with(last), "{}", none.all());
    let some = json(&bench, &["mend", "--write", "a.dryfit", "b.dryfit"]);
    let of = |number: usize| (&some["sheets"][number]["changed"], &some["sheets"][number]["written"]);
    assert_eq!((of(0), of(1)), ((&true.into(), &false.into()), (&true.into(), &true.into())));
    assert_eq!(some["written"], false, "not all of it");
    bench.write("b.dryfit", THIN);
    let some = bench.run(&["mend", "--write", "a.dryfit", "b.dryfit"]);
    assert!(some.code == 2 && some.err.ends_with("dryfit: 1 change written, 1 was not\n"), "{}", some.all());
    assert_eq!(bench.read("a.dryfit"), THIN);
    assert_ne!(bench.read("b.dryfit"), THIN);
    set_read_only("a.dryfit", false);
    let all = bench.run(&["mend", "--write", "a.dryfit"]);
    assert!(all.code == 3 && all.err.ends_with("dryfit: 1 change written\n"), "{}", all.all());
}

#[test]
fn a_pick_of_a_rule_that_there_is_none_of_is_told_so() {
    let bench = Bench::with(&[("a.dryfit", THIN)]);
    for (pick, told) in [
        ("thin-wal:1", "there is no rule `thin-wal`; did you mean `thin-wall`?"),
        ("nosuch:tray.side:1", "there is no rule `nosuch`; `dryfit why` lists the rules"),
        ("thin-wall:9", "there is no mend 9 for thin-wall"),
    ] {
        let outcome = bench.run(&["mend", "--write", "--pick", pick, "a.dryfit"]);
        assert!(outcome.code == 2 && outcome.err.contains(told), "{}", outcome.all());
        assert!(outcome.err.contains("nothing was changed") && bench.read("a.dryfit") == THIN, "{}", outcome.all());
    }
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

/// Nothing is searched for a fault of the text: what it says itself is the way out.
#[test]
fn mend_tells_the_way_out_of_a_fault() {
    let misspelt = THIN.replace("thickness 0.5", "thicknes 0.5").replace("petg", "petgg");
    let bench = Bench::with(&[("a.dryfit", &misspelt)]);
    let told = bench.run(&["mend", "a.dryfit"]);
    let lines = [
        "dryfit: a.dryfit: remains: stop: there is no material `petgg` [unknown-name]",
        "dryfit: a.dryfit:   did you mean `petg`?",
        "dryfit: a.dryfit: remains: stop: a `wall` has no `thicknes` [unknown-word]",
        "dryfit: a.dryfit:   did you mean `thickness`?",
    ];
    let first = |line: &str| told.err.lines().position(|one| one == line);
    assert!(lines.map(first).into_iter().all(|at| at.is_some()) && told.code == 1, "{}", told.all());
    assert!(lines.map(first).is_sorted(), "each after its fault: {}", told.all());
}

#[test]
fn a_window_of_nothing_tells_the_fields_that_there_are_in_lines_that_fit() {
    let sheet = format!("let lip = 2 mm\n{}", SHEET.replace("wall good", "wall opposite-side"));
    let bench = Bench::with(&[("a.dryfit", &sheet)]);
    let told = bench.command(&["window", "a.dryfit"]).env("COLUMNS", "40").output().unwrap();
    let expected = "dryfit: a.dryfit: name a field or two of these\n  lip\n  tray.size.x, tray.size.y, tray.size.z\n  \
                    tray.side.thickness, tray.side.height\n  tray.opposite-side.thickness,\n    tray.opposite-side.height\n";
    assert_eq!((String::from_utf8(told.stderr).unwrap().as_str(), told.status.code()), (expected, Some(2)));
}

#[test]
fn a_window_of_the_end_of_a_path_is_told_the_whole_of_it() {
    let bench = Bench::with(&[("a.dryfit", SHEET)]);
    let one = bench.run(&["window", "a.dryfit", "size.x"]);
    assert!(one.all().contains("did you mean `tray.size.x`?"), "{}", one.all());
    // Two end so: neither is meant for certain.
    let two = bench.run(&["window", "a.dryfit", "thickness"]);
    assert!(!two.all().contains("did you mean `tray.side.thickness`?"), "{}", two.all());
}
