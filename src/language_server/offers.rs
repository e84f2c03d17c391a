//! What a field can be given, and what follows a block's word.

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::half::{self, Half, after, is_whole, wants_unit, words};
use super::look::Look;
use crate::model::function::BASIC;
use crate::model::{FeatureId, Model};
use crate::quantity::{Dimension, UNITS};
use crate::vocabulary::{Act, Block, Field, FieldKind, Head, Naming};

/// Kinds of what is offered, as the protocol numbers them.
const FUNCTION: u8 = 3;
pub(super) const FIELD: u8 = 5;
const VARIABLE: u8 = 6;
pub(super) const CLASS: u8 = 7;
const UNIT: u8 = 11;
const VALUE: u8 = 12;
pub(super) const KEYWORD: u8 = 14;
const FILE: u8 = 17;

fn simple(label: &str, kind: u8, detail: &str) -> Value {
    json!({ "label": label, "kind": kind, "detail": detail })
}

fn keywords(words: &[(&str, &str)]) -> Vec<Value> {
    words.iter().map(|(word, detail)| simple(word, KEYWORD, detail)).collect()
}

/// What a field can be given.
pub(super) fn values(look: &Look, field: &Field, half: &Half, rest: &str) -> Vec<Value> {
    let library = look.analysis.library;
    let words = |words: &[&str]| words.iter().map(|word| simple(word, VALUE, "")).collect::<Vec<_>>();
    match &field.kind {
        FieldKind::Flag => words(&["yes", "no"]),
        FieldKind::Word(known) if known.is_empty() => sizes(look, field),
        FieldKind::Word(known) => known.iter().map(|word| simple(word, VALUE, "")).collect(),
        FieldKind::Direction => direction(rest),
        FieldKind::Text => vec![simple("\"like this\"", VALUE, &field.doc)],
        FieldKind::Rule => library.rules.iter().map(|rule| simple(&rule.name, VALUE, &rule.title)).collect(),
        FieldKind::Feature(kinds) => {
            let model = &look.analysis.model;
            let all = features(look, |id| kinds.is_empty() || kinds.contains(&model.feature(id).block.name));
            in_path(all, half::words(rest).1)
        }
        FieldKind::Size(unit) => size(look, half, rest, unit.dimension),
        FieldKind::Place(unit) => number(look, half, rest, |dimension| unit.dimension == dimension),
        FieldKind::Quantity(unit) => {
            number(look, half, rest, |dimension| unit.is_some_and(|unit| unit.dimension == dimension))
        }
        FieldKind::Dimension => measured(look, half, rest),
        FieldKind::Condition | FieldKind::Any => number(look, half, rest, |_| true),
    }
}

/// Paths as they go on after what is written of them: editors take what follows a dot for a word of its own.
fn in_path(mut items: Vec<Value>, written: &str) -> Vec<Value> {
    let Some((outer, _)) = written.rsplit_once('.') else { return items };
    items.retain_mut(|item| {
        let label = item["label"].as_str().unwrap_or_default();
        let inner = label.strip_prefix(outer).and_then(|rest| rest.strip_prefix('.')).map(str::to_owned);
        inner.is_some_and(|inner| {
            item["label"] = json!(inner);
            true
        })
    });
    items
}

/// The sizes of the table that a field names.
fn sizes(look: &Look, field: &Field) -> Vec<Value> {
    let table = field.sizes.as_deref().and_then(|table| look.analysis.library.vocabulary.tables.get(table));
    table.into_iter().flat_map(|table| &table.rows).map(|(row, _)| simple(row, VALUE, &field.doc)).collect()
}

fn direction(rest: &str) -> Vec<Value> {
    let (finished, _) = words(rest);
    match finished.as_slice() {
        [] | [.., "toward"] => {
            ["+x", "-x", "+y", "-y", "+z", "-z"].iter().map(|word| simple(word, VALUE, "")).collect()
        }
        [_] => keywords(&[("tilted", "by an angle toward another direction")]),
        [_, "tilted", .., unit] if unit.starts_with(char::is_alphabetic) => keywords(&[("toward", "a direction")]),
        _ if wants_unit(rest) => units(|dimension| dimension == Dimension::ANGLE),
        _ => Vec::new(),
    }
}

fn units(is_meant: impl Fn(Dimension) -> bool) -> Vec<Value> {
    let meant = UNITS.iter().filter(|unit| is_meant(unit.dimension));
    meant.map(|unit| simple(unit.name, UNIT, &unit.dimension.describe())).collect()
}

fn size(look: &Look, half: &Half, rest: &str, dimension: Dimension) -> Vec<Value> {
    let mut items = if wants_unit(rest) { units(|unit| unit == dimension) } else { Vec::new() };
    let (finished, open) = words(rest);
    let is_between = finished.last().is_some_and(|last| *last != "x") && matches!(open, "" | "x");
    let extents = finished.iter().filter(|word| **word == "x").count();
    if extents < 2 && (is_between || wants_unit(rest)) {
        items.extend(keywords(&[("x", "the next extent")]));
    }
    items.extend(calculation(look, half, rest));
    items
}

/// A number with a unit, or a calculation that comes to one.
fn number(look: &Look, half: &Half, rest: &str, is_meant: impl Fn(Dimension) -> bool) -> Vec<Value> {
    if wants_unit(rest) {
        let mut items = units(is_meant);
        items.extend(keywords(&[("to", "the upper bound")]));
        items.extend(calculation(look, half, rest));
        return items;
    }
    if is_whole(rest) {
        return keywords(&[("±", "its tolerance"), ("+", "more"), ("-", "less"), ("*", "times"), ("/", "divided by")]);
    }
    calculation(look, half, rest)
}

/// What was measured or bounded, or is worked out.
fn measured(look: &Look, half: &Half, rest: &str) -> Vec<Value> {
    let (finished, _) = words(rest);
    let instruments = || {
        let known = look.analysis.library.vocabulary.profiles.get("instruments").into_iter().flatten();
        known.map(|(name, profile)| simple(name, VALUE, &profile.about)).collect()
    };
    match finished.as_slice() {
        [.., "by"] => instruments(),
        _ if wants_unit(rest) => units(|_| true),
        ["measured", ..] if is_whole(rest) => {
            keywords(&[("by", "the instrument that it was read with"), ("±", "its tolerance")])
        }
        ["between", ..] if is_whole(rest) && !finished.contains(&"and") => keywords(&[("and", "the upper bound")]),
        ["measured", ..] => Vec::new(),
        [] => {
            let mut items = keywords(&[
                ("measured", "readings, with commas between: 2.02, 1.98, 2.05 mm"),
                ("between", "two bounds: 14.6 mm and 15.0 mm"),
                ("at least", "one bound, from below"),
                ("at most", "one bound, from above"),
            ]);
            items.extend(calculation(look, half, rest));
            items
        }
        _ => number(look, half, rest, |_| true),
    }
}

/// What follows `let`: a name of one's own, `=`, and any value.
pub(super) fn of_binding(look: &Look, half: &Half, rest: &str) -> Vec<Value> {
    match rest.split_once('=') {
        Some((_, value)) => measured(look, half, value.trim_start()),
        None if rest.ends_with(' ') => keywords(&[("=", "what it is")]),
        None => Vec::new(),
    }
}

/// What follows a block's word: a profile, another sheet, a feature to copy, and the fields that go there.
pub(super) fn in_first_line(look: &Look, block: &Block, half: &Half, rest: &str) -> Vec<Value> {
    let (finished, open) = words(rest);
    if let Some(section) = &block.profile {
        let known = look.analysis.library.vocabulary.profiles.get(section).into_iter().flatten();
        let is_open = finished.is_empty();
        return known.filter(|_| is_open).map(|(name, profile)| simple(name, VALUE, &profile.about)).collect();
    }
    if block.act == Act::Imports {
        return sheets(look);
    }
    match finished.as_slice() {
        [.., "mirrored"] => return ["x", "y", "z"].iter().map(|axis| simple(axis, VALUE, "")).collect(),
        [.., "like"] => return copied(look, block, half),
        [.., "like", _] => return keywords(&[("mirrored", "turned into its image across the middle of its part")]),
        _ if finished.contains(&"like") => return Vec::new(),
        _ => {}
    }
    let headed = |head: Head| block.fields.iter().filter(move |field| field.head == head);
    let named = |word: &str| headed(Head::Named).find(|field| field.name == word);
    if let Some(field) = finished.last().and_then(|word| named(word)) {
        return values(look, field, half, open);
    }
    let is_named = block.naming != Naming::None;
    // What is worked out takes all that follows: `demand clip.size.z < 30 mm`.
    let is_worked_out = |field: &&Field| matches!(field.kind, FieldKind::Condition | FieldKind::Quantity(Some(_)));
    if let Some(field) = headed(Head::Next).next().filter(is_worked_out)
        && finished.len() >= usize::from(is_named)
    {
        return values(look, field, half, after(rest, usize::from(is_named)));
    }
    let pairs = finished.iter().filter(|word| named(word).is_some()).count();
    let placed = finished.len().saturating_sub(2 * pairs + usize::from(is_named));
    let mut items = Vec::new();
    if !is_named || !finished.is_empty() {
        items.extend(headed(Head::Next).nth(placed).into_iter().flat_map(|field| values(look, field, half, open)));
    }
    if !finished.is_empty() {
        let left = headed(Head::Named).filter(|field| !finished.contains(&field.name.as_str()));
        items.extend(left.map(|field| simple(&field.name, KEYWORD, &field.doc)));
        if is_named && block.act == Act::Holds {
            items.push(simple("like", KEYWORD, "a copy of another feature, with changes"));
        }
    }
    items
}

/// The features of a kind, those beside it by their names and all by their paths.
fn copied(look: &Look, block: &Block, half: &Half) -> Vec<Value> {
    let model = &look.analysis.model;
    let is_meant = |id: FeatureId| model.feature(id).block.name == block.name && !is_at(model, id, half);
    let mut items: Vec<Value> =
        nearby(model, half).into_iter().filter(|id| is_meant(*id)).map(|id| named(model, id)).collect();
    items.extend(features(look, is_meant));
    items
}

/// Whether a feature is the one that is being written.
fn is_at(model: &Model, id: FeatureId, half: &Half) -> bool {
    let span = model.feature(id).name_span;
    (half.byte.saturating_sub(half.words.len())..=half.byte).contains(&(span.start as usize))
}

fn named(model: &Model, id: FeatureId) -> Value {
    let feature = model.feature(id);
    let value =
        (feature.block.act == Act::Binds).then(|| super::hover::values(model, id, &feature.fields[0])).flatten();
    simple(&feature.name, VARIABLE, &value.unwrap_or_else(|| feature.block.name.to_string()))
}

/// The features that a name alone reaches: those in the blocks around, inner first, and those of the sheet.
fn nearby(model: &Model, half: &Half) -> Vec<FeatureId> {
    let at = |path: &String| model.ids().find(|(id, _)| *id != Model::SHEET && model.path(*id) == *path);
    let around = half.around();
    let around = around.iter().filter_map(at).map(|(id, _)| id).chain([Model::SHEET]);
    around.flat_map(|outer| model.feature(outer).children.iter()).filter(|id| is_of_use(model, *id)).collect()
}

/// Whether there is anything to name it for: it has a name, and is no profile, permit or other sheet.
fn is_of_use(model: &Model, id: FeatureId) -> bool {
    let feature = model.feature(id);
    let is_apart = matches!(feature.block.act, Act::Permits | Act::Imports | Act::Describes);
    !(is_apart || feature.block.profile.is_some() || feature.name.is_empty())
}

/// The features of the sheet and of what it uses, by their paths.
fn features(look: &Look, is_meant: impl Fn(FeatureId) -> bool) -> Vec<Value> {
    let model = &look.analysis.model;
    let meant = model.ids().filter(|(id, _)| *id != Model::SHEET && is_of_use(model, *id) && is_meant(*id));
    meant.map(|(id, feature)| simple(&as_written(&model.path(id)), VARIABLE, &feature.block.name)).collect()
}

/// A feature's path, or the title of a fit or stack in quotes, as a sheet says it.
pub(super) fn as_written(path: &str) -> String {
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    if path.chars().all(is_word) { path.to_owned() } else { format!("\"{path}\"") }
}

/// Names, what follows a dot, and functions.
fn calculation(look: &Look, half: &Half, rest: &str) -> Vec<Value> {
    let model = &look.analysis.model;
    let word_at = rest.rfind(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '.'))).map_or(0, |at| at + 1);
    let word = rest.get(word_at..).unwrap_or_default();
    if let Some((path, _)) = word.rsplit_once('.') {
        return behind(model, path, half);
    }
    let near = nearby(model, half).into_iter().filter(|id| !is_at(model, *id, half));
    let mut items: Vec<Value> = near.map(|id| named(model, id)).collect();
    items.extend(BASIC.iter().map(|function| simple(function.name, FUNCTION, function.doc)));
    items
}

/// The fields and features in what a path names, from the sheet or from the blocks around.
fn behind(model: &Model, path: &str, half: &Half) -> Vec<Value> {
    let around = half.around().into_iter().map(|outer| format!("{outer}.{path}"));
    let mut paths = around.chain([path.to_owned()]);
    let at = |path: &String| model.ids().find(|(id, _)| *id != Model::SHEET && model.path(*id) == *path);
    let Some((id, feature)) = paths.find_map(|path| at(&path)) else { return axes(model, path, half) };
    let fields = feature.fields.iter().filter(|field| field.written.is_some() || field.about.default.is_some());
    let value = |field: &crate::model::Field| super::hover::values(model, id, field).unwrap_or_default();
    let inner = feature.children.iter().map(|child: FeatureId| named(model, child));
    fields.map(|field| simple(&field.name, FIELD, &value(field))).chain(inner).collect()
}

/// The axes of a path that names a size or place, of a feature or of a block around.
fn axes(model: &Model, path: &str, half: &Half) -> Vec<Value> {
    let (outer, last) = path.rsplit_once('.').unwrap_or(("", path));
    let inner = |block: String| if outer.is_empty() { block } else { format!("{block}.{outer}") };
    let paths: Vec<String> = half.around().into_iter().map(inner).chain([outer.to_owned()]).collect();
    let has_axes = |kind: &FieldKind| matches!(kind, FieldKind::Size(_) | FieldKind::Place(_));
    let is_meant = |(id, feature): &(FeatureId, &crate::model::Feature)| {
        let mut fields = feature.fields.iter();
        paths.contains(&model.path(*id)) && fields.any(|field| field.name == last && has_axes(&field.about.kind))
    };
    let axes: &[&str] = if model.ids().any(|found| is_meant(&found)) { &["x", "y", "z"] } else { &[] };
    axes.iter().map(|axis| simple(axis, FIELD, "the extent along this axis")).collect()
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
