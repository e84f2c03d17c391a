//! `dryfit.yaml`: levels and limits by folder, and `dryfit settings`.

use crate::bench::{Bench, GOOD, THIN, snapshot};

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
