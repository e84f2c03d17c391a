//! Sheets made to exhaust the reader: each ends with a message, none with a crash or a hang.

use crate::bench::{Bench, GOOD, Outcome};
use std::fmt::Write;

const HEAD: &str = "machine bench\nmaterial petg\n";

fn lines(text: &str) -> Outcome {
    let bench = Bench::with(&[("a.dryfit", text)]);
    let outcome = bench.run(&["inspect", "--report", "lines", "a.dryfit"]);
    assert!(outcome.code < 2, "{}", outcome.all());
    outcome
}

/// The sheet is refused at a place, in words, by a rule.
fn refused(text: &str, place: &str, words: &str, rule: &str) {
    let out = lines(text).out;
    let told = out.lines().any(|line| {
        line.starts_with(&format!("a.dryfit:{place}: ")) && line.contains(words) && line.ends_with(&format!("[{rule}]"))
    });
    assert!(told, "{place} {words}: {}", out.chars().take(2000).collect::<String>());
}

#[test]
fn nesting_is_refused_where_it_goes_too_deep() {
    let many = 100_000;
    refused(&"{".repeat(many), "1:65", "nested more than 64 deep", "too-deep");
    refused(&format!("part p {}", "a {".repeat(many)), "1:202", "nested more than 64 deep", "too-deep");
    refused(
        &format!("let a = {}1{}", "(".repeat(many), ")".repeat(many)),
        "1:73",
        "nested more than 64 deep",
        "too-deep",
    );
    refused(&format!("let a = {}", "f(".repeat(many)), "1:138", "nested more than 64 deep", "too-deep");
}

#[test]
fn braces_hide_neither_in_a_text_that_never_closes_nor_behind_a_carriage_return() {
    let many = 100_000;
    refused(&format!("part \"{}", "{".repeat(many)), "1:6", "no closing quote", "unreadable-line");
    refused(&format!("part \"\r{}", "{".repeat(many)), "2:65", "nested more than 64 deep", "too-deep");
    refused(&format!("#\rlet a = {}", "(".repeat(many)), "2:73", "nested more than 64 deep", "too-deep");
    assert!(!lines(&format!("# {}\nsheet \"{}\"\n", "{".repeat(many), "(".repeat(many))).out.contains("[too-deep]"));
}

#[test]
fn long_expressions_are_refused_whatever_joins_them() {
    let many = 10_000;
    refused(&format!("let a = 1{}\n", " + 1".repeat(many)), "1:9", "more than 256 operators", "too-deep");
    refused(&format!("demand yes{} \"r\"\n", " or yes".repeat(many)), "1:8", "more than 256 operators", "too-deep");
    refused(&format!("demand {}yes \"r\"\n", "not ".repeat(many)), "1:8", "more than 256 operators", "too-deep");
    let nested = format!("let a = {}1{}\n", "(".repeat(60), format!("{})", " + 1".repeat(200)).repeat(60));
    refused(&nested, "1:9", "more than 256 operators", "too-deep");
    let signs = lines(&format!("let a = {}1\n", "- ".repeat(many)));
    assert_eq!(signs.code, 0, "{}", signs.out);
}

#[test]
fn chains_of_names_are_refused_without_a_crash() {
    let mut text = String::from(HEAD);
    for index in 0..3_000 {
        let _ = writeln!(text, "let a{index} = ((((((a{} + 1 - 1) * 1) / 1) + 0) - 0) * 1)", index + 1);
    }
    text.push_str("let a3000 = 1\n");
    let outcome = lines(&text);
    assert!(outcome.out.contains("[too-deep]"), "{}", outcome.out);
    assert!(!outcome.out.contains("[value-cycle]"));
}

#[test]
fn chains_of_likes_are_told_from_circles() {
    let mut text = format!("{HEAD}part p {{\n");
    for index in 0..300 {
        let _ = writeln!(text, "wall w{index} like w{}", index + 1);
    }
    text.push_str("wall w300 { thickness 1.26 mm }\n}\n");
    let outcome = lines(&text);
    assert!(outcome.out.contains("features in a row are copies of each other [too-deep]"), "{}", outcome.out);
    assert!(!outcome.out.contains("[value-cycle]"), "{}", outcome.out);
}

#[test]
fn copies_that_multiply_stop_at_the_limit() {
    let bench = Bench::with(&[(
        "dryfit/boxes.yaml",
        "blocks:\n  crate:\n    doc: \"A crate of crates.\"\n    in: [sheet, crate]\n    name: required\n    fields: {}\n    example: \"crate c { }\"\n",
    )]);
    let mut text = String::from("crate c0 { crate x { }; crate y { } }\n");
    for index in 1..40 {
        let _ = writeln!(text, "crate c{index} {{ crate x like c{0}; crate y like c{0} }}", index - 1);
    }
    bench.write("a.dryfit", text);
    let outcome = bench.run(&["inspect", "--report", "lines", "a.dryfit"]);
    assert_eq!(outcome.code, 1, "{}", outcome.all());
    assert!(outcome.out.contains("features, copies included [too-deep]"), "{}", &outcome.out);
}

#[test]
fn a_long_line_is_neither_repeated_nor_counted_anew_for_every_finding() {
    let count = 600;
    let text = format!("{HEAD}part p {{ {} }}\n", "wall é { thicknes 1 mm }; ".repeat(count));
    let bench = Bench::with(&[("a.dryfit", &text)]);
    for report in ["lines", "plain", "drawn", "json"] {
        let outcome = bench.run(&["inspect", "--report", report, "a.dryfit"]);
        assert_eq!(outcome.code, 1, "{report}");
        assert!(outcome.out.len() < 3_000 * count, "{report}: {} bytes", outcome.out.len());
    }
    let last = bench.run(&["inspect", "--report", "lines", "a.dryfit"]).out;
    let column = "part p { ".chars().count() + 26 * (count - 1) + "wall ".len() + 1;
    assert!(
        last.lines().any(|line| line.starts_with(&format!("a.dryfit:3:{column}: "))),
        "{}",
        &last[last.len() - 300..]
    );
}

#[test]
fn a_megabyte_on_one_line_is_read() {
    let word = lines(&"a".repeat(1_000_000));
    assert!(word.code == 1 && word.out.len() < 3_000_000, "{}", word.out.len());
    let blank = lines(&format!("{HEAD}part p {{ wall w {{ thickness 1.26 mm{} }} }}\n", " ".repeat(1_000_000)));
    assert_eq!(blank.code, 0, "{}", blank.out);
    refused(&format!("part \"{}\n", "\\\"".repeat(50_000)), "1:6", "no closing quote", "unreadable-line");
    let readings = lines(&format!("bought r {{ w measured {}1.5 mm }}\n", "1,".repeat(5_000)));
    assert_eq!(readings.code, 0, "{}", readings.out);
}

#[test]
fn what_was_bought_has_a_limit_of_fields() {
    let fields: String = (0..3_000).map(|index| format!("x{index} 1 mm\n")).collect();
    let outcome = lines(&format!("{HEAD}bought r {{\n{fields}}}\n"));
    assert_eq!(outcome.out.matches("more than 1000 fields in one `bought` [too-deep]").count(), 1, "{}", outcome.out);
}

#[test]
fn thousands_of_faults_are_counted_not_listed() {
    let outcome = lines(&"a = 1\n".repeat(5_000));
    assert_eq!(outcome.out.matches("[unreadable-line]").count(), 101);
    assert!(outcome.out.contains("4900 further lines could not be read"), "{}", outcome.out);
}

#[test]
fn a_sheet_that_uses_too_many_is_told_so() {
    let bench = Bench::new();
    let uses: String = (0..80).map(|index| format!("with \"x{index}.dryfit\"\n")).collect();
    bench.write("a.dryfit", uses);
    for index in 0..80 {
        bench.write(&format!("x{index}.dryfit"), format!("let v{index} = 1\n"));
    }
    let outcome = bench.run(&["inspect", "--report", "lines", "a.dryfit"]);
    assert!(outcome.out.contains("more than 64 sheets"), "{}", outcome.out);
}

/// What follows from fields is looked up among the others by name: so many of them are refused at once.
#[test]
fn a_block_derives_so_many_values_and_no_more() {
    let pack = |count: usize| {
        let derived = |at: usize| format!("      d{at}: {{doc: \"D.\", is: \"thickness + {at} mm\"}}\n");
        format!("blocks:\n  wall:\n    derives:\n{}", (0..count).map(derived).collect::<String>())
    };
    let bench = Bench::with(&[("a.dryfit", GOOD), ("dryfit/many.yaml", &pack(1000))]);
    assert_eq!(bench.run(&["inspect", "a.dryfit"]).code, 0);
    bench.write("dryfit/more.yaml", "blocks:\n  wall:\n    derives:\n      more: {doc: \"D.\", is: thickness}\n");
    let outcome = bench.run(&["inspect", "a.dryfit"]);
    let told = "stop: more than 1000 values follow from the fields of `wall` [broken-pack]\n  | more: {doc: \"D.\", is: thickness}\n    \
                at dryfit/more.yaml:4:7, no more from here on\n";
    assert!(outcome.code == 2 && outcome.err.contains(told), "{}", outcome.all());
}

/// Of very many wrong names the first are told with what they could mean, and the others are counted.
#[test]
fn what_very_many_wrong_names_could_mean_is_looked_for_where_it_is_told() {
    let levels: String = (0..5000).map(|at| format!("  thin-wal{at}: note\n")).collect();
    let bench = Bench::with(&[("a.dryfit", GOOD), ("dryfit.yaml", &format!("levels:\n  thin-wal: note\n{levels}"))]);
    let outcome = bench.run(&["inspect", "a.dryfit"]);
    assert!(outcome.code == 2 && outcome.err.contains("did you mean `thin-wall`?"), "{}", outcome.all());
    assert!(outcome.err.contains("and 4901 more faults"), "{}", outcome.all());
}
