//! Types of the program's own source as JSON schema.

use std::collections::BTreeMap;

use dryfit::pack::schema::{BASES, SURE};
use serde_json::{Map, Value, json};

use super::source::{Item, items, parts};

/// Which side of serde a type is looked at from.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// A file that people write: fields may be left out, and none be added.
    Read,
    /// What the program writes: all fields are there, and later versions may have more.
    Written,
}

/// File, function and name of a type.
type Key = (String, String, String);

/// The types of some files, and those that reports share.
pub struct Types {
    side: Side,
    /// The files in the order in which they are searched.
    files: Vec<String>,
    known: BTreeMap<Key, Item>,
    /// Definitions that are used, by name.
    used: BTreeMap<String, Value>,
}

const SHARED: [&str; 17] = [
    "src/checklist/part.rs",
    "src/checklist/row.rs",
    "src/checklist/sheet.rs",
    "src/measures/limits.rs",
    "src/pack/schema/mod.rs",
    "src/pack/schema/located.rs",
    "src/pack/schema/rule.rs",
    "src/pack/schema/word.rs",
    "src/quantity/input.rs",
    "src/report/advice.rs",
    "src/report/dimensions.rs",
    "src/report/mod.rs",
    "src/report/text_range.rs",
    "src/rules/advice.rs",
    "src/rules/basis.rs",
    "src/rules/finding.rs",
    "src/rules/task.rs",
];

impl Types {
    /// The types of these files and of the shared ones.
    pub fn of(files: &[&str], side: Side) -> Self {
        let files: Vec<String> = files.iter().chain(&SHARED).map(|file| (*file).to_owned()).collect();
        let mut known = BTreeMap::new();
        for file in &files {
            for item in items(file) {
                known.insert((file.clone(), item.function.clone(), item.name.clone()), item);
            }
        }
        Self { side, files, known, used: BTreeMap::new() }
    }

    /// A type written out.
    pub fn whole(&mut self, file: &str, function: &str, name: &str) -> Value {
        self.item(&(file.to_owned(), function.to_owned(), name.to_owned()))
    }

    /// A type by its name among the definitions.
    pub fn reference(&mut self, file: &str, name: &str) -> Value {
        self.named(&(file.to_owned(), String::new(), name.to_owned()))
    }

    /// The definitions that were named.
    pub fn definitions(&self) -> Value {
        Value::Object(self.used.clone().into_iter().collect())
    }

    /// Leaves a definition out that nothing names any more.
    pub fn forget(&mut self, name: &str) {
        self.used.remove(name);
    }

    fn item(&mut self, key: &Key) -> Value {
        let item = self.known.get(key).unwrap_or_else(|| panic!("{} has no type {}", key.0, key.2)).clone();
        let rename = quoted(&item.serde, "rename_all");
        if item.is_enum {
            let names: Vec<String> = item.fields.iter().map(|variant| case(&variant.name, rename)).collect();
            return json!({ "enum": names });
        }
        let (mut properties, mut required) = (Map::new(), Vec::new());
        self.fields(key, &item, &mut properties, &mut required);
        match self.side {
            Side::Read => json!({ "type": "object", "properties": properties, "additionalProperties": false }),
            Side::Written => json!({ "type": "object", "properties": properties, "required": required }),
        }
    }

    fn fields(&mut self, key: &Key, item: &Item, properties: &mut Map<String, Value>, required: &mut Vec<Value>) {
        let rename = quoted(&item.serde, "rename_all");
        for field in &item.fields {
            if field.serde == "skip" {
                continue;
            }
            if field.serde.contains("flatten") {
                let inner = self.find(key, &parts(&field.of).0);
                let item = self.known[&inner].clone();
                self.fields(&inner, &item, properties, required);
                continue;
            }
            let name = quoted(&field.serde, "rename").map_or_else(|| case(&field.name, rename), str::to_owned);
            let mut schema = self.of_type(key, &field.of);
            if self.side == Side::Read
                && let Some(words) = words(&name)
            {
                schema = json!({ "enum": words });
            }
            if !field.doc.is_empty() {
                schema["description"] = field.doc.clone().into();
            }
            if !field.serde.contains("skip_serializing_if") {
                required.push(name.clone().into());
            }
            properties.insert(name, schema);
        }
    }

    fn of_type(&mut self, key: &Key, of: &str) -> Value {
        let (name, inner) = parts(of);
        match name.as_str() {
            "()" => {
                let items: Vec<Value> = inner.iter().map(|one| self.of_type(key, one)).collect();
                json!({ "type": "array", "prefixItems": items, "minItems": items.len(), "maxItems": items.len() })
            }
            "Vec" => json!({ "type": "array", "items": self.of_type(key, &inner[0]) }),
            "Box" => self.of_type(key, &inner[0]),
            "str" | "String" | "Sentence" => json!({ "type": "string" }),
            "bool" => json!({ "type": "boolean" }),
            "usize" | "u32" => json!({ "type": "integer", "minimum": 0 }),
            "f64" => json!({ "type": "number" }),
            // Whatever YAML takes a plain value for, the program reads its text.
            "Text" => json!({ "type": ["string", "number", "boolean"] }),
            "ByLevel" => {
                let text = json!({ "type": "string" });
                let by_level = json!({ "stop": text, "care": text, "note": text });
                json!({ "anyOf": [text, { "type": "object", "properties": by_level, "additionalProperties": false }] })
            }
            "Entries" => {
                json!({ "type": ["object", "null"], "additionalProperties": self.of_type(key, &inner[0]) })
            }
            "Option" => {
                let schema = self.of_type(key, &inner[0]);
                json!({ "anyOf": [schema, { "type": "null" }] })
            }
            _ => {
                let found = self.find(key, &name);
                self.named(&found)
            }
        }
    }

    fn named(&mut self, key: &Key) -> Value {
        if !self.used.contains_key(&key.2) {
            self.used.insert(key.2.clone(), Value::Null);
            let schema = self.item(key);
            self.used.insert(key.2.clone(), schema);
        }
        json!({ "$ref": format!("#/$defs/{}", key.2) })
    }

    /// A type that is named in a function or file: of the same function, of the same file, or of any.
    fn find(&self, (file, function, _): &Key, name: &str) -> Key {
        let outside = |file: &String| (file.clone(), String::new(), name.to_owned());
        let own = [(file.clone(), function.clone(), name.to_owned()), outside(file)];
        let mut all = own.into_iter().chain(self.files.iter().map(outside));
        all.find(|key| self.known.contains_key(key))
            .unwrap_or_else(|| panic!("{file} names the type {name}, which no file has"))
    }
}

/// What a field of a pack can be, where only some words are meant.
fn words(name: &str) -> Option<&'static [&'static str]> {
    match name {
        "basis" => Some(&BASES),
        "sure" => Some(&SURE),
        "aspect" => Some(&["bed", "support", "strength"]),
        "reading" => Some(&["stop", "care", "note"]),
        _ => None,
    }
}

/// The value of a name in an attribute: `kebab-case` of `rename_all = "kebab-case"`.
fn quoted<'s>(serde: &'s str, name: &str) -> Option<&'s str> {
    serde.split_once(&format!("{name} = \""))?.1.split('"').next()
}

fn case(name: &str, rename: Option<&str>) -> String {
    match rename {
        Some("kebab-case") => {
            let mut out = String::new();
            for (index, c) in name.chars().enumerate() {
                if c.is_uppercase() && index > 0 {
                    out.push('-');
                }
                out.extend(c.to_lowercase());
            }
            out.replace('_', "-")
        }
        Some("lowercase") => name.to_lowercase(),
        Some(other) => panic!("no way to rename to {other}"),
        None => name.to_owned(),
    }
}
