//! Notes on prints are written in the same editor, with the same help.

use dryfit::files::Memory;
use serde_json::json;

use super::client::{Client, told};
use super::plain;

const CLIP: &str = "machine bench\nmaterial petg\npart clip {\n  up +z\n  size 42 x 24 x 12 mm\n  slot mouth { width 3.5 mm; depth 9 mm; \
    axis +z }\n}\nbought rail { lip measured 3.02, 2.98, 3.05 mm }\n\
    fit \"mouth on lip\" { inside clip.mouth.width; outside rail.lip; class free }\n";
const NOTES: &str = "file:///shop/clip.notes";

fn at(line: usize, character: usize) -> serde_json::Value {
    json!({ "textDocument": { "uri": NOTES }, "position": { "line": line, "character": character } })
}

#[test]
fn notes_are_checked_explained_and_completed_as_sheets_are() {
    let mut client = Client::start(Memory::of([("/shop/clip.dryfit", CLIP)]), &plain());
    let came = "  came clip.mouth.width from 3.5 mm measured 3.42, 3.44, 3.43 mm";
    let text = format!("notes \"clip.dryfit\"\nprinted \"C-1\" {{\n{came}\n  trail clip.mouth {{ held 1 mm }}\n}}\n");
    client.open(NOTES, &text);
    let found = told(&client.findings(NOTES));
    assert_eq!(found, [("unknown-word".to_owned(), 3)]);

    let hover = |client: &mut Client, line, character| {
        client.ask("textDocument/hover", at(line, character)).unwrap()["contents"]["value"].as_str().unwrap().to_owned()
    };
    assert!(hover(&mut client, 2, 3).contains("What a dimension came out as"));
    assert!(hover(&mut client, 2, 20).contains("The gap between its faces"));
    assert!(hover(&mut client, 2, 40).contains("Before the readings"), "{}", hover(&mut client, 2, 40));

    for (line, wanted) in [
        ("  came clip.", "mouth"),
        ("  came clip.mouth.", "width"),
        ("  came clip.mouth.width ", "from"),
        ("  went ", "\"mouth on lip\""),
        ("  went \"mouth on lip\" ", "too-tight"),
    ] {
        let text = format!("notes \"clip.dryfit\"\nprinted \"C-1\" {{\n{line}\n}}\n");
        client.change(NOTES, 2, &serde_json::Value::Null, &text);
        let items = client.ask("textDocument/completion", at(2, line.len())).unwrap();
        let labels: Vec<&str> = items.as_array().unwrap().iter().filter_map(|item| item["label"].as_str()).collect();
        assert!(labels.contains(&wanted), "{wanted} after {line:?}: {labels:?}");
    }
}
