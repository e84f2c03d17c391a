//! What could be written where the cursor is, also on a line that is not finished.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::look::Look;
use super::server::At;
use crate::model::function::BASIC;
use crate::model::{FeatureId, Model};
use crate::quantity::UNITS;
use crate::report::reference;
use crate::vocabulary::{Act, Block, Field, FieldKind, Naming};

/// Kinds of what is offered, as the protocol numbers them.
const FUNCTION: u8 = 3;
const FIELD: u8 = 5;
const VARIABLE: u8 = 6;
const CLASS: u8 = 7;
const UNIT: u8 = 11;
const VALUE: u8 = 12;
const KEYWORD: u8 = 14;
const FILE: u8 = 17;

/// The line up to the cursor, and what it stands in.
struct Half<'t> {
    /// The statement so far.
    words: &'t str,
    /// The words of the blocks around it, outer first.
    blocks: Vec<&'t str>,
    /// The words that the innermost block begins its statements with already.
    given: Vec<&'t str>,
    byte: usize,
}

/// `shape`: whether places to fill in can be left, and whether documentation may have marks.
pub(super) fn completion(look: &Look, at: &At, shape: (bool, bool)) -> Value {
    let Some(position) = at.position else { return json!([]) };
    let Some(half) = half(look.text, look.lines.byte(position)) else { return json!([]) };
    let library = look.analysis.library;
    let vocabulary = &library.vocabulary;
    let outer = half.blocks.iter().rev().find_map(|word| vocabulary.block(word)).unwrap_or(vocabulary.sheet());
    let mut words = half.words.split_whitespace();
    let head = words.next().unwrap_or_default();
    if half.words.trim_start() == head {
        return Value::Array(beginnings(look, outer, &half, shape));
    }
    let rest = half.words.trim_start()[head.len()..].trim_start();
    Value::Array(match (outer.field(head).filter(|_| head != "let"), vocabulary.block(head)) {
        (Some(field), _) => values(look, field, &half, rest),
        (None, Some(block)) => in_first_line(look, block, &half, rest),
        (None, None) => calculation(look, &half, rest),
    })
}

/// The statement that a byte is in, by braces, line ends and `;`; `None` in a comment.
fn half(text: &str, byte: usize) -> Option<Half<'_>> {
    let mut blocks: Vec<(&str, Vec<&str>)> = vec![("", Vec::new())];
    let (mut from, mut quoted, mut comment) = (0, false, false);
    let head = |part: &'_ str| part.split_whitespace().next().map(str::len);
    for (at, character) in text[..byte].char_indices() {
        let ends = matches!(character, '\n' | ';' | '{' | '}') && !(quoted || comment) || character == '\n';
        if ends {
            let part = &text[from..at];
            let start = from + (part.len() - part.trim_start().len());
            let word = &text[start..start + head(part).unwrap_or(0)];
            if !word.is_empty()
                && let Some((_, given)) = blocks.last_mut()
            {
                given.push(word);
            }
            match character {
                '{' => blocks.push((word, Vec::new())),
                '}' if blocks.len() > 1 => drop(blocks.pop()),
                _ => {}
            }
            (from, quoted, comment) = (at + character.len_utf8(), false, false);
        } else if character == '"' && !comment {
            quoted = !quoted;
        } else if character == '#' && !quoted {
            comment = true;
        }
    }
    if comment {
        return None;
    }
    let given = blocks.last().map(|(_, given)| given.clone()).unwrap_or_default();
    Some(Half {
        words: &text[from..byte],
        blocks: blocks.into_iter().skip(1).map(|(word, _)| word).collect(),
        given,
        byte,
    })
}

/// What a statement can begin with: the fields that are not given yet, required ones first, and blocks.
fn beginnings(look: &Look, outer: &Block, half: &Half, (snippets, documented): (bool, bool)) -> Vec<Value> {
    let vocabulary = &look.analysis.library.vocabulary;
    let open = outer.fields.iter().filter(|field| !half.given.contains(&field.name.as_str()));
    let mut items: Vec<Value> = open
        .map(|field| {
            let example = field.kind.example().unwrap_or_default();
            let text = if snippets && !example.is_empty() { format!("{} ${{1:{}}}", field.name, escaped(&example)) } else { field.name.to_string() };
            let needed = if field.required { "required; " } else { "" };
            json!({
                "label": field.name.as_str(), "kind": FIELD, "detail": format!("{needed}{}", field.kind.describe()),
                "documentation": field.doc.as_str(), "insertText": text, "insertTextFormat": if snippets { 2 } else { 1 },
                "sortText": format!("{}{}", if field.required { '0' } else { '1' }, field.name.as_str()),
            })
        })
        .collect();
    let named = if outer.name.is_empty() { "sheet" } else { outer.name.as_str() };
    for block in vocabulary.blocks_in(named).filter(|block| block.act != Act::Binds) {
        let name = if block.naming == Naming::Required { " ${1:name}" } else { "" };
        let text = match (snippets, block.fields.is_empty() || block.profile.is_some()) {
            (true, false) if block.act == Act::Holds => format!("{}{name} {{\n\t$0\n}}", block.name),
            _ => block.name.to_string(),
        };
        let documentation = match documented {
            true => json!({ "kind": "markdown", "value": reference::of_block(block) }),
            false => json!(block.doc.as_str()),
        };
        items.push(json!({
            "label": block.name.as_str(), "kind": CLASS, "detail": block.doc.as_str(), "documentation": documentation,
            "insertText": text, "insertTextFormat": if snippets { 2 } else { 1 }, "sortText": format!("2{}", block.name.as_str()),
        }));
    }
    if named == "sheet" {
        items.push(json!({ "label": "let", "kind": KEYWORD, "detail": "a name for a value", "sortText": "3let" }));
    }
    items
}

/// What stands for itself in a place to fill in.
fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace('$', "\\$").replace('}', "\\}")
}

fn simple(label: &str, kind: u8, detail: &str) -> Value {
    json!({ "label": label, "kind": kind, "detail": detail })
}

/// What a field can be given.
fn values(look: &Look, field: &Field, half: &Half, rest: &str) -> Vec<Value> {
    let library = look.analysis.library;
    let words = |words: &[&str]| words.iter().map(|word| simple(word, VALUE, "")).collect::<Vec<_>>();
    match &field.kind {
        FieldKind::Flag => words(&["yes", "no"]),
        FieldKind::Word(known) => known.iter().map(|word| simple(word, VALUE, "")).collect(),
        FieldKind::Direction => words(&["+x", "-x", "+y", "-y", "+z", "-z"]),
        FieldKind::Rule => library.rules.iter().map(|rule| simple(&rule.name, VALUE, &rule.title)).collect(),
        FieldKind::Feature => features(look),
        FieldKind::Quantity(unit) => {
            let dimension = unit.map(|unit| unit.dimension);
            let mut items = calculation(look, half, rest);
            if rest.ends_with(|c: char| c.is_ascii_digit() || c == ' ') && rest.contains(|c: char| c.is_ascii_digit()) {
                let units = UNITS.iter().filter(|unit| Some(unit.dimension) == dimension);
                items.splice(0..0, units.map(|unit| simple(unit.name, UNIT, "")));
            }
            items
        }
        _ => calculation(look, half, rest),
    }
}

/// What stands behind a block's word: a profile, a rule with a feature, another sheet, a feature to copy.
fn in_first_line(look: &Look, block: &Block, half: &Half, rest: &str) -> Vec<Value> {
    let vocabulary = &look.analysis.library.vocabulary;
    if let Some(section) = &block.profile {
        let known = vocabulary.profiles.get(section).into_iter().flatten();
        return known.map(|(name, profile)| simple(name, VALUE, &profile.about)).collect();
    }
    if block.act == Act::Permits && !rest.contains(' ') {
        return look.analysis.library.rules.iter().map(|rule| simple(&rule.name, VALUE, &rule.title)).collect();
    }
    if block.act == Act::Permits {
        let on = rest.split_whitespace().nth(1) == Some("on");
        return if on { features(look) } else { vec![simple("on", KEYWORD, "the feature")] };
    }
    if block.act == Act::Imports {
        return sheets(look);
    }
    let mut items = Vec::new();
    if rest.split_whitespace().any(|word| word == "like") {
        items.extend(features(look));
    } else if !rest.is_empty() && rest.ends_with(' ') {
        items.push(simple("like", KEYWORD, "a copy of another feature, with changes"));
    }
    if let Some(field) = block.fields.iter().find(|field| field.head == crate::vocabulary::Head::Next) {
        items.extend(values(look, field, half, rest));
    }
    items
}

/// The features of the sheet and of what it uses, by their paths.
fn features(look: &Look) -> Vec<Value> {
    let model = &look.analysis.model;
    let named = model.ids().filter(|(id, feature)| *id != Model::SHEET && feature.block.act != Act::Permits);
    named.map(|(id, feature)| simple(&model.path(id), VARIABLE, &feature.block.name)).collect()
}

/// Names, what lies behind a dot, and functions.
fn calculation(look: &Look, half: &Half, rest: &str) -> Vec<Value> {
    let model = &look.analysis.model;
    let word_at = rest.rfind(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '.'))).map_or(0, |at| at + 1);
    let word = &rest[word_at.min(rest.len())..];
    if let Some((path, _)) = word.rsplit_once('.') {
        return behind(model, path);
    }
    let mut items: Vec<Value> = Vec::new();
    for (id, feature) in model.ids() {
        let is_near = feature.parent == Some(Model::SHEET) && (feature.name_span.end as usize) != half.byte;
        if is_near && !matches!(feature.block.act, Act::Permits | Act::Imports | Act::Describes) {
            let value = (feature.block.act == Act::Binds)
                .then(|| super::hover::values(model, id, &feature.fields[0]))
                .flatten();
            items.push(simple(&feature.name, VARIABLE, &value.unwrap_or_else(|| feature.block.name.to_string())));
        }
    }
    items.extend(BASIC.iter().map(|function| simple(function.name, FUNCTION, function.doc)));
    items
}

/// The fields and features in what a path names.
fn behind(model: &Model, path: &str) -> Vec<Value> {
    let Some((id, feature)) = model.ids().find(|(id, _)| *id != Model::SHEET && model.path(*id) == path) else {
        return Vec::new();
    };
    let fields = feature.fields.iter().filter(|field| field.written.is_some() || field.about.default.is_some());
    let value = |field: &crate::model::Field| super::hover::values(model, id, field).unwrap_or_default();
    let inner = feature.children.iter().map(|child: FeatureId| model.feature(child));
    let inner = inner.map(|child| simple(&child.name, VARIABLE, &child.block.name));
    fields.map(|field| simple(&field.name, FIELD, &value(field))).chain(inner).collect()
}

/// The other sheets of the folder.
fn sheets(look: &Look) -> Vec<Value> {
    let own = look.analysis.sources.get(super::look::OWN).path.clone();
    let Some(folder) = own.as_deref().and_then(Path::parent) else { return Vec::new() };
    let entries = look.files.list(folder).unwrap_or_default().into_iter().map(|entry| folder.join(entry.name));
    let is_sheet = |path: &PathBuf| path.extension().is_some_and(|ending| ending == crate::workspace::ENDING);
    let others = entries.filter(|path| is_sheet(path) && Some(path) != own.as_ref());
    let mut names: Vec<String> = others.filter_map(|path| Some(path.file_name()?.to_str()?.to_owned())).collect();
    names.sort();
    names.iter().map(|name| simple(&format!("\"{name}\""), FILE, "another sheet")).collect()
}

/// What the function around the cursor takes.
pub(super) fn signature(look: &Look, at: &At) -> Option<Value> {
    let half = half(look.text, look.lines.byte(at.position?))?;
    let mut depth = 0_usize;
    let open = half.words.char_indices().rev().find_map(|(at, character)| match character {
        ')' => {
            depth += 1;
            None
        }
        '(' if depth == 0 => Some(at),
        '(' => {
            depth -= 1;
            None
        }
        _ => None,
    })?;
    let before = half.words[..open].trim_end();
    let start = before.rfind(|c: char| !(c.is_alphanumeric() || c == '-')).map_or(0, |at| at + 1);
    let function = crate::model::function::named(&before[start..])?;
    let label = format!("{}({})", function.name, function.takes);
    Some(json!({ "signatures": [{ "label": label, "documentation": function.doc }], "activeSignature": 0 }))
}
