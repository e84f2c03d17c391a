//! `dryfit.yaml`: levels and limits by folder, and `dryfit settings`.

use std::fmt::Write;

use crate::bench::{Bench, GOOD, THIN, snapshot};
use crate::packs::PACK;

const SETTINGS: &str = "\
levels: {thin-wall: care}
limits: {blunt-lead-in: {most: 40 deg}}
steps: {length: {value: 0.2 mm, source: \"the shop's drawings\", basis: judgement, sure: medium}}
folders:
  old:
    levels: {thin-wall: note}
  old/older:
    levels: {thin-wall: \"off\"}
    limits: {blunt-lead-in: {most: 50 deg}}
";

fn shop() -> Bench {
    Bench::with(&[
        ("dryfit.yaml", SETTINGS),
        ("dryfit/shop.yaml", "levels: {stiff-arm: note}\n"),
        ("new.dryfit", THIN),
        ("old/a.dryfit", THIN),
        ("old/older/b.dryfit", THIN),
        ("older/c.dryfit", THIN),
    ])
}

#[test]
fn a_folder_has_levels_and_limits_of_its_own() {
    let outcome = shop().run(&["inspect", "--report", "lines"]);
    let level = |name: &str| {
        let line =
            outcome.out.lines().find(|line| line.starts_with(&format!("{name}:")) && line.contains("[thin-wall]"));
        line.map(|line| line.split(": ").nth(1).unwrap().to_owned())
    };
    assert_eq!(level("new.dryfit").as_deref(), Some("care"), "{}", outcome.all());
    assert_eq!(level("old/a.dryfit").as_deref(), Some("note"));
    assert_eq!(level("old/older/b.dryfit"), None);
    assert_eq!(level("older/c.dryfit").as_deref(), Some("care"), "a name that only begins alike is another folder");
}

#[test]
fn settings_say_what_holds_and_where_it_comes_from() {
    let bench = shop();
    snapshot("settings", bench.run(&["settings"]).all());
    snapshot("settings-of-a-folder", bench.run(&["settings", "old/older/b.dryfit"]).all());
    let all = bench.run(&["settings", "--all"]);
    assert!(all.out.lines().count() > 200, "{}", all.out);
    let json = bench.run(&["settings", "--report", "json", "old"]);
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json["levels"][1]["from"], "dryfit.yaml:6", "{json}");
    let none = Bench::with(&[("a.dryfit", GOOD)]);
    snapshot("settings-none", none.run(&["settings"]).all());
    assert_eq!(none.run(&["settings", "nowhere"]).code, 2);
}

#[test]
fn faults_of_folders_are_located_all_at_once() {
    let settings = "levels: {thin-wal: note}\nfolders:\n  ../out:\n    levels: {thin-wall: note}\n  parts:\n    levels: {thin-wall: loud, ladder-load: note}\n  part:\n    limit: {}\n";
    let bench = Bench::with(&[("dryfit.yaml", settings), ("parts/a.dryfit", GOOD)]);
    let mut told = bench.run(&["inspect", "parts"]).err;
    bench.write("dryfit.yaml", settings.split("  part:\n").next().unwrap());
    told.push_str(&bench.run(&["inspect", "parts"]).err);
    let rest = settings.split("  part:\n").next().unwrap();
    bench.write("dryfit.yaml", rest.replace("  ../out:\n    levels: {thin-wall: note}\n", ""));
    told.push_str(&bench.run(&["inspect", "parts"]).err);
    snapshot("settings-faults", told);
}

/// What cannot be read is not checked: no setting makes it look as if it were.
#[test]
fn faults_of_reading_keep_their_level() {
    let sheet = GOOD.replace("up +z;", "up +z; thikness 3 mm;");
    let mut told = String::new();
    for settings in [
        "levels: {unknown-word: \"off\", broken-pack: note}\nfolders:\n  parts:\n    levels: {old-word: note}\n",
        "levels: {thin-wall: note}\n",
    ] {
        let bench = Bench::with(&[("dryfit.yaml", settings), ("parts/a.dryfit", &sheet)]);
        let outcome = bench.run(&["inspect", "--report", "lines", "parts"]);
        assert_ne!(outcome.code, 0, "{}", outcome.all());
        told.push_str(&outcome.all());
    }
    snapshot("settings-of-reading", told);
}

#[test]
fn every_fault_of_the_settings_is_told_at_its_place() {
    let outside = Bench::with(&[("pack.yaml", PACK)]);
    let secret = outside.path("pack.yaml").display().to_string();
    let cases: Vec<(&str, String)> = vec![
        ("sound", "levels: {thin-wall: note}\n".into()),
        ("empty", String::new()),
        ("unknown key", "level: {thin-wall: note}\n".into()),
        ("unknown level", "levels: {thin-wall: panic}\n".into()),
        ("unknown rule", "levels: {thin-wal: note}\n".into()),
        ("unknown limit", "limits: {thin-wall: {least-line: 3}}\n".into()),
        ("wrong unit of a limit", "limits: {thin-wall: {least-lines: 3 mm}}\n".into()),
        ("a limit without a value", "limits: {thin-wall: {least-lines: 0/0}}\n".into()),
        ("a limit divided by zero", "limits: {thin-wall: {least-lines: 1/0}}\n".into()),
        ("a limit that is no number", "limits: {thin-wall: {least-lines: sqrt(-1)}}\n".into()),
        ("a limit below zero", "limits: {thin-wall: {least-lines: -5}}\n".into()),
        ("a limit of a sheet's", "limits: {thin-wall: {least-lines: title}}\n".into()),
        ("a caution switched off", "levels: {over-people: off}\n".into()),
        ("a level raised", "levels: {flat-lead-in: stop}\n".into()),
        ("a chance over 1", "chances: {stop: {care: {value: 200 %}}}\n".into()),
        ("no number", "limits: {thin-wall: {least-lines: \"three of\"}}\n".into()),
        ("pack outside", format!("packs: [\"{secret}\"]\n")),
        ("pack above", "packs: [../../../../../etc/passwd]\n".into()),
        ("pack missing", "packs: [house]\n".into()),
        ("wrong type", "packs: house\n".into()),
        (
            "several unknown keys",
            "level: {thin-wall: note}\nfolders:\n  one: {limit: {}, levles: {}}\n  two:\n    limit: {}\npack:\n- a\npacks: [house]\n"
                .into(),
        ),
        ("no yaml", "levels: [\n".into()),
    ];
    let mut told = String::new();
    for (name, text) in cases {
        let bench = Bench::with(&[("dryfit.yaml", &text), ("a.dryfit", GOOD)]);
        let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
        let sound = ["sound", "empty"].contains(&name);
        let shown = if sound { &outcome.out } else { &outcome.err };
        writeln!(told, "==== {name}\n{}", shown.replace(&secret, "SECRET")).unwrap();
        assert_eq!(outcome.code, if sound { 0 } else { 2 }, "{name}: {}", outcome.all());
    }
    snapshot("broken-settings", told);
}
