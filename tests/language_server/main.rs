//! The editor's side: findings while typing, mends by one key, what words mean.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod beside;
mod client;
mod newcomer;
mod notes;
mod program;
mod random;
mod survival;
mod values;

use std::time::Duration;

use client::{Client, range, told};
use dryfit::files::Memory;
use dryfit::mend::{Choice, repeat};
use dryfit::rules::Library;
use serde_json::{Value, json};

const THIN: &str = "machine bench\nmaterial petg\npart tray {\n  up +z\n  size 40 x 20 x 25 mm\n  service { temperature 20 degC }\n  \
    wall back {\n    thickness 0.5 mm\n    height    20 mm\n    faces     +x\n  }\n}\n";
const TRAY: &str = "file:///shop/tray.dryfit";

fn shop(texts: &[(&str, &str)]) -> Memory {
    Memory::of(texts.iter().copied())
}

/// A client of the oldest kind: findings are sent to it, and it counts in UTF-16.
fn plain() -> Value {
    json!({})
}

fn place(line: usize, character: usize) -> Value {
    json!({ "textDocument": { "uri": TRAY }, "position": { "line": line, "character": character } })
}

#[test]
fn findings_come_while_typing_from_the_text_that_is_not_saved() {
    let mut client = Client::start(shop(&[("/shop/tray.dryfit", "")]), &plain());
    client.open(TRAY, THIN);
    assert!(told(&client.findings(TRAY)).contains(&("thin-wall".into(), 7)));
    client.change(TRAY, 2, &range((7, 14), (7, 17)), "1.8");
    let (version, findings) = client.next_findings(TRAY);
    assert_eq!(version, 2);
    assert!(!told(&findings).contains(&("thin-wall".into(), 7)), "{findings:?}");
}

#[test]
fn a_line_that_is_half_typed_does_not_blink() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    let before = told(&client.findings(TRAY));
    // A new field, letter by letter: none raises anything, and what is wrong at the end is told when it rests.
    client.change(TRAY, 2, &range((9, 16), (9, 16)), "\n    ");
    for (version, (at, letter)) in (3..).zip("heigth 2".chars().enumerate()) {
        client.change(TRAY, version, &range((10, 4 + at), (10, 4 + at)), &letter.to_string());
        client.settle(Duration::from_millis(30));
        let sent = std::mem::take(&mut client.heard);
        for heard in sent.iter().filter(|heard| heard.method == "textDocument/publishDiagnostics") {
            assert_eq!(told(heard.params["diagnostics"].as_array().unwrap()), before, "after {letter:?}");
        }
    }
    let after = told(&client.findings(TRAY));
    assert!(after.contains(&("unknown-word".into(), 10)), "{after:?}");
}

#[test]
fn a_burst_of_keystrokes_is_looked_at_few_times() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    client.findings(TRAY);
    for version in 2..32 {
        client.change(TRAY, version, &range((0, 13), (0, 13)), " ");
    }
    client.settle(Duration::from_millis(300));
    let sent = client.heard.iter().filter(|heard| heard.method == "textDocument/publishDiagnostics").count();
    assert!((1..=3).contains(&sent), "{sent} times for 30 keystrokes");
}

#[test]
fn places_are_right_in_every_encoding() {
    let text = THIN.replace("wall back {\n    thickness 0.5 mm", "wall Øé { thickness 0.5 mm");
    for (encoding, more) in [("utf-8", 2), ("utf-16", 0), ("utf-32", 0)] {
        let mut client = Client::start(shop(&[]), &json!({ "general": { "positionEncodings": [encoding] } }));
        assert_eq!(client.greeting["capabilities"]["positionEncoding"], encoding);
        client.open(TRAY, &text);
        let findings = client.findings(TRAY);
        let thin = findings.iter().find(|finding| finding["code"] == "thin-wall").expect("found");
        assert_eq!(thin["range"], range((6, 22 + more), (6, 28 + more)), "{encoding}");
    }
}

#[test]
fn a_letter_of_two_units_moves_what_stands_behind_it() {
    let text = "sheet \"Ø𝔸é\" revision \"𝔸\"; machine nobody\n";
    for (encoding, at) in [("utf-8", 42), ("utf-16", 36), ("utf-32", 34)] {
        let mut client = Client::start(shop(&[]), &json!({ "general": { "positionEncodings": [encoding] } }));
        client.open(TRAY, text);
        let findings = client.findings(TRAY);
        let unknown = findings.iter().find(|one| one["message"].as_str().unwrap().contains("nobody")).expect("found");
        assert_eq!(unknown["range"]["start"], json!({ "line": 0, "character": at }), "{encoding}");
    }
}

#[test]
fn what_a_shared_sheet_says_shows_in_those_that_use_it_at_once() {
    let rail = "bought rail { lip measured 3.02, 2.98, 3.05 mm }\nlet rib = 2 mm\n";
    let user = THIN.replacen("machine", "with \"rail.dryfit\"\nmachine", 1).replace("0.5 mm", "rib");
    let mut client = Client::start(shop(&[("/shop/rail.dryfit", rail)]), &plain());
    client.open(TRAY, &user);
    assert!(!told(&client.findings(TRAY)).iter().any(|(rule, _)| rule == "thin-wall"));
    client.open("file:///shop/rail.dryfit", &rail.replace("2 mm", "0.4 mm"));
    assert!(told(&client.findings(TRAY)).iter().any(|(rule, _)| rule == "thin-wall"));
}

#[test]
fn faults_of_packs_appear_in_the_pack_and_go_again() {
    let pack = "rules:\n  low-wall: {titel: too low}\n";
    let files = shop(&[("/shop/dryfit.yaml", "packs: [walls.yaml]\n"), ("/shop/walls.yaml", pack)]);
    let mut client = Client::start(files, &plain());
    client.open(TRAY, THIN);
    let findings = client.findings(TRAY);
    assert_eq!(told(&findings), [("broken-pack".into(), 0)]);
    let packs = client.heard.iter().find(|heard| heard.params["uri"] == "file:///shop/walls.yaml").expect("told of");
    assert_eq!(packs.params["diagnostics"][0]["range"]["start"]["line"], 1);
    client.open("file:///shop/walls.yaml", "rules: {}\n");
    assert!(told(&client.findings(TRAY)).contains(&("thin-wall".into(), 7)));
}

#[test]
fn a_client_that_pulls_is_sent_nothing() {
    let capabilities = json!({ "textDocument": { "diagnostic": {} } });
    let mut client = Client::start(shop(&[]), &capabilities);
    client.open(TRAY, THIN);
    client.settle(Duration::from_millis(300));
    assert!(client.heard.is_empty(), "{:?}", client.heard);
    let pulled = client.ask("textDocument/diagnostic", json!({ "textDocument": { "uri": TRAY } })).unwrap();
    assert!(told(pulled["items"].as_array().unwrap()).contains(&("thin-wall".into(), 7)));
}

#[test]
fn a_text_that_was_never_saved_is_checked_too() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open("untitled:Untitled-1", THIN);
    assert!(told(&client.findings("untitled:Untitled-1")).contains(&("thin-wall".into(), 7)));
}

fn applied(text: &str, edits: &Value) -> String {
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let byte = |place: &Value| {
        let line = usize::try_from(place["line"].as_u64().unwrap()).unwrap();
        let before: usize = lines[..line].iter().map(|line| line.len()).sum();
        before + usize::try_from(place["character"].as_u64().unwrap()).unwrap()
    };
    let mut edits: Vec<(usize, usize, &str)> = edits
        .as_array()
        .unwrap()
        .iter()
        .map(|edit| (byte(&edit["range"]["start"]), byte(&edit["range"]["end"]), edit["newText"].as_str().unwrap()))
        .collect();
    edits.sort_by_key(|edit| std::cmp::Reverse(edit.0));
    let mut out = text.to_owned();
    for (start, end, new) in edits {
        out.replace_range(start..end, new);
    }
    out
}

#[test]
fn a_quick_fix_is_the_mend_and_a_permit_waits_for_its_reason() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    client.findings(TRAY);
    let asked =
        json!({ "textDocument": { "uri": TRAY }, "range": range((7, 4), (7, 4)), "context": { "diagnostics": [] } });
    let actions = client.ask("textDocument/codeAction", asked).unwrap();
    let best =
        actions.as_array().unwrap().iter().find(|action| action["isPreferred"] == true).expect("a preferred one");
    assert!(best["title"].as_str().unwrap().contains("no new finding"), "{best}");
    let library = Library::built_in();
    let mended = repeat(&dryfit::mend::Alone { library: &library }, THIN, &Choice::default());
    assert_eq!(applied(THIN, &best["edit"]["changes"][TRAY]), mended.text, "what `mend` does");

    let permit =
        actions.as_array().unwrap().iter().find(|one| one["title"].as_str().unwrap().starts_with("permit thin-wall"));
    let text = applied(THIN, &permit.expect("a permit")["edit"]["changes"][TRAY]);
    assert!(text.ends_with("}\npermit thin-wall on tray.back \"\"\n"), "{text}");
    client.change(TRAY, 2, &Value::Null, &text);
    let rules: Vec<String> = told(&client.findings(TRAY)).into_iter().map(|(rule, _)| rule).collect();
    assert!(rules.contains(&"thin-wall".into()) && rules.contains(&"missing-field".into()), "{rules:?}");
}

#[test]
fn a_misspelt_word_is_exchanged_for_what_was_meant() {
    let mut client = Client::start(shop(&[]), &plain());
    let words = [("thickness", "thicknes"), ("petg", "petgg"), ("wall back", "wal back"), ("mm", "mn")];
    for (wrong, right) in words.into_iter().chain([("40 x 20 x 25 mm", "40 x 20 x 25"), ("0.5 mm", "0.5")]) {
        let text = THIN.replacen(wrong, right, 1);
        client.open(TRAY, &text);
        let all = json!({ "textDocument": { "uri": TRAY }, "range": range((0, 0), (99, 0)), "context": { "diagnostics": [] } });
        let actions = client.ask("textDocument/codeAction", all).unwrap();
        let title = format!("write `{}`", wrong.strip_suffix(" back").unwrap_or(wrong));
        let fix = actions
            .as_array()
            .unwrap()
            .iter()
            .find(|one| one["title"] == *title)
            .unwrap_or_else(|| panic!("{actions}"));
        assert_eq!(applied(&text, &fix["edit"]["changes"][TRAY]), THIN);
    }
}

#[test]
fn all_clean_mends_are_one_edit_that_comes_when_it_is_chosen() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    let context = json!({ "diagnostics": [], "only": ["source.fixAll"] });
    let asked = json!({ "textDocument": { "uri": TRAY }, "range": range((0, 0), (0, 0)), "context": context });
    let actions = client.ask("textDocument/codeAction", asked).unwrap();
    assert_eq!(actions[0]["edit"], Value::Null);
    let resolved = client.ask("codeAction/resolve", actions[0].clone()).unwrap();
    let library = Library::built_in();
    let mended = repeat(&dryfit::mend::Alone { library: &library }, THIN, &Choice::default());
    assert_eq!(applied(THIN, &resolved["edit"]["changes"][TRAY]), mended.text);
}

#[test]
fn all_mends_at_once_are_given_up_where_nobody_waits() {
    let mut client = Client::start(shop(&[]), &plain());
    let wall = |number: usize| format!("  wall w{number} {{ thickness 0.{} mm; faces +x }}\n", 40 + number % 40);
    let many: String = (0..40).map(wall).collect();
    client.open(TRAY, &THIN.replacen("  wall back", &format!("{many}  wall back"), 1));
    client.findings(TRAY);
    let context = json!({ "diagnostics": [], "only": ["source.fixAll"] });
    let asked = json!({ "textDocument": { "uri": TRAY }, "range": range((0, 0), (0, 0)), "context": context });
    let action = client.ask("textDocument/codeAction", asked).unwrap()[0].clone();
    let began = std::time::Instant::now();
    let id = client.send("codeAction/resolve", action.clone());
    client.settle(Duration::from_millis(20));
    client.tell("$/cancelRequest", json!({ "id": id }));
    assert_eq!(client.answer(id), Err("no longer wanted".into()));
    // The worker is free again: a second time without a cancel takes as long as it takes.
    let at =
        json!({ "textDocument": { "uri": TRAY }, "range": range((6, 0), (6, 9)), "context": { "diagnostics": [] } });
    client.ask("textDocument/codeAction", at).unwrap();
    let given_up = began.elapsed();
    let began = std::time::Instant::now();
    client.ask("codeAction/resolve", action).unwrap();
    assert!(given_up < began.elapsed(), "{given_up:?} for what was given up, {:?} for the whole", began.elapsed());
}

fn hover(client: &mut Client, line: usize, character: usize) -> String {
    let said = client.ask("textDocument/hover", place(line, character)).unwrap();
    said["contents"]["value"].as_str().unwrap_or_default().to_owned()
}

#[test]
fn a_hover_tells_what_a_word_and_a_value_are() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, &format!("{THIN}permit thin-wall on tray.back \"seen\"\n"));
    assert!(hover(&mut client, 7, 16).contains("as printed"), "a drawn value");
    assert!(hover(&mut client, 7, 16).contains("`thin-wall` on tray.back: thickness 0.5 mm, limit 0.8 mm: stop"));
    assert!(!hover(&mut client, 7, 16).contains("table"), "a figure is no word of a table");
    assert!(hover(&mut client, 6, 4).contains("flat and thin"), "a block's word");
    assert!(hover(&mut client, 1, 11).contains("yield-stress"), "a material");
    assert!(hover(&mut client, 12, 10).contains("thin-wall (stop)"), "a rule");
    assert_eq!(hover(&mut client, 2, 11), "", "a brace");
    assert!(hover(&mut client, 7, 19).contains("mm (unit)"), "a unit");
}

fn offered(client: &mut Client, text: &str, line: usize, character: usize) -> Vec<String> {
    client.change(TRAY, 9, &Value::Null, text);
    let items = client.ask("textDocument/completion", place(line, character)).unwrap();
    items.as_array().unwrap().iter().map(|item| item["label"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn what_is_offered_fits_where_the_cursor_is() {
    let mut client = Client::start(shop(&[("/shop/rail.dryfit", "")]), &plain());
    client.open(TRAY, "");
    let has = |offered: &[String], word: &str| offered.iter().any(|one| one == word);
    let start = offered(&mut client, "", 0, 0);
    assert!(has(&start, "part") && has(&start, "machine") && has(&start, "let") && !has(&start, "thickness"));
    assert!(has(&offered(&mut client, "material p", 0, 10), "petg"));
    let inside = offered(&mut client, "part p {\n  wall w {\n    height 3 mm\n    th", 3, 6);
    assert!(has(&inside, "thickness") && !has(&inside, "height"), "{inside:?}");
    assert!(has(&offered(&mut client, "part p { up +z; wall w { faces ", 0, 31), "-x"));
    assert!(has(&offered(&mut client, "part p { wall w { thickness 2 ", 0, 30), "mm"));
    let names = offered(&mut client, "let gap = 1 mm\npart p { wall w { thickness 2 * ", 1, 32);
    assert!(has(&names, "gap") && has(&names, "min"));
    let behind = offered(&mut client, "bought rail { lip 3 mm }\npart p { wall w { thickness rail.", 1, 33);
    assert!(has(&behind, "lip"));
    assert!(has(&offered(&mut client, "permit thin", 0, 11), "thin-wall"));
    assert!(has(&offered(&mut client, "with ", 0, 5), "\"rail.dryfit\""));
    assert!(offered(&mut client, "# part ", 0, 7).is_empty());
    // What is typed already of the next extent's `x` is still offered, so that a list that is open does not close.
    for (size, goes_on) in [("20 ", true), ("20 x", true), ("20 mm x", true), ("20 x ", false), ("20 x 3 x 4 ", false)]
    {
        let line = format!("part p {{ size {size}");
        assert_eq!(has(&offered(&mut client, &line, 0, line.len()), "x"), goes_on, "{line}");
    }
}

#[test]
fn a_name_is_found_and_exchanged_across_two_sheets() {
    let rail = "bought rail { lip measured 3.02, 2.98, 3.05 mm }\n";
    let foot = "with \"rail.dryfit\"\npart foot { slot s { width rail.lip + 0.5 mm; depth 8 mm; axis -z } }\n";
    let files = shop(&[("/shop/rail.dryfit", rail), ("/shop/foot.dryfit", foot)]);
    let mut client = Client::start(files, &plain());
    client.open("file:///shop/rail.dryfit", rail);
    let at = json!({ "line": 0, "character": 8 });
    let rename = json!({ "textDocument": { "uri": "file:///shop/rail.dryfit" }, "position": at, "newName": "gutter" });
    let edit = client.ask("textDocument/rename", rename).unwrap();
    assert_eq!(applied(rail, &edit["changes"]["file:///shop/rail.dryfit"]), rail.replace("rail {", "gutter {"));
    assert_eq!(applied(foot, &edit["changes"]["file:///shop/foot.dryfit"]), foot.replace("rail.lip", "gutter.lip"));

    client.open("file:///shop/foot.dryfit", foot);
    let at =
        json!({ "textDocument": { "uri": "file:///shop/foot.dryfit" }, "position": { "line": 1, "character": 28 } });
    let definition = client.ask("textDocument/definition", at).unwrap();
    assert_eq!(definition["uri"], "file:///shop/rail.dryfit");
    assert_eq!(definition["range"], range((0, 7), (0, 11)));
    let bad = json!({ "textDocument": { "uri": "file:///shop/rail.dryfit" }, "position": { "line": 0, "character": 8 }, "newName": "3 x" });
    assert!(client.ask("textDocument/rename", bad).unwrap_err().contains("is no name"));
}

#[test]
fn a_feature_named_after_what_it_takes_keeps_its_name() {
    let text = "bought magnet { diameter measured 6.02, 5.98, 6.01 mm }\n\
        part p { hole magnet { diameter magnet.diameter + 0.3 mm; depth 3 mm } }\n";
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, text);
    let mut rename = place(0, 9);
    rename["newName"] = "disc".into();
    let edit = client.ask("textDocument/rename", rename).unwrap();
    let wanted = text.replace("bought magnet", "bought disc").replace("magnet.diameter", "disc.diameter");
    assert_eq!(applied(text, &edit["changes"][TRAY]), wanted);
}

#[test]
fn words_that_could_go_are_drawn_pale() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(
        TRAY,
        &format!("{}let idle = 1 mm\npermit thin-wall on tray.back \"seen\"\n", THIN.replace("0.5 mm", "1.68 mm")),
    );
    let findings = client.findings(TRAY);
    for rule in ["unused-value", "spent-permit"] {
        let found = findings.iter().find(|one| one["code"] == rule).unwrap_or_else(|| panic!("{rule}: {findings:?}"));
        assert_eq!(found["tags"], json!([1]), "{rule}");
    }
}

#[test]
fn a_sheet_has_an_outline_folds_hints_lenses_and_a_tidy_form() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    let text = json!({ "textDocument": { "uri": TRAY } });
    let symbols = client.ask("textDocument/documentSymbol", text.clone()).unwrap();
    let tray = symbols.as_array().unwrap().iter().find(|symbol| symbol["name"] == "tray").expect("the part");
    assert_eq!(tray["range"], range((2, 0), (11, 1)));
    assert!(tray["children"].as_array().unwrap().iter().any(|child| child["name"] == "back"));
    let folds = client.ask("textDocument/foldingRange", text.clone()).unwrap();
    assert_eq!(folds, json!([{ "startLine": 2, "endLine": 10 }, { "startLine": 6, "endLine": 9 }]));
    let all = json!({ "textDocument": { "uri": TRAY }, "range": range((0, 0), (99, 0)) });
    let hints = client.ask("textDocument/inlayHint", all).unwrap();
    assert!(
        hints.as_array().unwrap().iter().any(|hint| hint["label"].as_str().unwrap().starts_with("prints 0.5")),
        "{hints}"
    );
    let lenses = client.ask("textDocument/codeLens", text.clone()).unwrap();
    let mut said = |lens: &Value| client.ask("codeLens/resolve", lens.clone()).unwrap()["command"]["title"].clone();
    let titles: Vec<Value> = lenses.as_array().unwrap().iter().map(&mut said).collect();
    assert!(titles.contains(&json!("thickness 0.5 mm, limit 0.8 mm: stop (thin-wall)")), "{titles:?}");
    client.change(TRAY, 2, &Value::Null, "machine   bench\nlet   a=1 mm\n");
    let edits =
        client.ask("textDocument/formatting", json!({ "textDocument": { "uri": TRAY }, "options": {} })).unwrap();
    assert_eq!(
        applied("machine   bench\nlet   a=1 mm\n", &edits),
        dryfit::syntax::format::tidy("machine   bench\nlet   a=1 mm\n")
    );
}

#[test]
fn what_makes_no_sense_is_answered_and_the_next_question_too() {
    let mut client = Client::start(shop(&[]), &plain());
    client.open(TRAY, THIN);
    assert!(client.ask("textDocument/hover", json!({ "nothing": 1 })).unwrap_err().contains("cannot be read"));
    assert_eq!(client.ask("textDocument/unheardOf", place(0, 0)).unwrap(), Value::Null);
    assert_eq!(client.ask("textDocument/hover", place(999, 999)).unwrap(), Value::Null);
    let id = client.send(
        "textDocument/codeAction",
        json!({ "textDocument": { "uri": TRAY }, "range": range((7, 4), (7, 4)), "context": { "diagnostics": [] } }),
    );
    client.tell("$/cancelRequest", json!({ "id": id }));
    let answer = client.answer(id);
    assert!(answer.is_ok() || answer.as_ref().is_err_and(|why| why == "no longer wanted"), "{answer:?}");
    assert!(hover(&mut client, 1, 11).contains("petg"));
}

#[test]
fn a_client_that_asks_for_a_folder_is_told_of_all_its_sheets_and_then_of_what_changes() {
    let rail = "bought rail { lip measured 3.02, 2.98, 3.05 mm }\nlet rib = 2 mm\n";
    let user = THIN.replacen("machine", "with \"rail.dryfit\"\nmachine", 1).replace("0.5 mm", "rib");
    let capabilities = json!({ "textDocument": { "diagnostic": {} } });
    let files = [("/shop/tray.dryfit", user.as_str()), ("/shop/thin.dryfit", THIN), ("/shop/rail.dryfit", rail)];
    let mut client = Client::start(shop(&files), &capabilities);
    let has_thin_wall = |answer: &Value, sheet: &str| {
        let items = answer["items"].as_array().unwrap();
        let item = items.iter().find(|item| item["uri"].as_str().unwrap().ends_with(sheet))?;
        Some(told(item["items"].as_array().unwrap()).iter().any(|(rule, _)| rule == "thin-wall"))
    };
    let all = client.ask("workspace/diagnostic", json!({ "previousResultIds": [] })).unwrap();
    assert_eq!(all["items"].as_array().unwrap().len(), 3);
    assert_eq!(has_thin_wall(&all, "thin.dryfit"), Some(true));
    assert_eq!(has_thin_wall(&all, "tray.dryfit"), Some(false));
    // The second answer waits until something changes, and names what the change reaches.
    let id = client.send("workspace/diagnostic", json!({ "previousResultIds": [] }));
    client.settle(Duration::from_millis(100));
    client.open("file:///shop/rail.dryfit", &rail.replace("2 mm", "0.4 mm"));
    let changed = client.answer(id).unwrap();
    assert_eq!(has_thin_wall(&changed, "tray.dryfit"), Some(true));
    assert_eq!(has_thin_wall(&changed, "thin.dryfit"), None);
    assert!(client.heard.is_empty(), "{:?}", client.heard);
    let id = client.send("workspace/diagnostic", json!({ "previousResultIds": [] }));
    client.tell("$/cancelRequest", json!({ "id": id }));
    assert_eq!(client.answer(id), Err("no longer wanted".into()));
}
