//! First contact: what somebody tries who knows no command yet, and what a first sheet is made of.

use crate::bench::{Bench, GOOD, THIN};

#[test]
fn a_word_that_people_try_names_the_command_that_does_it() {
    let bench = Bench::new();
    for (word, ours) in [
        ("check", "`dryfit inspect`"),
        ("lint", "`dryfit inspect`"),
        ("fix", "`dryfit mend`"),
        ("explain", "`dryfit why`"),
        ("help", "`dryfit --help`"),
        ("calc", "`dryfit ledger`"),
        ("show", "`dryfit inspect --full`"),
        ("inspekt", "did you mean `inspect`?"),
        ("frobnicate", "`dryfit --help` lists the commands"),
    ] {
        let outcome = bench.run(&[word, "a.dryfit"]);
        assert_eq!(outcome.code, 2, "{word}: {}", outcome.all());
        assert!(outcome.err.contains(ours) && outcome.err.lines().count() == 1, "{word}: {}", outcome.err);
        assert!(outcome.out.is_empty(), "{word}: {}", outcome.out);
    }
}

#[test]
fn a_sheet_in_the_place_of_a_command_is_inspected() {
    let bench = Bench::with(&[("a.dryfit", THIN), ("b", GOOD)]);
    for (arguments, code) in
        [(vec!["a.dryfit"], 1), (vec!["--colour", "never", "a.dryfit", "--quiet"], 1), (vec!["b"], 0)]
    {
        let outcome = bench.run(&arguments);
        assert_eq!(outcome.code, code, "{arguments:?}: {}", outcome.all());
        assert_eq!(outcome.out, bench.run(&[&["inspect"], &arguments[..]].concat()).out, "{arguments:?}");
    }
    assert_eq!(bench.run(&["missing.dryfit"]).code, 2);
}

#[test]
fn a_file_that_is_no_sheet_is_one_sentence() {
    let mesh = "solid cube\n  facet normal 0 0 1\n    outer loop\n".repeat(20);
    let bench = Bench::with(&[
        ("cube.mesh", &mesh),
        ("cube.dryfit", &mesh),
        ("run.sh", "#!/bin/sh\necho hello\n"),
        ("draw.py", "for n in range(3):\n    print(n)\n"),
        ("page.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n"),
    ]);
    bench.write("binary.bin", [0x7f, b'E', b'L', b'F', 0, 1, 2, 0xff]);
    for name in ["cube.mesh", "cube.dryfit", "run.sh", "draw.py", "page.svg", "binary.bin"] {
        for command in [&["inspect"][..], &["mend"], &["ledger"], &["orient"], &["dimensions"], &["window"]] {
            let field: &[&str] = if command == ["window"] { &["p.w.thickness"] } else { &[] };
            let outcome = bench.run(&[command, &[name], field].concat());
            assert_eq!(outcome.code, 2, "{command:?} {name}: {}", outcome.all());
            assert_eq!(outcome.err.lines().count(), 1, "{command:?} {name}: {}", outcome.err);
        }
    }
    // A sheet with a mistyped first word is a sheet all the same, under its own name and under another.
    bench.write("typo.dryfit", "machin bench\n");
    bench.write("sheet.txt", THIN);
    assert!(bench.run(&["inspect", "typo.dryfit"]).out.contains("did you mean `machine`?"));
    assert_eq!(bench.run(&["inspect", "sheet.txt"]).code, 1);
}

#[test]
fn every_first_sheet_is_a_go_in_its_tidy_form() {
    let bench = Bench::new();
    for kind in ["clip", "slide", "box", "bracket"] {
        let outcome = bench.run(&["new", "--kind", kind]);
        assert_eq!(outcome.code, 0, "{}", outcome.all());
        let sheet = format!("{kind}.dryfit");
        let found = bench.run(&["inspect", "--report", "lines", &sheet]);
        assert!(found.code == 0 && found.out.starts_with(&format!("{sheet}: go: ")), "{}", found.all());
        assert_eq!(bench.run(&["format", "--check", &sheet]).code, 0, "{sheet} is not tidy");
    }
}

#[test]
fn a_first_sheet_never_takes_the_place_of_another() {
    let bench = Bench::with(&[("mine.dryfit", THIN)]);
    for name in ["mine.dryfit", "mine"] {
        let outcome = bench.run(&["new", name]);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert_eq!(bench.read("mine.dryfit"), THIN);
    }
    assert_eq!(bench.run(&["new", "other"]).code, 0);
    assert!(bench.read("other.dryfit").contains("part clip"));
    let nowhere = bench.run(&["new", "nowhere/a.dryfit"]);
    assert!(nowhere.code == 2 && nowhere.err.contains("there is no such folder"), "{}", nowhere.all());
}
