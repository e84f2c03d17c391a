//! The outline of a sheet: its blocks, where they fold, and what encloses a place.

use serde_json::{Value, json};

use super::look::{Look, OWN};
use super::requests::At;
use super::spot::tree;
use crate::model::{FeatureId, Model};
use crate::source::Span;
use crate::syntax::tree::{Body, Clause, Statement};
use crate::vocabulary::Act;

/// Kinds of symbols as the protocol numbers them.
const STRUCT: u8 = 23;
const CONSTANT: u8 = 14;
const OBJECT: u8 = 19;

/// The blocks and named values that the sheet itself writes, each with those in it.
pub(super) fn symbols(look: &Look) -> Value {
    let ends = blocks(&tree(look), look.text);
    Value::Array(children(look, Model::SHEET, &ends))
}

fn children(look: &Look, outer: FeatureId, blocks: &[(Span, usize)]) -> Vec<Value> {
    let model = &look.analysis.model;
    let own = model.feature(outer).children.iter().map(|id| (id, model.feature(id)));
    let own = own.filter(|(_, feature)| feature.span.source == OWN && !feature.imported && feature.span.end > 0);
    let shown = |(id, feature): (FeatureId, &crate::model::Feature)| {
        let end =
            blocks.iter().find(|(span, _)| *span == feature.span).map_or(feature.span.end as usize, |(_, end)| *end);
        let name = if feature.name.is_empty() { feature.block.name.to_string() } else { feature.name.clone() };
        let whole = Span { end: u32::try_from(end).unwrap_or(feature.span.end), ..feature.span };
        let is_inside = whole.start <= feature.name_span.start && feature.name_span.end <= whole.end;
        let kind = match feature.block.act {
            Act::Binds => CONSTANT,
            _ if feature.block.drawn => STRUCT,
            _ => OBJECT,
        };
        json!({
            "name": name,
            "detail": feature.block.name.as_str(),
            "kind": kind,
            "range": look.stretch(whole),
            "selectionRange": look.stretch(if is_inside { feature.name_span } else { whole }),
            "children": children(look, id, blocks),
        })
    };
    own.map(shown).collect()
}

/// Every block with braces: its first line, and the byte after its closing brace.
fn blocks(body: &Body, text: &str) -> Vec<(Span, usize)> {
    let mut found = Vec::new();
    each_clause(body, &mut |clause| {
        if clause.body.is_some() {
            found.push((clause.span, closing(text, clause.span.end as usize)));
        }
    });
    found
}

pub(super) fn each_clause<'b>(body: &'b Body, visit: &mut impl FnMut(&'b Clause)) {
    for statement in &body.statements {
        if let Statement::Clause(clause) = statement {
            visit(clause);
            if let Some(inside) = &clause.body {
                each_clause(inside, visit);
            }
        }
    }
}

/// Behind the brace that closes a block whose first line ends at a byte: braces in texts and comments are none.
fn closing(text: &str, from: usize) -> usize {
    let (mut depth, mut quoted, mut comment) = (0_usize, false, false);
    for (at, byte) in text.bytes().enumerate().skip(from) {
        match byte {
            b'\n' | b'\r' => (quoted, comment) = (false, false),
            _ if comment => {}
            b'"' => quoted = !quoted,
            _ if quoted => {}
            b'#' => comment = true,
            b'{' => depth += 1,
            b'}' if depth <= 1 => return at + 1,
            b'}' => depth -= 1,
            _ => {}
        }
    }
    text.len()
}

/// Where blocks of several lines fold.
pub(super) fn folds(look: &Look) -> Value {
    let lines = |(span, end): (Span, usize)| (look.lines.line_of(span.start as usize), look.lines.line_of(end));
    let folds = blocks(&tree(look), look.text).into_iter().map(lines).filter(|(start, end)| start < end);
    folds.map(|(start, end)| json!({ "startLine": start, "endLine": end - 1 })).collect()
}

/// What encloses each place, from the word outward.
pub(super) fn selections(look: &Look, at: &At) -> Value {
    let tree = tree(look);
    let blocks = blocks(&tree, look.text);
    let mut spans: Vec<(usize, usize)> = blocks.iter().map(|(span, end)| (span.start as usize, *end)).collect();
    each_clause(&tree, &mut |clause| {
        let values = clause.values.iter().map(|value| value.span);
        spans
            .extend(values.chain([clause.span, clause.head.span]).map(|span| (span.start as usize, span.end as usize)));
    });
    spans.push((0, look.text.len()));
    spans.sort_by_key(|(start, end)| std::cmp::Reverse(end - start));
    spans.dedup();
    let around = |byte: usize| {
        let enclosing = spans.iter().filter(|(start, end)| *start <= byte && byte <= *end);
        enclosing.fold(Value::Null, |outer, (start, end)| {
            let range = look.lines.stretch(*start..*end);
            if outer.is_null() { json!({ "range": range }) } else { json!({ "range": range, "parent": outer }) }
        })
    };
    at.positions.iter().map(|position| around(look.lines.byte(*position))).collect()
}
