//! Sheets that are wrong in ways that people and files go wrong: each message is located and clear.

use crate::bench::{Bench, GOOD, Outcome, snapshot};
use std::fmt::Write;

const HEAD: &str = "machine bench\nmaterial petg\n";

/// Inspects one sheet as lines.
fn lines(text: impl AsRef<[u8]>) -> Outcome {
    let bench = Bench::new();
    bench.write("a.dryfit", text);
    bench.run(&["inspect", "--report", "lines", "a.dryfit"])
}

#[test]
fn sheets_without_anything_in_them_say_how_to_begin() {
    for text in ["", "\n\n", "# only a comment\n", "\u{feff}", "# c", ";;;\n"] {
        let outcome = lines(text);
        assert_eq!(outcome.code, 1, "{text:?}: {}", outcome.all());
        assert!(outcome.out.contains("there is nothing in this sheet [empty-sheet]"), "{text:?}: {}", outcome.out);
    }
}

#[test]
fn what_is_no_text_is_trouble_with_its_place() {
    let bench = Bench::with(&[("good.dryfit", GOOD)]);
    bench.write("latin.dryfit", b"machine bench\nsheet \"Gr\xfc\xdfe\"\n");
    bench.write("binary.dryfit", b"\x7fELF\x02\x01\x00\x00\xff");
    bench.write("wide.dryfit", b"\xff\xfem\x00a\x00");
    bench.write("huge.dryfit", vec![b'#'; 9 * 1024 * 1024]);
    let outcome = bench.run(&["inspect", "."]);
    assert_eq!(outcome.code, 2);
    snapshot("no-text", outcome.all());
    let mut input = String::from("#");
    input.extend(std::iter::repeat_n('x', 9 * 1024 * 1024));
    let outcome = bench.run_with_input(&["inspect", "-"], &input);
    assert_eq!((outcome.code, outcome.out.as_str()), (2, ""));
    assert!(outcome.err.contains("-: it is larger than 8 MiB"), "{}", outcome.err);
    assert_eq!(bench.run(&["format", "latin.dryfit"]).code, 2);
}

#[test]
fn numbers_that_mean_nothing_are_located() {
    let cases = [
        ("huge-number", "wall w { thickness 1e400 mm }"),
        ("nothing-thick", "wall w { thickness 0 mm }"),
        ("negative", "wall w { thickness -2 mm }"),
        ("division-by-zero", "wall w { thickness 2 mm / 0 }"),
        ("zero-by-zero", "wall w { thickness (0 / 0) * 1 mm }"),
        ("root-of-negative", "wall w { thickness sqrt(-1) * 1 mm }"),
        ("overflow", "wall w { thickness 1e300 * 1e300 * 1 mm }"),
        ("overflowing-power", "wall w { thickness 10 ^ 400 * 1 mm }"),
        ("no-number-by-power", "wall w { thickness (-8) ^ 0.5 * 1 mm }"),
        ("infinite-minus-infinite", "wall w { thickness (1e308 * 10 - 1e308 * 10) * 1 mm }"),
        ("bounds-swapped", "wall w { thickness between 3 mm and 2 mm }"),
        ("negative-tolerance", "wall w { thickness 2 mm ± -0.1 mm }"),
        ("decimal-comma", "wall w { thickness 1,5 mm }"),
        ("missing-unit", "wall w { thickness 2 }"),
        ("wrong-unit", "wall w { thickness 2 N }"),
        ("added-units", "wall w { thickness 2 mm + 3 deg }"),
        ("slope-past-the-end", "wall w { thickness asin(2) / 1 deg * 1 mm }"),
        ("tilted-too-far", "wall w { thickness 2 mm; faces +x tilted 9999999999 deg toward +z }"),
    ];
    let mut told = String::new();
    for (name, wall) in cases {
        let outcome = lines(format!("{HEAD}part p {{ {wall} }}\n"));
        assert!(!outcome.all().contains("NaN") && !outcome.all().contains(" inf "), "{name}: {}", outcome.all());
        let _ = writeln!(told, "{name}: {wall}\n{}", outcome.out);
    }
    snapshot("numbers-that-mean-nothing", told);
}

#[test]
fn circles_are_named_where_they_close() {
    let cases = [
        ("let", "let a = b\nlet b = c\nlet c = a\npart p { wall w { thickness a * 1 mm } }\n"),
        ("itself", "let a = a + 1\npart p { wall w { thickness a * 1 mm } }\n"),
        ("fields", "part p { wall v { thickness p.w.thickness }; wall w { thickness p.v.thickness } }\n"),
        ("like", "part p { wall v like w; wall w like v }\n"),
        ("like itself", "part p { wall v like v }\n"),
        ("like its parent", "part p { arm a like p }\n"),
        ("like its part", "part p like p.q { part q { } }\n"),
    ];
    let mut told = String::new();
    for (name, text) in cases {
        let outcome = lines(format!("{HEAD}{text}"));
        assert_eq!(outcome.code, 1, "{name}: {}", outcome.all());
        let _ = writeln!(told, "{name}\n{text}{}", outcome.out);
    }
    snapshot("circles", told);
}

#[test]
fn sheets_that_use_each_other_are_told_where_the_circle_closes() {
    let bench = Bench::with(&[
        ("a.dryfit", "with \"b.dryfit\"\n"),
        ("b.dryfit", "with \"sub/c.dryfit\"\n"),
        ("sub/c.dryfit", "with \"../a.dryfit\"\n"),
        ("self.dryfit", "with \"self.dryfit\"\n"),
        ("diamond.dryfit", "with \"left.dryfit\"\nwith \"right.dryfit\"\npart p { wall w { thickness rail.lip } }\n"),
        ("left.dryfit", "with \"rail.dryfit\"\n"),
        ("right.dryfit", "with \"rail.dryfit\"\n"),
        ("rail.dryfit", "bought rail { lip measured 2.0, 2.1, 2.2 mm }\n"),
    ]);
    let circle = bench.run(&["inspect", "--report", "lines", "a.dryfit", "self.dryfit"]);
    assert_eq!(circle.code, 1);
    snapshot("circles-of-sheets", circle.out);
    let diamond = bench.run(&["inspect", "--report", "lines", "diamond.dryfit"]);
    assert_eq!(diamond.code, 0, "a sheet used by two is no circle: {}", diamond.all());
}

#[test]
fn a_sheet_reaches_nothing_outside_its_project() {
    let outside = Bench::with(&[("secret.dryfit", "bought rail { lip 2 mm }\n")]);
    let bench = Bench::with(&[("parts/readme.txt", "")]);
    let secret = outside.path("secret.dryfit").display().to_string();
    #[cfg(unix)]
    std::os::unix::fs::symlink(outside.path("secret.dryfit"), bench.path("parts/link.dryfit")).unwrap();
    let text = format!(
        "with \"../../../../../../../../etc/passwd\"\nwith \"../../nowhere/at-all.dryfit\"\nwith \"{secret}\"\nwith \"/etc/passwd\"\n\
         with \".\"\nwith \"..\"\nwith \"missing.dryfit\"\nwith \"\"\nwith 3 mm\nwith\nwith \"a\\\"b.dryfit\"\nwith \"link.dryfit\"\n"
    );
    bench.write("parts/a.dryfit", text);
    let outcome = bench.run(&["inspect", "--report", "lines", "parts/a.dryfit"]);
    assert_eq!(outcome.code, 1);
    assert!(!outcome.all().contains("root:"), "{}", outcome.all());
    snapshot("use-outside", outcome.out.replace(&secret, "SECRET"));
}

#[test]
fn a_used_sheets_own_faults_are_told_under_its_own_name() {
    let bench = Bench::with(&[
        ("a.dryfit", "with \"sub/b.dryfit\"\nmachine bench\nmaterial petg\npart p { wall w { thickness 2 mm } }\n"),
        ("sub/b.dryfit", "bought rail {\n  lip 2,05 mm\n}\n"),
    ]);
    bench.write("sub/bad.dryfit", b"\xff");
    let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
    assert_eq!(outcome.code, 1);
    snapshot("used-sheet-at-fault", outcome.out);
}

#[test]
fn two_of_one_name_point_at_both() {
    let text = format!(
        "{HEAD}machine bench\nlet a = 1 mm\nlet a = 2 mm\npart p {{ wall w {{ thickness 2 mm; thickness 3 mm }}\nwall w {{ thickness a }} }}\npart p {{ }}\n"
    );
    let bench = Bench::with(&[("a.dryfit", &text)]);
    snapshot("twice", bench.run(&["inspect", "a.dryfit"]).out);
}

#[test]
fn ten_mistakes_in_one_sheet_are_ten_messages_in_one_run() {
    let text = "\
sheet \"Seed tray rail\" revision \"B\"
machine bench
materiel petg
let slack = 0.3 m m
bought rail {
  lip measured 2,02 mm
}
part clip {
  up +z
  wall back { thicknes 2 mm }
  wall front { thickness = 2 mm }
  wall side { thickness 2 }
  arm jaw { points +x; bends +y; length 18 N; thickness 1.8 mm; width 12 mm }
  slot mouth { width rial.lip + slak }
  hole dowel { diameter -4 mm }
  pin peg { diameter 4 mm }
}
fit \"peg in dowel\" { inside clip.dowel.diameter; outside clip.peg.diameter; class slidding }
permit thin-wal on clip.side \"seen\"
";
    let bench = Bench::with(&[("rail.dryfit", text)]);
    let outcome = bench.run(&["inspect", "--report", "plain", "rail.dryfit"]);
    assert_eq!(outcome.code, 1);
    snapshot("ten-mistakes", &outcome.out);
    let stops = outcome.out.lines().filter(|line| line.starts_with("stop: ")).count();
    assert!(stops >= 10, "{stops} stops\n{}", outcome.out);
}

#[test]
fn lines_that_go_wrong_say_what_to_write() {
    let cases = [
        "thickness: 2 mm",
        "wall w [ thickness 2 mm ]",
        "// a comment",
        "wall w { thickness (2 mm }",
        "wall w { thickness 2 mm) }",
        "wall w { thickness \"2 mm }",
        "wall w { thickness 2 mm + }",
        "3 mm",
        "wall w { thickness 2 mm } wall v { thickness 2 mm }",
        "wall w { thickness 2 × }",
        "let = 3 mm",
        "let x 3 mm",
        "wall { thickness 2 mm }",
        "wall w",
        "wall w { thickness 2 mm 3 mm }",
        "wall w { thickness { 2 mm } }",
        "}",
        "wall w { thickness rail.lip }",
        "wall w { thickness 2 mm ; faces x }",
        "wall w { let a = 2 mm }",
        "thickness 2 mm",
        "wall w { thicknes 2 mm }",
        "wall w { thickness 2 mm ± 0.1 }",
        "wall w { thickness 2 mm; faces +X }",
        "wall w\n  thickness 2 mm\n  faces x",
        "wall w\n  { thickness 2 mm }",
    ];
    let mut told = String::new();
    for case in cases {
        let bench = Bench::with(&[("a.dryfit", &format!("{HEAD}part p {{\n  {case}\n}}\n"))]);
        let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
        assert_eq!(outcome.code, 1, "{case}: {}", outcome.all());
        let _ = writeln!(told, "==== {case}\n{}", outcome.out);
    }
    snapshot("lines-gone-wrong", told);
}
