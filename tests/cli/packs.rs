//! Packs and settings of a project, sound and broken.

use std::fmt::Write;

use crate::bench::{Bench, GOOD, snapshot};

const PACK: &str = r#"blocks:
  peg-rail:
    doc: "A rail of pegs."
    in: [part]
    name: required
    drawn: true
    fields:
      pitch: {doc: "From peg to peg.", unit: mm, required: true, above: 0 mm, makes: outside}
      pegs: {doc: "How many.", unit: 1, at-least: 2, default: 2}
    example: "peg-rail tools { pitch 20 mm; pegs 4 }"
  wall:
    fields:
      finish: {doc: "How its face should look.", kind: word, one-of: [rough, smooth], default: rough}
materials:
  shed-petg:
    about: "the shed's own spool"
    like: petg
    values:
      friction: {value: 0.31, source: "pulled over a board, five times", basis: judgement, sure: low}
machines:
  shed:
    about: "the machine in the shed"
    like: bench
    values:
      nozzle: {value: 0.6 mm, source: "it is written on it", basis: judgement, sure: high}
      line: {value: 0.66 mm, source: "as set", basis: judgement, sure: high}
rules:
  crowded-pegs:
    title: "pegs too near for a hand"
    about: [peg-rail]
    limits:
      finger: {value: 18 mm, source: "the shed's own hands", basis: judgement, sure: medium}
    where:
      free: pitch - 4 mm
    holds:
      care: free >= finger
    says: "{feature} leaves {free} between pegs: a finger needs {finger}"
    help: "make the pitch at least {finger + 4 mm}"
    change: [pitch]
    why: "Tools are lifted off with a finger behind them."
    sources: ["the shed's own hands"]
    passes: |
      machine bench
      material petg
      part p { peg-rail tools { pitch 30 mm } }
    fails: |
      machine bench
      material petg
      part p { peg-rail tools { pitch 15 mm } }
"#;

#[test]
fn a_pack_adds_words_profiles_rules_levels_and_limits() {
    let settings =
        "packs: [house]\nlevels: {uneven-wall: off, thin-wall: care}\nlimits: {crowded-pegs: {finger: 22 mm}}\n";
    let sheet = "machine shed\nmaterial shed-petg\npart p {\n  wall back { thickness 0.7 mm; finish smooth }\n  peg-rail tools { pitch 20 mm; pegs 4 }\n}\n";
    let bench = Bench::with(&[("dryfit.yaml", settings), ("house/words.yaml", PACK), ("sheets/a.dryfit", sheet)]);
    let outcome = bench.run(&["inspect", "--report", "plain", "sheets/a.dryfit"]);
    assert_eq!(outcome.code, 0, "the stop of thin-wall was made a care: {}", outcome.all());
    snapshot("pack-in-use", outcome.out);
    let why = bench.run(&["why", "crowded-pegs"]).out;
    assert!(why.contains("finger = 22 mm") && why.contains("set by this project"), "{why}");
    let list = bench.run(&["why"]).out;
    let level =
        |name: &str| list.lines().find(|line| line.trim_start().starts_with(&format!("{name} "))).unwrap().to_owned();
    assert!(level("uneven-wall").contains(" off "), "{list}");
}

#[test]
fn a_project_chooses_the_steps_in_which_its_mends_are_drawn() {
    let sheet = "machine bench\nmaterial petg\npart p { up +z; hole h { diameter 1.6 mm; depth 4 mm; axis +z } }\n";
    let finer = "steps: {length: {value: 0.75 mm, source: \"our drawings\", basis: judgement, sure: high}}\n";
    let diameter = |files: &[(&str, &str)]| {
        let bench = Bench::with(files);
        let diff = bench.run(&["mend", "a.dryfit"]).out;
        let line = diff.lines().find(|line| line.starts_with('+') && line.contains("hole")).unwrap().to_owned();
        line.split("diameter ").nth(1).unwrap().split(';').next().unwrap().to_owned()
    };
    let usual = diameter(&[("a.dryfit", sheet)]);
    let settings = diameter(&[("a.dryfit", sheet), ("dryfit.yaml", finer)]);
    let pack = diameter(&[("a.dryfit", sheet), ("dryfit/steps.yaml", finer)]);
    insta::assert_snapshot!(format!("{usual}, {settings}, {pack}"), @"2 mm, 2.25 mm, 2.25 mm");
}

#[test]
fn a_pack_in_the_folder_dryfit_needs_no_settings() {
    let bench = Bench::with(&[
        ("dryfit/words.yaml", PACK),
        ("a.dryfit", "machine shed\nmaterial shed-petg\npart p { peg-rail t { pitch 40 mm } }\n"),
    ]);
    let outcome = bench.run(&["inspect", "a.dryfit"]);
    assert_eq!(outcome.code, 0, "{}", outcome.all());
}

/// Where a block belongs is told at the block, not at each sheet that has it; a name too many is no missing brace.
#[test]
fn a_block_that_stands_nowhere_or_has_no_name_is_told_at_the_pack() {
    let without = |line: &str| {
        let pack =
            PACK.replacen(line, "", 1).replacen("    example: \"peg-rail tools { pitch 20 mm; pegs 4 }\"\n", "", 1);
        let bench = Bench::with(&[("dryfit/words.yaml", pack.as_str()), ("a.dryfit", "machine shed\n")]);
        let outcome = bench.run(&["inspect", "--report", "plain", "a.dryfit"]);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        outcome.all()
    };
    snapshot("pack-block-astray", ["    in: [part]\n", "    name: required\n"].map(without).join("\n====\n"));
}

fn rule(lines: &str) -> String {
    let mut fields: Vec<(&str, &str)> = vec![
        ("title", "\"a wall too low\""),
        ("about", "[wall]"),
        ("holds", "{care: height >= 3 mm}"),
        ("says", "\"{feature} is {height} high\""),
        ("why", "\"Low walls let seedlings out.\""),
        ("sources", "[\"our own beds\"]"),
        ("passes", "\"part p { wall w { thickness 2 mm; height 4 mm } }\""),
        ("fails", "\"part p { wall w { thickness 2 mm; height 2 mm } }\""),
    ];
    let changed: Vec<(&str, &str)> = lines.lines().filter_map(|line| line.trim().split_once(": ")).collect();
    fields.retain(|(name, _)| !changed.iter().any(|(other, _)| other == name));
    fields.extend(changed.into_iter().filter(|(_, value)| *value != "-"));
    let mut text = String::from("rules:\n  low-wall:\n");
    for (name, value) in fields {
        writeln!(text, "    {name}: {value}").unwrap();
    }
    text.replace('@', "\n        ")
}

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
fn why_says_whether_the_examples_of_a_projects_rule_show_what_they_should() {
    let high = "\"part p { wall w { thickness 2 mm; height 4 mm } }\"";
    let low = "\"part p { wall w { thickness 2 mm; height 2 mm } }\"";
    let tried = |passes: &str, fails: &str| {
        let bench = Bench::with(&[
            ("dryfit/pack.yaml", &rule(&format!("passes: {passes}\nfails: {fails}"))),
            ("a.dryfit", GOOD),
        ]);
        let outcome = bench.run(&["why", "low-wall"]);
        assert_eq!(outcome.code, 0, "{}", outcome.all());
        let tried = outcome.out.split("\n\n").find(|told| told.contains("Tried")).unwrap_or_default();
        tried.lines().skip_while(|line| !line.starts_with("Tried")).collect::<Vec<_>>().join(" ")
    };
    let told = [tried(high, low), tried(low, low), tried(high, high), tried(low, high)].join("\n");
    insta::assert_snapshot!(told, @"
    Tried: the first raises nothing of this rule, the second does.
    Tried: both raise this rule. The first must not: one of `holds` and `passes` is wrong.
    Tried: neither raises this rule. The second must: one of `holds` and `fails` is wrong.
    Tried: the sheet that passes raises this rule, and the one that fails does not.
    ");
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
