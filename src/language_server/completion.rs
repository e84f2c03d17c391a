//! What could be written where the cursor is, also on a line that is not finished.

use std::path::Path;

use serde_json::{Value, json};

use super::half::Half;
use super::look::{Look, OWN};
use super::offers::{CLASS, FIELD, KEYWORD, in_first_line, of_binding, values};
use super::requests::At;
use crate::report::reference;
use crate::vocabulary::{Act, Block, Field, Naming};

/// `shape`: whether places to fill in can be left, and whether documentation may have marks.
pub(super) fn completion(look: &Look, at: &At, shape: (bool, bool)) -> Value {
    let Some(position) = at.position else { return json!([]) };
    let Some(half) = Half::at(look.text, look.lines.byte(position)) else { return json!([]) };
    let vocabulary = &look.analysis.library.vocabulary;
    let known = half.blocks.iter().rev().find_map(|block| vocabulary.block(block.word));
    let outer = known.unwrap_or(vocabulary.sheet());
    let statement = half.words.trim_start();
    let head = statement.split_whitespace().next().unwrap_or_default();
    if statement == head {
        return placed(look, &half, beginnings(look, outer, &half, shape));
    }
    let rest = statement[head.len()..].trim_start();
    let field = outer.field(head).filter(|_| !half.blocks.is_empty());
    let offered = match (field, vocabulary.block(head), &outer.open) {
        (Some(field), ..) => values(look, field, &half, rest),
        (None, Some(block), _) if block.act == Act::Binds => of_binding(look, &half, rest),
        (None, Some(block), _) => in_first_line(look, block, &half, rest),
        (None, None, Some(open)) => values(look, open, &half, rest),
        (None, None, None) => Vec::new(),
    };
    placed(look, &half, offered)
}

/// Items with the stretch that they take the place of, the same for all: as much as is written of any of them already,
/// or the word at the cursor. Left to themselves, editors differ in what they take for a word.
fn placed(look: &Look, half: &Half, mut items: Vec<Value>) -> Value {
    let written = half.words;
    let begun = |item: &Value| {
        let label = item["label"].as_str().unwrap_or_default();
        let mut ends = label.char_indices().map(|(at, c)| at + c.len_utf8()).rev();
        ends.find(|end| written.ends_with(&label[..*end]))
    };
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_');
    let word = &written[written.trim_end_matches(is_word).len()..];
    let word = word.trim_start_matches(|c: char| !c.is_alphabetic());
    let taken = items.iter().filter_map(begun).fold(word.len(), usize::max);
    let range = look.lines.stretch(half.byte - taken..half.byte);
    for (order, item) in items.iter_mut().filter_map(Value::as_object_mut).enumerate() {
        item.entry("sortText").or_insert_with(|| json!(format!("{order:03}")));
        let text = item.remove("insertText").or_else(|| item.get("label").cloned());
        item.insert("textEdit".into(), json!({ "range": range, "newText": text }));
    }
    Value::Array(items)
}

/// What a statement can begin with: the fields that are not given yet, required ones first, and blocks.
fn beginnings(look: &Look, outer: &Block, half: &Half, (snippets, documented): (bool, bool)) -> Vec<Value> {
    let vocabulary = &look.analysis.library.vocabulary;
    // A sheet's own fields are given in its first line.
    let is_top = half.blocks.is_empty();
    let open = outer.fields.iter().filter(|field| !is_top && !half.given.contains(&field.name.as_str()));
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
    if let Some(open) = &outer.open {
        items.push(example_of(open, snippets));
    }
    let named = if is_top { "sheet" } else { outer.name.as_str() };
    let is_left =
        |block: &&Block| block.act != Act::Binds && !(block.single && half.given.contains(&block.name.as_str()));
    // In notes, what is printed is in the sheet that they belong to.
    let is_notes = look.analysis.sources.get(OWN).path.as_deref().is_some_and(is_notes);
    let fits = |block: &&Block| !is_top || block.in_notes == is_notes;
    for (order, block) in vocabulary.blocks_in(named).filter(is_left).filter(fits).enumerate() {
        let name = if block.naming == Naming::Required { " ${1:name}" } else { "" };
        let text = match (snippets, block.fields.is_empty() || block.profile.is_some()) {
            (true, false) if block.act == Act::Holds => format!("{}{name} {{\n\t$0\n}}", block.name),
            _ => block.name.to_string(),
        };
        let documentation = if documented {
            json!({ "kind": "markdown", "value": reference::of_block(block) })
        } else {
            json!(block.doc.as_str())
        };
        items.push(json!({
            "label": block.name.as_str(), "kind": CLASS, "detail": block.doc.as_str(), "documentation": documentation,
            "insertText": text, "insertTextFormat": if snippets { 2 } else { 1 }, "sortText": format!("2{order:03}"),
        }));
    }
    if is_top {
        items.push(json!({ "label": "let", "kind": KEYWORD, "detail": "a name for a value", "sortText": "3let" }));
    }
    items
}

fn is_notes(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == crate::notes::ENDING)
}

/// A dimension of any name, as it is measured.
fn example_of(open: &Field, snippets: bool) -> Value {
    let text =
        if snippets { "${1:width} measured ${2:2.02, 1.98, 2.05} mm" } else { "width measured 2.02, 1.98, 2.05 mm" };
    json!({
        "label": "width measured 2.02, 1.98, 2.05 mm", "kind": FIELD, "detail": open.doc.as_str(),
        "insertText": text, "insertTextFormat": if snippets { 2 } else { 1 },
    })
}

/// What stands for itself in a place to fill in.
fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace('$', "\\$").replace('}', "\\}")
}

/// What the function around the cursor takes.
pub(super) fn signature(look: &Look, at: &At) -> Option<Value> {
    let half = Half::at(look.text, look.lines.byte(at.position?))?;
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
