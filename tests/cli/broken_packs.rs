//! What is wrong with a project's packs, told at its place.

use std::fmt::Write;

use crate::bench::{Bench, GOOD, snapshot};
use crate::packs::{PACK, rule};

#[test]
fn every_fault_of_a_pack_is_told_at_its_place() {
    let bomb: String = "a: &a [x, x, x, x, x, x, x, x, x]\n".to_owned()
        + &('b'..='k')
            .map(|c| {
                let before = char::from(c as u8 - 1);
                format!("{c}: &{c} [*{before}, *{before}, *{before}, *{before}, *{before}, *{before}, *{before}, *{before}]\n")
            })
            .collect::<String>();
    let cases: Vec<(&str, String)> = vec![
        ("sound", rule("title: \"fine\"")),
        ("alias bomb", bomb),
        (
            "alias bomb of texts",
            rule(&format!("why: &s \"{}\"\nsources: [{}]", "x".repeat(20_000), "*s, ".repeat(20_000))),
        ),
        ("duplicate keys", rule("") + "  low-wall: {title: \"again\"}\n"),
        ("duplicate sections", rule("") + "rules: {}\n"),
        ("broken yaml", "rules:\n  x: [1, 2\n  y: }\n".into()),
        ("tab", "rules:\n\tx: 1\n".into()),
        ("wrong type", rule("about: wall")),
        ("wrong type inside", rule("caution: perhaps")),
        ("unknown field", rule("hlods: {care: height >= 3 mm}")),
        ("unknown fields", rule("hlods: {care: height >= 3 mm}\ntitel: x\nlimits: {least: {vaule: 3 mm, surce: x}}")),
        ("unknown section", "ruels: {}\n".into()),
        ("a list", "- 1\n- 2\n".into()),
        ("a word", "hello\n".into()),
        ("name of a built-in", rule("").replace("low-wall", "thin-wall")),
        ("unknown level", rule("holds: {panic: height >= 3 mm}")),
        ("no comparison", rule("holds: {care: height}")),
        ("wrong unit", rule("holds: {care: height >= 3 N}")),
        ("wrong unit, quoted", rule("holds: {care: \"height >= 3 N\"}")),
        ("wrong unit, after accents", rule("title: \"größer — ±\"\nholds: {care: 'height >= 3 N'}")),
        ("wrong unit, with escapes", rule("holds: {care: \"height \\x3e= \\@3 N\"}")),
        ("wrong unit, folded", rule("holds: {care: \"height >=@3 N\"}")),
        ("wrong unit in a message", rule("says: \"\\\"{feature}\\\" is {height + 2 N} high\"")),
        ("wrong unit of a message", rule("says: '{feature} isn''t {height:N} high'")),
        ("unknown name", rule("holds: {care: hieght >= 3 mm}")),
        ("unknown function", rule("holds: {care: 'maxx(height, 2 mm) >= 3 mm'}")),
        ("does not parse", rule("holds: {care: \"height >= >= 3 mm\"}")),
        ("bad change", rule("change: [hieght]")),
        ("change of no field", rule("change: [height + 1 mm]")),
        ("bad about", rule("about: [wal]")),
        ("no about", rule("about: []")),
        ("no example", rule("fails: -")),
        ("no why, no sources", rule("why: -\nsources: -")),
        ("limit from nowhere", rule("limits: {least: {value: 3 mm}}")),
        ("steps of nothing", "steps: {lenght: {value: 0.2 mm}}\n".into()),
        ("no step", "steps: {length: {value: 0 mm}}\n".into()),
        ("a step of another kind", "steps: {angle: {value: 0.2 mm}}\n".into()),
        ("control character", rule("title: \"\u{7}\"")),
        ("empty", String::new()),
        ("empty section", "rules:\n".into()),
    ];
    let mut told = String::new();
    for (name, text) in cases {
        let bench = Bench::with(&[("dryfit/pack.yaml", &text), ("a.dryfit", GOOD)]);
        let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
        let sound = ["sound", "empty", "empty section"].contains(&name);
        writeln!(told, "==== {name}\n{}", if sound { &outcome.out } else { &outcome.err }).unwrap();
        assert_eq!(outcome.code, if sound { 0 } else { 2 }, "{name}: {}", outcome.all());
        assert!(sound || outcome.out.is_empty(), "{name}: {}", outcome.all());
    }
    snapshot("broken-packs", told);
}

#[test]
fn a_broken_pack_is_told_in_the_json_report_too() {
    let text = rule("holds: {panic: height >= 3 mm}");
    let bench = Bench::with(&[("dryfit/pack.yaml", &text), ("a.dryfit", GOOD)]);
    let outcome = bench.run(&["inspect", "--report", "json", "a.dryfit", "missing.dryfit"]);
    assert_eq!(outcome.code, 2, "{}", outcome.all());
    let run: serde_json::Value = serde_json::from_str(&outcome.out).unwrap();
    assert_eq!(run["shape"], "dryfit-findings/1");
    assert_eq!(run["verdict"], "no-go");
    assert_eq!(run["sheets"], serde_json::json!([]));
    assert_eq!(run["unreadable"][0]["path"], "missing.dryfit");
    let faults = run["packs"].as_array().unwrap();
    assert_eq!(faults.len(), 1, "an unknown level is told once: {}", outcome.out);
    assert_eq!(faults[0]["rule"], "broken-pack");
    assert_eq!(faults[0]["message"], "`panic` is no level");
    assert_eq!(faults[0]["place"]["sheet"], "dryfit/pack.yaml");
    assert_eq!(faults[0]["help"], "levels are stop, care and note");
    assert!(outcome.err.contains("`panic` is no level"), "{}", outcome.err);
}

/// The column of a wrong unit is the column in the YAML file, however the scalar is written.
#[test]
fn places_inside_a_scalar_are_places_in_the_file() {
    for holds in [
        "height >= 3 N",
        "\"height >= 3 N\"",
        "'height >= 3 N'",
        "\"height \\x3e= 3 N\"",
        "\"height >=\\@3 N\"",
        "\"height >=@3 N\"",
    ] {
        let text = rule(&format!("title: \"größer\"\nholds: {{care: {holds}}}"));
        let bench = Bench::with(&[("dryfit/pack.yaml", &text), ("a.dryfit", GOOD)]);
        let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
        let before = text.split("3 N").next().unwrap();
        let (line, column) =
            (before.matches('\n').count() + 1, before.rsplit('\n').next().unwrap().chars().count() + 1);
        let place = format!("pack.yaml:{line}:{column}, ");
        assert!(outcome.err.contains(&place), "{holds}: {place} not in\n{}", outcome.err);
    }
}

#[cfg(unix)]
#[test]
fn a_pack_that_is_a_link_out_of_the_project_is_refused() {
    let outside = Bench::with(&[("secret.yaml", "password: hunter\n")]);
    let bench = Bench::with(&[("dryfit/sound.yaml", PACK), ("a.dryfit", GOOD)]);
    std::os::unix::fs::symlink(outside.path("secret.yaml"), bench.path("dryfit/leak.yaml")).unwrap();
    let outcome = bench.run(&["inspect", "a.dryfit"]);
    assert_eq!(outcome.code, 2, "{}", outcome.all());
    assert!(!outcome.all().contains("hunter"), "{}", outcome.all());
    assert!(outcome.err.contains("dryfit/leak.yaml leads out of the project"), "{}", outcome.err);
}

#[test]
fn a_pack_that_is_no_text_or_nested_without_end_is_told() {
    let bench = Bench::with(&[("a.dryfit", GOOD)]);
    for bytes in [b"rules: \xff\n".to_vec(), "[".repeat(100_000).into_bytes(), vec![b'#'; 5 * 1024 * 1024]] {
        bench.write("dryfit/pack.yaml", bytes);
        let outcome = bench.run(&["inspect", "a.dryfit"]);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert!(outcome.err.contains("dryfit/pack.yaml"), "{}", outcome.err);
    }
}

/// Work on a pack grows with it, and what is wrong throughout is not told a hundred thousand times.
#[test]
fn a_pack_of_many_empty_rules_is_told_soon() {
    let mut text = String::from("rules:\n");
    for number in 0..100_000 {
        writeln!(text, "  r{number}: {{}}").unwrap();
    }
    let bench = Bench::with(&[("dryfit/pack.yaml", &text), ("a.dryfit", GOOD)]);
    let start = std::time::Instant::now();
    let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
    assert_eq!(outcome.code, 2, "{}", outcome.err.len());
    assert!(outcome.err.contains("more faults"), "{}", outcome.err.len());
    assert!(outcome.err.len() < 200_000, "{}", outcome.err.len());
    // Many times what a release takes: the tests' own build is slow.
    assert!(start.elapsed().as_secs() < 30, "{:?}", start.elapsed());
}
