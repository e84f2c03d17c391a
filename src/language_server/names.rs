//! Where a name is given, where it is used, and the same under another name.

use serde_json::{Map, Value, json};

use super::address::address_of;
use super::look::{Look, OWN};
use super::moment::Moment;
use super::place::Lines;
use super::requests::At;
use super::spot::{SpotKind, spot};
use super::symbols::each_clause;
use crate::inspect::Analysis;
use crate::model::{FeatureId, Model, Reference};
use crate::source::{SourceId, Span};
use crate::syntax::tree::{ExprKind, Path};
use crate::workspace::SheetFile;

/// Where what is at a place is given.
pub(super) fn definition(look: &Look, at: &At) -> Option<Value> {
    let spot = spot(look, look.lines.byte(at.position?))?;
    let model = &look.analysis.model;
    let span = match spot.kind {
        SpotKind::Reference(Reference::Feature(id)) | SpotKind::Feature(id) => model.feature(id).name_span,
        SpotKind::Reference(Reference::Field(id, index)) | SpotKind::Field(id, index) => {
            model.feature(id).fields[index].written.as_ref()?.name_span
        }
        SpotKind::Profile(_, name) => {
            model.ids().find(|(_, feature)| feature.name == name && feature.block.profile.is_some())?.1.name_span
        }
        SpotKind::Sheet(path) => {
            let file = look.analysis.uses.iter().find(|full| full.ends_with(path.trim_start_matches("./")))?;
            let start = json!({ "line": 0, "character": 0 });
            return Some(json!({ "uri": address_of(file), "range": { "start": start, "end": start } }));
        }
        _ => return None,
    };
    Some(look.location(span))
}

/// The feature that a place names, or uses.
fn feature_at(look: &Look, at: &At) -> Option<(FeatureId, Span)> {
    let spot = spot(look, look.lines.byte(at.position?))?;
    match spot.kind {
        SpotKind::Reference(Reference::Feature(id)) | SpotKind::Feature(id) => Some((id, spot.at)),
        _ => None,
    }
}

/// Every place in a sheet and in what it uses where a feature is named, where it gets its name included.
fn places(analysis: &Analysis, feature: FeatureId) -> Vec<Span> {
    let model = &analysis.model;
    let given = model.feature(feature).name_span;
    let mut places = vec![given];
    let mut visit = |path: &Path, meant: Vec<Option<Reference>>| {
        for (name, meant) in path.names.iter().zip(meant) {
            let is_meant = |id: FeatureId| model.feature(id).name_span == given;
            if matches!(meant, Some(Reference::Feature(id)) if is_meant(id)) {
                places.push(name.span);
            }
        }
    };
    for (id, feature) in model.ids() {
        for (field, written) in feature.fields.iter().filter_map(|field| Some((field, field.written.as_ref()?))) {
            written.value.walk(&mut |expr| {
                if let ExprKind::Path(path) = &expr.kind {
                    visit(path, model.references(id, field, path));
                }
            });
        }
    }
    for (number, source) in (0..).zip(analysis.sources.all()) {
        each_clause(&crate::syntax::sheet(source, SourceId(number)).0, &mut |clause| {
            let copy = model.ids().find(|(_, feature)| feature.span == clause.span).map(|(id, _)| id);
            if let (Some(like), Some(copy)) = (&clause.like, copy) {
                let around = model.feature(copy).parent.unwrap_or(Model::SHEET);
                visit(like, model.references_of_copy(around, like));
            }
        });
    }
    places.sort();
    places.dedup();
    places
}

pub(super) fn references(look: &Look, at: &At) -> Value {
    let Some((feature, _)) = feature_at(look, at) else { return json!([]) };
    places(&look.analysis, feature).into_iter().map(|span| look.location(span)).collect()
}

pub(super) fn highlights(look: &Look, at: &At) -> Value {
    let Some((feature, _)) = feature_at(look, at) else { return json!([]) };
    let own = places(&look.analysis, feature).into_iter().filter(|span| span.source == OWN);
    own.map(|span| json!({ "range": look.stretch(span) })).collect()
}

/// The name that would be exchanged.
pub(super) fn renamed_place(look: &Look, at: &At) -> Option<Value> {
    let (feature, span) = feature_at(look, at)?;
    let name = &look.analysis.model.feature(feature).name;
    (look.analysis.sources.slice(span) == name).then(|| json!({ "range": look.stretch(span), "placeholder": name }))
}

/// The edits that give a feature another name: in its sheet, in what that uses, and in the project's sheets that use it.
pub(super) fn rename(moment: &Moment, address: &str, at: &At, versioned: bool) -> Result<Value, String> {
    let at_fault = |_| "this project's packs are at fault: mend them first";
    let (workspace, document) = moment.workspace(address).map_err(at_fault)?;
    let look = moment.look(address).map_err(at_fault)?;
    let name = at.new_name.as_deref().unwrap_or_default();
    let is_name = name.starts_with(char::is_alphabetic)
        && name.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
        && look.analysis.library.vocabulary.block(name).is_none();
    if !is_name {
        return Err(format!(
            "`{name}` is no name: it is a word of letters, digits and hyphens, and none of the language's own"
        ));
    }
    let (feature, span) = feature_at(look, at).ok_or("there is no name of yours here: put the cursor on one")?;
    let given = look.analysis.model.feature(feature);
    if look.analysis.sources.slice(span) != given.name {
        return Err("this has no name of its own".into());
    }
    let file = look.analysis.sources.get(given.name_span.source).path.clone();
    let mut edits = std::collections::BTreeMap::<String, Vec<Value>>::new();
    let mut add = |address: String, stretch: Value| {
        let edits = edits.entry(address).or_default();
        let edit = json!({ "range": stretch, "newText": name });
        if !edits.contains(&edit) {
            edits.push(edit);
        }
    };
    for span in places(&look.analysis, feature) {
        let place = look.location(span);
        add(place["uri"].as_str().unwrap_or_default().to_owned(), place["range"].clone());
    }
    for user in file.iter().flat_map(|file| workspace.users_of(&document.path, file)) {
        let lines = Lines::of(&user.text, look.encoding);
        for span in uses(&user, file.as_deref(), given.name_span) {
            add(address_of(&user.full), json!(lines.stretch(span.range())));
        }
    }
    if !versioned {
        let changes: Map<String, Value> =
            edits.into_iter().map(|(address, edits)| (address, Value::Array(edits))).collect();
        return Ok(json!({ "changes": changes }));
    }
    let version = |address: &str| moment.documents.get(address).map_or(Value::Null, |document| json!(document.version));
    let changes = edits.iter().map(
        |(address, edits)| json!({ "textDocument": { "uri": address, "version": version(address) }, "edits": edits }),
    );
    Ok(json!({ "documentChanges": changes.collect::<Vec<_>>() }))
}

/// The places in another sheet's own text that name what is given at a place of a file.
fn uses(sheet: &SheetFile, file: Option<&std::path::Path>, given: Span) -> Vec<Span> {
    let analysis = sheet.analysis();
    let is_given =
        |span: Span| span.range() == given.range() && analysis.sources.get(span.source).path.as_deref() == file;
    let Some((feature, _)) = analysis.model.ids().find(|(_, feature)| is_given(feature.name_span)) else {
        return Vec::new();
    };
    places(&analysis, feature).into_iter().filter(|span| span.source == OWN).collect()
}
