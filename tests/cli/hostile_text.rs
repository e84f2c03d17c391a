//! Control characters, terminal escapes and marks that turn the direction of writing, wherever they
//! can stand: nothing of them reaches a terminal.

use crate::bench::{Bench, Outcome, snapshot};

const NASTY: &str =
    "\u{1b}[31m\u{1b}]0;gone\u{7}\u{8}\u{9b}2J\u{202e}\u{2066}\u{200f}\u{61c}\u{2028}\u{feff}\u{200b}\u{7f}\u{e0041}";

fn is_clean(text: &str) -> bool {
    text.chars().all(|c| !dryfit::source::is_unprintable(c) || c == '\n')
}

fn assert_clean(what: &str, outcome: &Outcome) {
    assert!(is_clean(&outcome.out), "{what}: {:?}", outcome.out);
    assert!(is_clean(&outcome.err), "{what}: {:?}", outcome.err);
}

fn sheets() -> Vec<(&'static str, String)> {
    let head = "machine bench\nmaterial petg\n";
    vec![
        ("title", format!("sheet \"{NASTY}\"\n{head}part p {{ wall w {{ thickness 0.5 mm }} }}\n")),
        ("comment", format!("{head}part p {{ wall w {{ thickness 0.5 mm }} }} # {NASTY}\n")),
        ("name", format!("{head}part p {{ wall {NASTY} {{ thickness 0.5 mm }} }}\n")),
        ("name-hidden", format!("{head}part p {{ wall \u{3164} {{ thickness 0.5 mm }} }}\n")),
        ("unit", format!("{head}part p {{ wall w {{ thickness 0.5 {NASTY} }} }}\n")),
        ("field", format!("{head}part p {{ wall w {{ {NASTY} 0.5 mm }} }}\n")),
        ("reason", format!("{head}part p {{ wall w {{ thickness 0.5 mm }} }}\npermit thin-wall on p.w \"{NASTY}\"\n")),
        (
            "demand",
            format!("{head}part p {{ wall w {{ thickness 2 mm }} }}\ndemand p.w.thickness < 1 mm \"{NASTY}\"\n"),
        ),
        (
            "fit",
            format!(
                "{head}part p {{ slot s {{ width 2 mm }}; pin q {{ diameter 2 mm }} }}\nfit \"{NASTY}\" {{ inside p.s.width; outside p.q.diameter; class free }}\n"
            ),
        ),
        ("with", format!("{head}with \"{NASTY}.dryfit\"\n")),
        ("revision", format!("sheet \"t\" revision \"{NASTY}\"\n{head}")),
        (
            "return",
            format!(
                "{head}part p {{ wall w {{ thickness 0.5 mm }} }} # fine\rpart q {{ wall w {{ thickness 0.5 mm }} }}\n"
            ),
        ),
    ]
}

#[test]
fn nothing_raw_in_a_sheet_reaches_any_report() {
    for (name, text) in sheets() {
        let bench = Bench::with(&[("a.dryfit", &text)]);
        for report in ["plain", "drawn", "lines", "json"] {
            let outcome = bench.run(&["--colour", "never", "inspect", "--report", report, "a.dryfit"]);
            assert!(outcome.code < 2, "{name}");
            assert_clean(&format!("{name} {report}"), &outcome);
            if report == "json" {
                let _: serde_json::Value = serde_json::from_str(&outcome.out).unwrap();
            }
        }
        assert_clean(name, &bench.run(&["format", "--check", "a.dryfit"]));
        for arguments in [
            &["mend", "a.dryfit"][..],
            &["orient", "a.dryfit"],
            &["window", "a.dryfit", "p.w.thickness"],
            &["ledger", "a.dryfit"],
        ] {
            assert_clean(&format!("{name} {arguments:?}"), &bench.run(arguments));
        }
    }
}

#[test]
fn a_diff_with_a_raw_comment_in_it_says_that_it_does_not_apply() {
    let text = "machine bench\nmaterial petg\n# \u{1b}[31mred\npart p { up +z; wall w { thickness 0.5 mm; height 9 mm; faces +x } }\n";
    let bench = Bench::with(&[("a.dryfit", text)]);
    let outcome = bench.run(&["mend", "a.dryfit"]);
    assert_clean("diff", &outcome);
    assert!(outcome.out.contains(" # ?[31mred"), "{}", outcome.out);
    assert!(outcome.err.contains("this diff does not apply there, `--write` does"), "{}", outcome.err);
    let piped = bench.run_with_input(&["mend", "--write", "-"], text);
    assert!(piped.out.contains("# \u{1b}[31mred"), "what is read by a program is exact: {:?}", piped.out);
}

#[test]
fn names_that_read_alike_are_told_apart() {
    let sheet = |one: &str, two: &str| {
        format!(
            "machine bench\nmaterial petg\nlet {one} = 2 mm\nlet {two} = 3 mm\npart p {{ up +z; size 20 x 20 x 20 mm; wall w {{ thickness {one}; height {two}; faces +x }} }}\n"
        )
    };
    let cases = [
        ("slack", "sl\u{430}ck", true),
        ("a", "a\u{3164}", true),
        ("\u{3b1}rm", "other", true),
        ("breite", "h\u{f6}he", false),
        ("\u{448}\u{438}\u{440}\u{438}\u{43d}\u{430}", "\u{432}\u{44b}\u{441}\u{43e}\u{442}\u{430}", false),
    ];
    for (one, two, told) in cases {
        let bench = Bench::with(&[("a.dryfit", &sheet(one, two))]);
        let outcome = bench.run(&["inspect", "--report", "lines", "a.dryfit"]);
        assert_eq!(outcome.out.contains("[look-alike-name]"), told, "{one} {two}: {}", outcome.out);
    }
}

#[test]
fn what_turns_a_line_around_is_a_finding_of_its_own() {
    let told: String = sheets()
        .into_iter()
        .filter(|(name, _)| ["title", "comment", "name", "return"].contains(name))
        .map(|(name, text)| {
            let bench = Bench::with(&[("a.dryfit", &text)]);
            format!("==== {name}\n{}", bench.run(&["inspect", "--report", "plain", "a.dryfit"]).out)
        })
        .collect();
    snapshot("hostile-text", told);
}

#[test]
fn signs_and_scripts_that_people_write_are_let_through() {
    let text = "# 👩\u{200d}🌾 می\u{200c}خواهم\nsheet \"👩\u{200d}🌾 می\u{200c}خواهم\"\nmachine bench\nmaterial petg\npart p { wall w { thickness 1.26 mm } }\n";
    let bench = Bench::with(&[("a.dryfit", text)]);
    let outcome = bench.run(&["inspect", "a.dryfit"]);
    assert_eq!(outcome.code, 0, "{}", outcome.all());
}

#[cfg(unix)]
#[test]
fn nothing_raw_in_a_files_name_reaches_any_report() {
    let name = format!("x{}\nfake.dryfit:1:1: stop: forged [thin-wall]\n.dryfit", NASTY.replace('\u{2028}', ""));
    let bench = Bench::new();
    bench.write(&name, "machine bench\nmaterial petg\npart p { wall w { thickness 0.5 mm } }\n");
    for report in ["plain", "drawn", "lines", "json"] {
        for path in [name.as_str(), "."] {
            let outcome = bench.run(&["--colour", "never", "inspect", "--report", report, path]);
            assert_eq!(outcome.code, 1);
            assert_clean(report, &outcome);
            assert!(!outcome.all().contains("\nfake.dryfit"), "{report}: {}", outcome.all());
        }
    }
    for format in ["github", "junit", "gitlab", "sarif"] {
        for path in [name.as_str(), "no\u{1b}[31m\u{202e}such.dryfit"] {
            let outcome = bench.run(&["inspect", "--output", &format!("{format}=-"), path]);
            assert_clean(format, &outcome);
        }
    }
    let forged = "loud\nerror: nothing is wrong here";
    for wrong in [&["gauge", forged][..], &["inspect", "--level", forged], &[forged]] {
        let outcome = bench.run(wrong);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert!(!outcome.all().contains("\nerror: nothing"), "{}", outcome.all());
    }
    for wrong in [&["gauge", NASTY][..], &["inspect", "--level", NASTY], &[NASTY]] {
        let outcome = bench.run(wrong);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert_clean("arguments", &outcome);
    }
    let missing = bench.run(&["inspect", "no\u{1b}[31m\nsuch.dryfit"]);
    assert_clean("missing", &missing);
    assert_eq!(missing.err.lines().count(), 1, "{}", missing.err);
    let unformatted = bench.run(&["format", "--check", &name]);
    assert_clean("format", &unformatted);
    for arguments in [
        &["mend", &name][..],
        &["orient", &name],
        &["window", &name, "p.w.thickness"],
        &["window", &name, "x"],
        &["ledger", &name],
    ] {
        let outcome = bench.run(arguments);
        assert_clean(&format!("{arguments:?}"), &outcome);
        assert!(!outcome.all().contains("\nfake.dryfit"), "{arguments:?}: {}", outcome.all());
    }
}

#[test]
fn nothing_raw_in_a_pack_reaches_a_terminal() {
    let rule = |title: &str| {
        format!(
            "rules:\n  high-tray:\n    title: \"{title}\"\n    about: [wall]\n    holds: {{stop: thickness >= 9 mm}}\n    says: \"{title}\"\n    why: \"{title}\"\n    sources: [\"{title}\"]\n    passes: \"part p {{ wall w {{ thickness 9 mm }} }}\"\n    fails: \"part p {{ wall w {{ thickness 1 mm }} }}\"\n"
        )
    };
    let nasty = "\\e[31m\\u202e\\a\\x7f";
    let bench = Bench::with(&[
        ("dryfit/rules.yaml", &rule(nasty)),
        ("a.dryfit", "machine bench\nmaterial petg\npart p { wall w { thickness 1.26 mm } }\n"),
    ]);
    for arguments in [
        vec!["why"],
        vec!["why", "high-tray"],
        vec!["inspect", "--report", "plain", "a.dryfit"],
        vec!["inspect", "--report", "drawn", "a.dryfit"],
        vec!["inspect", "--report", "lines", "a.dryfit"],
        vec!["inspect", "--report", "json", "a.dryfit"],
    ] {
        let outcome = bench.run(&arguments);
        assert!(outcome.code < 2, "{}", outcome.all());
        assert!(outcome.out.contains("high-tray"), "{}", outcome.all());
        assert_clean(&arguments.join(" "), &outcome);
    }
    bench.write("dryfit/rules.yaml", "rules:\n  \u{202e}x: \u{1b}[31m\n");
    assert_clean("broken", &bench.run(&["inspect", "a.dryfit"]));
}
