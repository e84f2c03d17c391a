//! What is worked out beside the conversation, or only when it is wanted: edits of chosen actions, words of lenses,
//! pictures, the texts of rules, and what is found in sheets that are not open.

use std::path::Path;
use std::time::Duration;

use dryfit::files::Memory;
use lsp_server::Notification;
use serde_json::{Value, json};

use super::client::{Client, range, told};
use super::{THIN, TRAY, applied, plain, shop};

fn actions_at(client: &mut Client, line: usize) -> Vec<Value> {
    let at = range((line, 4), (line, 4));
    let asked = json!({ "textDocument": { "uri": TRAY }, "range": at, "context": { "diagnostics": [] } });
    client.ask("textDocument/codeAction", asked).unwrap().as_array().unwrap().clone()
}

#[test]
fn a_client_that_can_ask_for_edits_gets_them_when_they_are_chosen() {
    let whole = {
        let mut client = Client::start(shop(&[]), &plain());
        client.open(TRAY, THIN);
        actions_at(&mut client, 7)
    };
    let lazy = json!({ "textDocument": { "codeAction": { "dataSupport": true, "resolveSupport": { "properties": ["edit"] } } } });
    let mut client = Client::start(shop(&[]), &lazy);
    client.open(TRAY, THIN);
    let actions = actions_at(&mut client, 7);
    assert_eq!(actions.len(), whole.len());
    for (action, whole) in actions.iter().zip(&whole) {
        assert_eq!((&action["title"], &action["isPreferred"]), (&whole["title"], &whole["isPreferred"]));
        assert_eq!(action["edit"], Value::Null, "{action}");
        let resolved = client.ask("codeAction/resolve", action.clone()).unwrap();
        if whole["kind"] == "quickfix" {
            assert_eq!(resolved["edit"], whole["edit"], "{action}");
        }
    }
    // The text moves on: an edit fits it as it is now, or is refused.
    client.change(TRAY, 2, &Value::Null, &format!("# a line more\n{THIN}"));
    let later = client.ask("codeAction/resolve", actions[0].clone());
    assert!(later.unwrap_err().contains("the text has changed"));
    client.change(TRAY, 3, &Value::Null, &THIN.replace("0.5 mm", "0.5  mm"));
    let moved = client.ask("codeAction/resolve", actions[0].clone()).unwrap();
    assert!(applied(&THIN.replace("0.5 mm", "0.5  mm"), &moved["edit"]["changes"][TRAY]).contains("0.84"), "{moved}");
}

#[test]
fn a_rule_says_more_behind_the_link_of_its_finding() {
    let links = json!({ "textDocument": { "publishDiagnostics": { "codeDescriptionSupport": true } } });
    let mut client = Client::start(shop(&[]), &links);
    client.open(TRAY, THIN);
    let findings = client.findings(TRAY);
    let thin = findings.iter().find(|one| one["code"] == "thin-wall").expect("found");
    let path = thin["codeDescription"]["href"].as_str().unwrap().strip_prefix("file://").unwrap().to_owned();
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("thin-wall (stop)"), "{text}");
    drop(client);
    assert!(!Path::new(&path).exists(), "nothing is left lying about");

    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    assert!(client.findings(TRAY).iter().all(|one| one["codeDescription"].is_null()));
}

#[test]
fn a_lens_opens_a_picture_where_the_client_can() {
    let text = json!({ "textDocument": { "uri": TRAY } });
    let opens = json!({ "window": { "showDocument": { "support": true } } });
    let mut client = Client::start(shop(&[]), &opens);
    client.open(TRAY, THIN);
    let lenses = client.ask("textDocument/codeLens", text.clone()).unwrap();
    let mut drawn = Vec::new();
    for lens in lenses.as_array().unwrap() {
        let lens = client.ask("codeLens/resolve", lens.clone()).unwrap();
        let command = &lens["command"];
        if command["command"] == "" {
            continue;
        }
        let asked = json!({ "command": command["command"], "arguments": command["arguments"] });
        assert_eq!(client.ask("workspace/executeCommand", asked).unwrap(), Value::Null);
        let shown = client.asked.pop().expect("a picture to open");
        assert_eq!(shown.method, "window/showDocument");
        let path = shown.params["uri"].as_str().unwrap().strip_prefix("file://").unwrap();
        assert!(std::fs::read_to_string(path).unwrap().starts_with("<svg"), "{path}");
        drawn.push(command["command"].as_str().unwrap().to_owned());
    }
    assert!(
        drawn.iter().any(|one| one == "dryfit.orient") && drawn.iter().any(|one| one == "dryfit.window"),
        "{drawn:?}"
    );
    let gone = json!({ "command": "dryfit.window", "arguments": [TRAY, "tray.front.thickness"] });
    assert!(client.ask("workspace/executeCommand", gone).unwrap_err().contains("there is no field"));

    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    let lenses = client.ask("textDocument/codeLens", text).unwrap();
    for lens in lenses.as_array().unwrap() {
        let said = client.ask("codeLens/resolve", lens.clone()).unwrap();
        assert_eq!(said["command"]["command"], "", "only words: {said}");
    }
}

const RAIL: &str = "file:///shop/rail.dryfit";
const USER: &str = "with \"rail.dryfit\"\nmachine bench\nmaterial petg\npart foot {\n  up +z\n  size 40 x 20 x 25 mm\n  \
    wall back { thickness rib; height 20 mm; faces +x }\n}\n";

fn of_rail() -> Memory {
    shop(&[("/shop/rail.dryfit", "let rib = 2 mm\n"), ("/shop/tray.dryfit", USER)])
}

fn heard_of<'c>(client: &'c Client, address: &str) -> Option<&'c Notification> {
    let is_of = |heard: &&Notification| heard.params["uri"] == address;
    client.heard.iter().rev().filter(|heard| heard.method == "textDocument/publishDiagnostics").find(is_of)
}

fn rules_of(heard: &Notification) -> Vec<String> {
    told(heard.params["diagnostics"].as_array().unwrap()).into_iter().map(|(rule, _)| rule).collect()
}

#[test]
fn a_sheet_that_is_not_open_is_told_of_when_what_it_uses_changes() {
    for capabilities in [plain(), json!({ "textDocument": { "diagnostic": {} } })] {
        let mut client = Client::start(of_rail(), &capabilities);
        client.open(RAIL, "let rib = 2 mm\n");
        client.settle(Duration::from_millis(1500));
        assert!(heard_of(&client, TRAY).is_none_or(|heard| !rules_of(heard).contains(&"thin-wall".into())));
        client.change(RAIL, 2, &range((0, 10), (0, 11)), "0.4");
        client.settle(Duration::from_millis(2500));
        let heard = heard_of(&client, TRAY).expect("told of the user");
        assert!(rules_of(heard).contains(&"thin-wall".into()), "{heard:?}");
        assert_eq!(heard.params["version"], Value::Null);
        // Opened, it is told of like every other, and nowhere twice.
        client.open(TRAY, USER);
        client.settle(Duration::from_millis(1500));
        let heard = heard_of(&client, TRAY).expect("told of");
        let is_pushed = rules_of(heard).contains(&"thin-wall".into());
        assert_eq!(is_pushed, capabilities == plain(), "{heard:?}");
        client.change(RAIL, 3, &range((0, 10), (0, 13)), "2");
        client.tell("textDocument/didClose", json!({ "textDocument": { "uri": TRAY } }));
        client.settle(Duration::from_millis(2500));
        assert!(!rules_of(heard_of(&client, TRAY).expect("told of")).contains(&"thin-wall".into()));
    }
}

/// The sentence is that of the reports: a finding of what could not be checked has no other.
#[test]
fn a_finding_says_what_the_reports_say() {
    let mut client = Client::start(shop(&[]), &plain());
    let lid = "machine bench\nmaterial petg\npart lid { up +z; hole corner { diameter 8 mm; axis +z; screw M7 } }\n";
    client.open(TRAY, lid);
    let findings = client.findings(TRAY);
    let unchecked = findings.iter().find(|one| one["code"] == "screw-clearance").expect("found");
    let said = unchecked["message"].as_str().unwrap();
    assert!(
        said.starts_with("`screw-clearance` could not be checked here: the table iso-261 has no row for M7"),
        "{said}"
    );
}
