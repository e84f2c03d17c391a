//! The types in a file of the program's own source, which the formatter has brought into one form: an attribute, a field
//! or a variant a line.

use std::path::Path;

/// A type with its fields or variants.
#[derive(Debug, Clone)]
pub struct Item {
    /// The function that it is declared in; empty outside of any.
    pub function: String,
    pub name: String,
    pub is_enum: bool,
    /// Its attributes for serde.
    pub serde: String,
    pub fields: Vec<Field>,
}

/// A field or variant.
#[derive(Debug, Clone)]
pub struct Field {
    pub name: String,
    /// As written; empty for variants.
    pub of: String,
    pub doc: String,
    pub serde: String,
}

/// The structs with named fields and the enums of plain words in a file.
pub fn items(file: &str) -> Vec<Item> {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).unwrap();
    let (mut items, mut open): (Vec<Item>, Option<(Item, usize)>) = (Vec::new(), None);
    let (mut function, mut doc, mut serde) = (String::new(), String::new(), String::new());
    for line in text.lines() {
        let (bare, indent) = (line.trim(), line.len() - line.trim_start().len());
        if let Some(words) = bare.strip_prefix("///") {
            let words = words.trim();
            doc.push_str(if doc.is_empty() || words.is_empty() { "" } else { " " });
            doc.push_str(words);
        } else if let Some(words) = bare.strip_prefix("#[serde(") {
            serde.push_str(words.trim_end_matches(")]"));
        } else if let Some((item, at)) = &mut open
            && indent > *at
        {
            if let Some(field) = field(bare, item.is_enum, &doc, &serde) {
                item.fields.push(field);
            }
            (doc, serde) = (String::new(), String::new());
        } else if !bare.starts_with("#[") {
            items.extend(open.take().map(|(item, _)| item));
            if indent == 0 && !bare.is_empty() && bare != "}" {
                function = name_after("fn ", bare).unwrap_or_default();
            }
            if let Some(mut item) = declared(bare) {
                item.function = if indent == 0 { String::new() } else { function.clone() };
                item.serde = std::mem::take(&mut serde);
                open = Some((item, indent));
            }
            (doc, serde) = (String::new(), String::new());
        }
    }
    items
}

fn declared(line: &str) -> Option<Item> {
    let is_enum = line.contains("enum ");
    let name = name_after(if is_enum { "enum " } else { "struct " }, line).filter(|_| line.ends_with('{'))?;
    Some(Item { function: String::new(), name, is_enum, serde: String::new(), fields: Vec::new() })
}

fn name_after(word: &str, line: &str) -> Option<String> {
    let rest = line.split_once(word).filter(|(before, _)| before.is_empty() || before.ends_with(' '))?.1;
    Some(rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect())
}

fn field(line: &str, is_enum: bool, doc: &str, serde: &str) -> Option<Field> {
    if line.starts_with("#[") || line.starts_with("//") {
        return None;
    }
    let line = line.trim_start_matches("pub ").trim_start_matches("pub(super) ");
    let (name, of) = if is_enum { (line.trim_end_matches(','), "") } else { line.split_once(": ")? };
    let name = name.trim_start_matches("r#").to_owned();
    Some(Field { name, of: of.trim_end_matches(',').to_owned(), doc: doc.to_owned(), serde: serde.to_owned() })
}

/// A type as written, taken apart: its last name and what it is made of. Lists go by `Vec`, tuples by `()`.
pub fn parts(of: &str) -> (String, Vec<String>) {
    let of = of.trim().trim_start_matches('&').trim();
    let of = of.strip_prefix("'a ").or_else(|| of.strip_prefix("'static ")).unwrap_or(of);
    if let Some(inner) = of.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        return ("()".into(), split(inner));
    }
    if let Some(inner) = of.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
        return ("Vec".into(), vec![inner.split("; ").next().unwrap().to_owned()]);
    }
    let (path, arguments) = match of.split_once('<') {
        Some((path, rest)) => (path, split(rest.strip_suffix('>').unwrap())),
        None => (of, Vec::new()),
    };
    let name = path.rsplit("::").next().unwrap().to_owned();
    (name, arguments.into_iter().filter(|argument| !argument.starts_with('\'')).collect())
}

/// At the commas that no bracket holds.
fn split(text: &str) -> Vec<String> {
    let (mut parts, mut depth) = (vec![String::new()], 0);
    for c in text.chars() {
        depth += i32::from(matches!(c, '<' | '(' | '[')) - i32::from(matches!(c, '>' | ')' | ']'));
        if c == ',' && depth == 0 {
            parts.push(String::new());
        } else {
            parts.last_mut().unwrap().push(c);
        }
    }
    parts.into_iter().map(|part| part.trim().to_owned()).filter(|part| !part.is_empty()).collect()
}
