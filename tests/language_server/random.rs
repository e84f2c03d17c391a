//! However a text came to be what it is, the server says of it what it says of the same text when it is opened.

use dryfit::files::Memory;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};

use super::client::{Client, range};

pub const SHEET: &str = include_str!("../../demo-data/vent-latch.dryfit");
const ADDRESS: &str = "file:///shop/latch.dryfit";
/// Edits in one conversation.
const EDITS: usize = 200;

/// A place by shares of the lines and of the line, and what is put there.
pub fn edit() -> impl Strategy<Value = (f64, f64, usize, &'static str)> {
    let texts =
        prop::sample::select(vec!["", "1", " ", "\n", "{", "}", "\"", "# Ø𝔸é ", " mm", "wall w {", ";", "é", "\r\n"]);
    (0.0..1.0, 0.0..1.0, 0_usize..6, texts)
}

fn findings(client: &mut Client) -> Vec<Value> {
    let pulled = client.ask("textDocument/diagnostic", json!({ "textDocument": { "uri": ADDRESS } })).unwrap();
    pulled["items"].as_array().unwrap().clone()
}

#[test]
fn edits_lead_where_a_fresh_start_does() {
    let pulls = json!({ "textDocument": { "diagnostic": {} }, "general": { "positionEncodings": ["utf-16"] } });
    let mut runner = TestRunner::new(Config { cases: 3, failure_persistence: None, ..Config::default() });
    let edits = prop::collection::vec(edit(), EDITS);
    runner
        .run(&edits, |edits| {
            let mut client = Client::start(Memory::default(), &pulls);
            client.open(ADDRESS, SHEET);
            let mut text = SHEET.to_owned();
            for (version, (down, along, taken, new)) in (2..).zip(edits) {
                let (place, bytes) = somewhere(&text, (down, along, taken), char::len_utf16);
                client.change(ADDRESS, version, &place, new);
                text.replace_range(bytes, new);
            }
            client.tell("textDocument/didSave", json!({ "textDocument": { "uri": ADDRESS } }));
            let after = findings(&mut client);
            client.tell("textDocument/didClose", json!({ "textDocument": { "uri": ADDRESS } }));
            client.open(ADDRESS, &text);
            prop_assert_eq!(after, findings(&mut client));
            Ok(())
        })
        .unwrap();
}

/// A stretch on one line, in units of characters, with its bytes.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "shares of short texts"
)]
pub fn somewhere(
    text: &str,
    (down, along, taken): (f64, f64, usize),
    units: fn(char) -> usize,
) -> (Value, std::ops::Range<usize>) {
    // As the protocol has it, a line ends at a line feed, a carriage return, or both together.
    let mut starts = vec![0];
    let bytes = text.as_bytes();
    for at in 0..bytes.len() {
        if bytes[at] == b'\n' || (bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n')) {
            starts.push(at + 1);
        }
    }
    let line = ((starts.len() as f64) * down) as usize;
    let start = starts[line];
    let stop = starts.get(line + 1).copied().unwrap_or(text.len());
    let inside: Vec<(usize, char)> =
        text[start..stop].char_indices().filter(|(_, c)| !matches!(c, '\n' | '\r')).collect();
    let first = ((inside.len() as f64) * along) as usize;
    let last = (first + taken).min(inside.len());
    let byte = |number: usize| {
        let end = inside.last().map_or(0, |(at, c)| at + c.len_utf8());
        start + inside.get(number).map_or(end, |(at, _)| *at)
    };
    let units = |number: usize| inside[..number].iter().map(|(_, c)| units(*c)).sum::<usize>();
    (range((line, units(first)), (line, units(last))), byte(first)..byte(last))
}
