//! A sheet written from nothing by somebody who takes what is offered: at each step the next word is there.

use dryfit::files::Memory;
use serde_json::{Value, json};

use super::client::Client;
use super::{TRAY, plain};

/// What was written so far, with the cursor at `|`, and what must be offered there.
const STEPS: [(&str, &[&str]); 59] = [
    ("|", &["sheet", "machine", "material", "part", "let", "bought"]),
    ("sheet |", &["\"like this\""]),
    ("sheet \"Clip\" |", &["revision", "tolerances"]),
    ("sheet \"Clip\" rev|", &["revision"]),
    ("sheet \"Clip\" tolerances |", &["two-sigma", "three-sigma"]),
    ("material |", &["petg"]),
    ("service { |", &["temperature"]),
    ("service { temperature 20 |", &["degC"]),
    ("service { temperature 20 de|", &["degC"]),
    ("bought rail { |", &["width measured 2.02, 1.98, 2.05 mm"]),
    ("bought rail { lip |", &["measured", "between", "at least", "at most"]),
    ("bought rail { lip measured 2.02, 1.98 |", &["mm"]),
    ("bought rail { lip measured 2.02, 1.98 mm |", &["by", "±"]),
    ("bought rail { lip measured 2.02, 1.98 mm by |", &["caliper"]),
    ("bought rail { lip between 2 mm |", &["and"]),
    ("bought rail { lip 2 mm }\nlet slack |", &["="]),
    ("bought rail { lip 2 mm }\nlet slack = |", &["rail", "max", "measured"]),
    ("bought rail { lip 2 mm }\nlet slack = rail.|", &["lip"]),
    ("let slack = 0.3 |", &["mm", "deg"]),
    ("let slack = 0.3 mm |", &["+", "*"]),
    ("part tray {\n  |\n}", &["up", "size", "wall", "arm"]),
    ("part tray {\n  up |\n}", &["+z", "-x"]),
    ("part tray {\n  up +z |\n}", &["tilted"]),
    ("part tray {\n  up +z tilted 30 |\n}", &["deg"]),
    ("part tray {\n  up +z tilted 30 deg |\n}", &["toward"]),
    ("part tray {\n  up +z tilted 30 deg toward |\n}", &["+x"]),
    ("part tray {\n  size 40 |\n}", &["x", "mm"]),
    ("part tray {\n  size 40 x 20 x 25 |\n}", &["mm"]),
    ("part tray {\n  wall back { |\n}", &["thickness", "faces"]),
    ("let rib = 2 mm\npart tray {\n  wall back { thickness |\n}", &["rib", "max"]),
    ("part tray {\n  wall back { thickness 2.4 m|\n}", &["mm"]),
    ("part tray {\n  wall back { thickness 2.4 mm |\n}", &["±"]),
    ("part tray {\n  arm jaw { length 18 mm }\n  arm low like |\n}", &["jaw", "tray.jaw"]),
    ("part tray {\n  arm jaw { length 18 mm }\n  arm low like jaw |\n}", &["mirrored"]),
    ("part tray {\n  arm jaw { length 18 mm }\n  arm low like jaw mirrored |\n}", &["x", "z"]),
    ("part tray {\n  wall back { at 12, 8, 0 |\n}", &["mm"]),
    ("part tray {\n  wall back { thickness 2 mm }\n  hole h { diameter back.|\n}", &["thickness"]),
    ("part tray {\n  wall back { thickness 2 mm }\n  hole h { diameter ba|\n}", &["back"]),
    ("fit |", &["\"like this\""]),
    ("fit \"a\" {\n  |\n}", &["inside", "outside", "class"]),
    ("fit \"a\" {\n  class |\n}", &["sliding"]),
    ("part tray { slot mouth { width 2 mm } }\nfit \"a\" {\n  inside tray.mouth.|\n}", &["width"]),
    ("permit |", &["thin-wall"]),
    ("permit thin-wall |", &["on"]),
    ("part tray { wall back { thickness 2 mm } }\npermit thin-wall on |", &["tray.back"]),
    ("part tray { wall back { thickness 2 mm } }\npermit thin-wall on tray.back |", &["\"like this\""]),
    ("part tray { wall back { thickness 2 mm } }\npermit thin-wall on tray.back \"seen\" |", &["until", "by"]),
    ("with |", &["\"rail.dryfit\""]),
    // Half-typed after what is whole.
    ("bought rail {\n  lip measured 2.02, 1.98 mm b|\n}", &["by"]),
    ("bought rail {\n  throat between 14.6 mm a|\n}", &["and"]),
    ("part p { hole h { diameter 3.4 mm; screw |", &["M3", "M2.5"]),
    ("part p { boss b { diameter 8 mm; hole 4 mm; insert M|", &["M3"]),
    ("part p { nut trap |", &["M4"]),
    ("part p { size 40 x 20 x 10 mm }\ndemand p.size.|", &["x", "y", "z"]),
    ("part p { size 40 x 20 x 10 mm }\ndemand p.size.z > 20 |", &["mm"]),
    ("part p { distance pitch 62 |", &["mm"]),
    ("part lid { arm catch { length 9 mm } }\nsnap \"lid\" { hook lid.|", &["catch"]),
    ("fit \"lid\" { clearance 0.05 |", &["mm", "to"]),
    ("part p { size 40 x 20 x 10 mm; hole h { diameter size.|", &["x"]),
];

fn items(client: &mut Client, text: &str) -> Vec<Value> {
    let (before, _) = text.split_once('|').unwrap();
    client.change(TRAY, 2, &Value::Null, &text.replacen('|', "", 1));
    let line = before.matches('\n').count();
    let character = before.rsplit('\n').next().unwrap().len();
    let at = json!({ "textDocument": { "uri": TRAY }, "position": { "line": line, "character": character } });
    client.ask("textDocument/completion", at).unwrap().as_array().unwrap().clone()
}

fn offered(client: &mut Client, text: &str) -> Vec<String> {
    items(client, text).iter().map(|item| item["label"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_sheet_can_be_written_from_what_is_offered() {
    let mut client = Client::start(Memory::of([("/shop/rail.dryfit", "")]), &plain());
    client.open(TRAY, "");
    let mut missing = Vec::new();
    for (text, wanted) in STEPS {
        let offered = offered(&mut client, text);
        let lacks = |word: &&&str| !offered.iter().any(|one| one == **word);
        missing.extend(wanted.iter().filter(lacks).map(|word| format!("{word:?} at {text:?}: {offered:?}")));
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn what_makes_no_sense_is_not_offered() {
    let mut client = Client::start(Memory::of([("/shop/rail.dryfit", "")]), &plain());
    client.open(TRAY, "");
    for (text, unwanted) in [
        ("|", "title"),
        ("material petg\nma|", "material"),
        ("material petg |", "abs"),
        ("sheet |", "max"),
        ("part tray {\n  arm jaw { length 18 mm }\n  arm low like |\n}", "low"),
        ("material petg\nlet slack = |", "petg"),
        ("let slack = |", "slack"),
    ] {
        let offered = offered(&mut client, text);
        assert!(!offered.iter().any(|one| one == unwanted), "{unwanted} at {text:?}: {offered:?}");
    }
}

#[test]
fn what_is_taken_replaces_what_was_written_of_it() {
    let mut client = Client::start(Memory::of([("/shop/rail.dryfit", "")]), &plain());
    client.open(TRAY, "");
    for (text, label, wanted) in [
        ("mat|", "material", "material"),
        ("permit thin-w|", "thin-wall", "permit thin-wall"),
        ("permit wl|", "thin-wall", "permit thin-wall"),
        ("with \"ra|", "\"rail.dryfit\"", "with \"rail.dryfit\""),
        ("part p { up +|", "+z", "part p { up +z"),
        ("service { temperature 20d|", "degC", "service { temperature 20degC"),
        (
            "part p { wall w { thickness 2 mm } }\npermit thin-wall on p.|",
            "w",
            "part p { wall w { thickness 2 mm } }\npermit thin-wall on p.w",
        ),
    ] {
        let items = items(&mut client, text);
        let item = items.iter().find(|item| item["label"] == label).unwrap_or_else(|| panic!("{label} at {text:?}"));
        let whole = super::applied(&text.replace('|', ""), &json!([item["textEdit"]]));
        assert_eq!(whole, wanted);
    }
}
