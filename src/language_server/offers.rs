//! What a field can be given, and what follows a block's word.

mod features;

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::half::{self, Half, after, is_whole, wants_unit, words};
use super::look::Look;
use crate::quantity::{Dimension, UNITS};
use crate::vocabulary::{Act, Block, Field, FieldKind, Head, Naming};
pub(super) use features::as_written;
use features::{calculation, copied, features, in_path};

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

/// The sizes of the table that a field names.
fn sizes(look: &Look, field: &Field) -> Vec<Value> {
    let table = field.sizes.as_deref().and_then(|table| look.analysis.library.vocabulary.tables.get(table));
    table.into_iter().flat_map(|table| &table.rows).map(|row| simple(row, VALUE, &field.doc)).collect()
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
