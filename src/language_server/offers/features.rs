//! Features and their fields, by name and by path.

use serde_json::{Value, json};

use super::{FIELD, FUNCTION, VARIABLE, simple};
use crate::language_server::half::Half;
use crate::language_server::hover;
use crate::language_server::look::Look;
use crate::model::function::BASIC;
use crate::model::{Feature, FeatureId, Field, Model};
use crate::vocabulary::{Act, Block, FieldKind};

/// The features of a kind, those beside it by their names and all by their paths.
pub(super) fn copied(look: &Look, block: &Block, half: &Half) -> Vec<Value> {
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
    let value = (feature.block.act == Act::Binds).then(|| hover::values(model, id, &feature.fields[0])).flatten();
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
pub(super) fn features(look: &Look, is_meant: impl Fn(FeatureId) -> bool) -> Vec<Value> {
    let model = &look.analysis.model;
    let meant = model.ids().filter(|(id, _)| *id != Model::SHEET && is_of_use(model, *id) && is_meant(*id));
    meant.map(|(id, feature)| simple(&as_written(&model.path(id)), VARIABLE, &feature.block.name)).collect()
}

/// A feature's path, or the title of a fit or stack in quotes, as a sheet says it.
pub(in crate::language_server) fn as_written(path: &str) -> String {
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    if path.chars().all(is_word) { path.to_owned() } else { format!("\"{path}\"") }
}

/// Names, what follows a dot, and functions.
pub(super) fn calculation(look: &Look, half: &Half, rest: &str) -> Vec<Value> {
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
    let value = |field: &Field| hover::values(model, id, field).unwrap_or_default();
    let inner = feature.children.iter().map(|child: FeatureId| named(model, child));
    fields.map(|field| simple(&field.name, FIELD, &value(field))).chain(inner).collect()
}

/// The axes of a path that names a size or place, of a feature or of a block around.
fn axes(model: &Model, path: &str, half: &Half) -> Vec<Value> {
    let (outer, last) = path.rsplit_once('.').unwrap_or(("", path));
    let inner = |block: String| if outer.is_empty() { block } else { format!("{block}.{outer}") };
    let paths: Vec<String> = half.around().into_iter().map(inner).chain([outer.to_owned()]).collect();
    let has_axes = |kind: &FieldKind| matches!(kind, FieldKind::Size(_) | FieldKind::Place(_));
    let is_meant = |(id, feature): &(FeatureId, &Feature)| {
        let mut fields = feature.fields.iter();
        paths.contains(&model.path(*id)) && fields.any(|field| field.name == last && has_axes(&field.about.kind))
    };
    let axes: &[&str] = if model.ids().any(|found| is_meant(&found)) { &["x", "y", "z"] } else { &[] };
    axes.iter().map(|axis| simple(axis, FIELD, "the extent along this axis")).collect()
}

/// Paths as they go on after what is written of them: editors take what follows a dot for a word of its own.
pub(super) fn in_path(mut items: Vec<Value>, written: &str) -> Vec<Value> {
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
