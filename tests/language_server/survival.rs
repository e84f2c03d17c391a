//! Ten thousand edits against the program itself, over its pipes: what it says is what a fresh start and the command
//! line say of the same text, and it does not grow.

use std::io::Write;
use std::process::{Command, Stdio};

use dryfit::files::Memory;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::client::Client;
use super::program::Program;
use super::random::{SHEET, edit, somewhere};

const EDITS: usize = 10_000;
/// As many edits as a burst of typing has: then the findings are asked for.
const BURST: usize = 20;
/// After so many edits the text is what it was at first, lest nothing is left of it that means something.
const FRESH: usize = 200;
/// The texts that are compared, one in so many edits.
const COMPARED: usize = 500;
const ADDRESS: &str = "file:///shop/latch.dryfit";
const PULLS: &str = r#"{ "textDocument": { "diagnostic": {} }, "general": { "positionEncodings": ["utf-32"] } }"#;

fn findings(program: &mut Program) -> Value {
    program.tell("textDocument/didSave", json!({ "textDocument": { "uri": ADDRESS } }));
    program.ask("textDocument/diagnostic", json!({ "textDocument": { "uri": ADDRESS } }))["items"].take()
}

/// Rule, level and first place of each finding, as the server has them.
fn told(findings: &Value) -> Vec<(String, u64, Value)> {
    let one = |finding: &Value| {
        let rule = finding["code"].as_str().unwrap().to_owned();
        (rule, finding["severity"].as_u64().unwrap(), finding["range"]["start"].clone())
    };
    findings.as_array().unwrap().iter().map(one).collect()
}

/// The same as the command line reports them, its bytes counted in lines and characters as the protocol does.
fn inspected(text: &str) -> Vec<(String, u64, Value)> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryfit"));
    let mut child = command
        .args(["inspect", "--report", "json", "-"])
        .current_dir(std::env::temp_dir())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
    let report: Value = serde_json::from_slice(&child.wait_with_output().unwrap().stdout).unwrap();
    let place = |byte: usize| {
        let before = &text[..byte];
        let is_end =
            |at: usize, byte: u8| byte == b'\n' || byte == b'\r' && text.as_bytes().get(at + 1) != Some(&b'\n');
        let ends: Vec<usize> =
            before.bytes().enumerate().filter(|(at, byte)| is_end(*at, *byte)).map(|(at, _)| at).collect();
        let start = ends.last().map_or(0, |at| at + 1);
        json!({ "line": ends.len(), "character": text[start..byte].chars().count() })
    };
    let one = |finding: &Value| {
        let level = match finding["level"].as_str().unwrap() {
            _ if !finding["permitted"].is_null() || !finding["acknowledged"].is_null() => 4,
            "stop" => 1,
            "care" => 2,
            _ => 3,
        };
        let byte = usize::try_from(finding["place"]["byte"].as_u64().unwrap()).unwrap();
        (finding["rule"].as_str().unwrap().to_owned(), level, place(byte))
    };
    report["sheets"][0]["findings"].as_array().unwrap().iter().map(one).collect()
}

#[test]
fn ten_thousand_edits_leave_it_as_it_was() {
    let mut runner = TestRunner::new(Config::default());
    let mut next = || edit().new_tree(&mut runner).unwrap().current();
    let (mut program, mut text) = (Program::start(&serde_json::from_str(PULLS).unwrap()), SHEET.to_owned());
    program.open(ADDRESS, &text);
    let mut early = 0;
    for number in 1..=EDITS {
        if number % FRESH == 0 {
            SHEET.clone_into(&mut text);
            program.change(ADDRESS, number + 1, &Value::Null, SHEET);
        } else {
            let (down, along, taken, new) = next();
            let (place, bytes) = somewhere(&text, (down, along, taken), |_| 1);
            program.change(ADDRESS, number + 1, &place, new);
            text.replace_range(bytes, new);
        }
        let found = if (number + 1) % BURST == 0 { findings(&mut program) } else { Value::Null };
        if (number + 1) % COMPARED == 0 {
            let pulls = serde_json::from_str(PULLS).unwrap();
            let mut fresh = Client::start(Memory::default(), &pulls);
            fresh.open(ADDRESS, &text);
            let asked = json!({ "textDocument": { "uri": ADDRESS } });
            let anew = fresh.ask("textDocument/diagnostic", asked).unwrap();
            assert_eq!(found, anew["items"], "after {number} edits:\n{text}");
            assert_eq!(told(&found), inspected(&text), "after {number} edits:\n{text}");
        }
        if number == EDITS / 10 {
            early = program.memory();
        }
    }
    let late = program.memory();
    println!("{} KiB resident after {} edits, {} KiB after {EDITS}", early / 1024, EDITS / 10, late / 1024);
    assert!(late < early + early / 4, "{early} bytes after {} edits, {late} after {EDITS}", EDITS / 10);
    assert!(program.end(), "it ends well");
}
