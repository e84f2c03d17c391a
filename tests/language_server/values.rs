//! What a change of values reaches, and nothing else, is judged again after a keystroke: that is what a fresh start finds.
//!
//! Debug builds compare every such check with a whole one, to the last digit; here also what is told of the last text.

use std::fs;

use dryfit::files::Memory;
use serde_json::{Value, json};

use super::client::{Client, range};

const ADDRESS: &str = "file:///shop/values.dryfit";
/// What a figure becomes, by how it is written; most of it can be drawn, some cannot.
const INSTEAD: [fn(&str) -> String; 5] = [
    |figure| format!("1{figure}"),
    |figure| figure.to_owned() + "5",
    |_| "0.4".into(),
    |_| "7 +".into(),
    |_| "3.2".into(),
];
/// Changes of each sheet.
const CHANGES: usize = 4;

/// The figures of a text outside of its comments: line, first column and length.
fn figures(text: &str) -> Vec<(usize, usize, usize)> {
    let mut found = Vec::new();
    for (number, line) in text.lines().enumerate().filter(|(_, line)| line.is_ascii()) {
        let code = line.split(['#', '"']).next().unwrap_or_default();
        let mut from = 0;
        for word in code.split(|sign: char| !(sign.is_ascii_digit() || sign == '.')) {
            let alone = from == 0 || code.as_bytes()[from - 1] == b' ';
            if alone && word.starts_with(|sign: char| sign.is_ascii_digit()) {
                found.push((number, from, word.len()));
            }
            from += word.len() + 1;
        }
    }
    found
}

fn findings(client: &mut Client) -> Vec<Value> {
    let pulled = client.ask("textDocument/diagnostic", json!({ "textDocument": { "uri": ADDRESS } })).unwrap();
    pulled["items"].as_array().unwrap().clone()
}

#[test]
fn changed_values_are_judged_as_a_fresh_start_judges_them() {
    let pulls = json!({ "textDocument": { "diagnostic": {} } });
    let mut client = Client::start(Memory::default(), &pulls);
    let folders = ["tests/judged", "demo-data"].map(|folder| fs::read_dir(folder).unwrap());
    let mut paths: Vec<_> = folders.into_iter().flatten().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "dryfit"));
    paths.sort();
    assert!(paths.len() > 200);
    for (seed, path) in paths.iter().enumerate() {
        let mut text = fs::read_to_string(path).unwrap();
        client.open(ADDRESS, &text);
        findings(&mut client);
        for change in 0..CHANGES {
            let figures = figures(&text);
            let (line, from, length) = figures[(seed * 31 + change * 17) % figures.len()];
            let start = text.lines().take(line).map(|line| line.len() + 1).sum::<usize>() + from;
            let now = INSTEAD[(seed + change) % INSTEAD.len()](&text[start..start + length]);
            client.change(
                ADDRESS,
                2 + i64::try_from(change).unwrap(),
                &range((line, from), (line, from + length)),
                &now,
            );
            text.replace_range(start..start + length, &now);
            findings(&mut client);
        }
        // Of a line that is being typed not everything is told.
        client.tell("textDocument/didSave", json!({ "textDocument": { "uri": ADDRESS } }));
        let after = findings(&mut client);
        client.tell("textDocument/didClose", json!({ "textDocument": { "uri": ADDRESS } }));
        client.open(ADDRESS, &text);
        assert_eq!(after, findings(&mut client), "{}:\n{text}", path.display());
        client.tell("textDocument/didClose", json!({ "textDocument": { "uri": ADDRESS } }));
    }
}
