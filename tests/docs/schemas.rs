//! The JSON schemas of settings, packs and reports, made from the types that read and write them: their fields, comments
//! and attributes. `tests/formats` holds real files against them.

mod source;
mod types;

use dryfit::rules::Library;
use serde_json::{Map, Value, json};

use super::assert_current;
use types::{Side, Types};

const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// The reports: file, function (for types inside one), type, what it is.
const REPORTS: [(&str, &str, &str, &str, &str); 13] = [
    ("mends", "src/report/mends.rs", "", "Run", "`dryfit mend --report json`"),
    ("ledger", "src/report/ledger.rs", "", "Document", "`dryfit ledger --report json`"),
    ("dimensions", "src/report/dimensions.rs", "", "Document", "`dryfit dimensions --report json`"),
    ("orient", "src/report/orient_json.rs", "orient_json", "Run", "`dryfit orient --report json`"),
    ("window", "src/report/window_json.rs", "sweep_json", "Document", "`dryfit window --report json`, one field"),
    (
        "window-of-two",
        "src/report/window_json.rs",
        "region_json",
        "Document",
        "`dryfit window --report json`, two fields",
    ),
    ("rules", "src/report/why.rs", "", "Document", "`dryfit why --report json`"),
    ("settings-report", "src/report/settings.rs", "", "Settled", "`dryfit settings --report json`"),
    ("checklist", "src/checklist/text.rs", "", "Document", "`dryfit checklist --report json`"),
    ("compare", "src/report/compare/json/shape.rs", "", "Document", "`dryfit compare --report json`"),
    (
        "compare-all",
        "src/report/compare/json/shape.rs",
        "",
        "Documents",
        "`dryfit compare --report json` of several sheets or a folder",
    ),
    ("learn", "src/report/learnt/json.rs", "", "Document", "`dryfit learn --report json`"),
    ("baseline", "src/report/machine/baseline.rs", "", "Written", "`dryfit inspect --output baseline=FILE`"),
];

fn written(name: &str, title: &str, mut schema: Map<String, Value>, types: &Types) {
    schema.insert("$schema".into(), DIALECT.into());
    schema.insert("title".into(), title.into());
    schema.insert("$defs".into(), types.definitions());
    let text = serde_json::to_string_pretty(&Value::Object(schema)).unwrap() + "\n";
    assert_current(&format!("schemas/{name}.schema.json"), &text);
}

fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        other => panic!("{other} is no object"),
    }
}

#[test]
fn the_schemas_of_reports_are_current() {
    for (name, file, function, root, title) in REPORTS {
        let mut types = Types::of(&[file, "src/report/json.rs", "src/report/numbers.rs"], Side::Written);
        let schema = object(types.whole(file, function, root));
        written(name, title, schema, &types);
    }
}

/// The findings' report is put together sheet by sheet.
#[test]
fn the_schema_of_findings_is_current() {
    let file = "src/report/json.rs";
    let mut types = Types::of(&[file, "src/report/numbers.rs"], Side::Written);
    let mut schema = object(types.whole(file, "", "Head"));
    for (field, of) in [("sheets", "Sheet"), ("unreadable", "Unreadable"), ("packs", "Entry")] {
        schema["properties"][field] = json!({ "type": "array", "items": types.reference(file, of) });
        schema["required"].as_array_mut().unwrap().push(field.into());
    }
    written("findings", "`dryfit inspect --report json`", schema, &types);
}

/// What a pack can hold; rules that there are already are named with what they can be changed to.
#[test]
fn the_schema_of_packs_is_current() {
    let file = "src/pack/schema/mod.rs";
    let mut types = Types::of(&[file], Side::Read);
    let schema = with_rules(object(types.whole(file, "", "RawPack")));
    written("pack", "A pack of dryfit", schema, &types);
}

#[test]
fn the_schema_of_settings_is_current() {
    let file = "src/pack/settings.rs";
    let mut types = Types::of(&[file], Side::Read);
    let mut schema = with_rules(object(types.whole(file, "", "Settings")));
    let folder = with_rules(object(types.whole(file, "", "FolderSettings")));
    let map = schema["properties"]["folders"].as_object_mut().unwrap();
    map.insert("additionalProperties".into(), Value::Object(folder));
    types.forget("FolderSettings");
    written("settings", "dryfit.yaml, the settings of a project", schema, &types);
}

/// Names every rule under `levels` and its limits under `limits`, with what they are without the settings.
fn with_rules(mut schema: Map<String, Value>) -> Map<String, Value> {
    let library = Library::built_in();
    let (mut levels, mut limits) = (Map::new(), Map::new());
    for rule in &library.rules {
        let title = format!("{} (default {})", rule.title, rule.worst());
        if !rule.caution {
            // A level can be lowered, not raised.
            let own = ["off", "note", "care", "stop"];
            let most = own.iter().position(|level| *level == rule.worst().to_string()).unwrap();
            levels.insert(rule.name.to_string(), json!({ "description": title, "enum": own[..=most] }));
        }
        let scalar = ["string", "number"];
        let limit = |limit: &dryfit::rules::Limit| {
            let description = format!("default {}; {}", limit.value.text, limit.source);
            (limit.name.to_string(), json!({ "description": description, "type": scalar }))
        };
        if !rule.limits.is_empty() {
            let own: Map<String, Value> = rule.limits.iter().map(limit).collect();
            let title = rule.title.to_string();
            limits.insert(
                rule.name.to_string(),
                json!({ "description": title, "type": "object", "properties": own, "additionalProperties": false }),
            );
        }
    }
    for (section, known, other) in [
        ("levels", levels, json!({ "enum": ["off", "note", "care", "stop"] })),
        ("limits", limits, json!({ "type": "object" })),
    ] {
        let map = schema["properties"][section].as_object_mut().unwrap();
        map.insert("properties".into(), Value::Object(known));
        map.insert("additionalProperties".into(), other);
    }
    schema
}
