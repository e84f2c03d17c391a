//! Packs of a project: what they add, and what is told of their rules.

use std::fmt::Write;

use crate::bench::{Bench, GOOD, snapshot};

pub const PACK: &str = r#"blocks:
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

/// A rule with lines put in place of its own by their keys; `-` leaves one out, `@` begins another line.
pub fn rule(lines: &str) -> String {
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
