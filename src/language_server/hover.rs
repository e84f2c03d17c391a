//! What a word or a value under the cursor is.

use serde_json::{Value, json};

use super::half::Half;
use super::look::{Look, OWN};
use super::place::Stretch;
use super::requests::At;
use super::spot::{SpotKind, spot};
use crate::model::{FeatureId, Model, Reference, Value as Meant};
use crate::report::{self, reference, why_rule};
use crate::rules::LedgerComparison;
use crate::vocabulary::{self, Act};

/// The text for the place asked about; `None` where there is nothing to say.
pub(super) fn hover(look: &Look, at: &At, markdown: bool) -> Option<Value> {
    let byte = look.lines.byte(at.position?);
    let library = look.analysis.library;
    let model = &look.analysis.model;
    let word = word_at(look.text, byte).and_then(|(word, at)| Some((report::of_word(library, word)?, at)));
    let kind = if markdown { "markdown" } else { "plaintext" };
    let shown = |text: String, range: Stretch| json!({ "contents": { "kind": kind, "value": text }, "range": range });
    let Some(spot) = spot(look, byte) else {
        return word.map(|(told, at)| shown(told, look.lines.stretch(at)));
    };
    let is_value = |id: FeatureId, index: usize| {
        let written = model.feature(id).fields[index].written.as_ref();
        written.is_some_and(|written| written.value.span == spot.at)
    };
    let text = match &spot.kind {
        SpotKind::Block(word) => reference::of_block(library.vocabulary.block(word)?),
        SpotKind::Field(id, index) if is_value(*id, *index) => {
            let told = word.map_or(String::new(), |(told, _)| format!("\n\n{told}"));
            format!("{}{told}", field(look, *id, *index))
        }
        SpotKind::Field(id, index) | SpotKind::Reference(Reference::Field(id, index)) => field(look, *id, *index),
        SpotKind::Feature(id) | SpotKind::Reference(Reference::Feature(id)) => feature(look, *id),
        SpotKind::Rule(name) => {
            format!("```text\n{}\n```", why_rule(library.rule(name)?, report::Look::of_width(report::WIDEST)))
        }
        SpotKind::Profile(section, name) => {
            let of_sheet = model.ids().find(|(_, feature)| feature.name == *name && feature.name_span != spot.at);
            reference::of_profile(library, section, name).or_else(|| Some(feature(look, of_sheet?.0)))?
        }
        SpotKind::Function(name) => {
            let function = crate::model::function::named(name)?;
            format!("`{name}` takes {}: {}", function.takes, function.doc)
        }
        SpotKind::Sheet(path) => {
            format!("The sheet `{path}`: its bought parts, machines, materials and names are known here.")
        }
    };
    Some(shown(text, look.stretch(spot.at)))
}

/// The word around a byte, with its place; `None` in comments and texts in quotes.
fn word_at(text: &str, byte: usize) -> Option<(&str, std::ops::Range<usize>)> {
    let half = Half::at(text, byte)?;
    if half.words.matches('"').count() % 2 == 1 {
        return None;
    }
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '%');
    let start = text[..byte].trim_end_matches(is_word).len();
    let end = text.len() - text[byte..].trim_start_matches(is_word).len();
    // `2.4mm`: the number goes before the unit, and is no word itself.
    let start = start + text[start..end].find(|c: char| !c.is_ascii_digit()).unwrap_or(end - start);
    (start < end).then(|| (&text[start..end], start..end))
}

/// A feature by what it is, and its value where it is a named one.
fn feature(look: &Look, id: FeatureId) -> String {
    let model = &look.analysis.model;
    let feature = model.feature(id);
    if feature.block.act == Act::Binds {
        return field(look, id, 0);
    }
    format!("**{}** is a `{}`: {}", model.path(id), feature.block.name, feature.block.doc)
}

fn field(look: &Look, id: FeatureId, index: usize) -> String {
    let model = &look.analysis.model;
    let feature = model.feature(id);
    let field = &feature.fields[index];
    let title =
        if feature.block.act == Act::Binds { model.path(id) } else { format!("{}.{}", model.path(id), field.name) };
    let mut parts = vec![format!("**{title}**: {}", field.about.doc)];
    parts.extend(values(model, id, field));
    parts.push(taken(field.about));
    parts.extend(margins(look, id, index));
    parts.retain(|part| !part.is_empty());
    parts.join("\n\n")
}

/// The value, and what comes out of the machine.
pub(super) fn values(model: &Model, id: FeatureId, field: &crate::model::Field) -> Option<String> {
    let value = model.value_of(id, field).ok()?;
    let Meant::Quantity(drawn) = &value else { return Some(value.text()) };
    let stated = drawn.text_with_uncertainty();
    match printed(model, id, field) {
        Some(printed) if printed != stated => Some(format!("{} drawn, {printed} as printed", drawn.text())),
        _ => Some(stated),
    }
}

/// What a drawn dimension measures when it is printed, with its standard uncertainty.
pub(super) fn printed(model: &Model, id: FeatureId, field: &crate::model::Field) -> Option<String> {
    field.about.makes.filter(|_| model.is_drawn(id))?;
    match model.printed(id, field).ok()? {
        Meant::Quantity(printed) => Some(printed.text_with_uncertainty()),
        _ => None,
    }
}

fn taken(about: &vocabulary::Field) -> String {
    let default =
        about.default.as_ref().map_or(String::new(), |default| format!("; `{}` where it is not given", default.text));
    format!("Takes {}{default}.", about.kind.describe())
}

/// How each rule stands that is worked out from a value.
fn margins(look: &Look, id: FeatureId, index: usize) -> Option<String> {
    let model = &look.analysis.model;
    let at = model.feature(id).fields[index].written.as_ref().map(|written| written.value.span)?;
    if at.source != OWN {
        return None;
    }
    let uses = look.ledger().iter().filter(|entry| entry.stated.iter().any(|(place, _)| *place == at));
    let lines: Vec<String> = uses
        .flat_map(|entry| entry.comparisons.iter().map(move |comparison| (entry, comparison)))
        .filter_map(|(entry, comparison)| {
            Some(format!("- `{}` on {}: {}", entry.rule, entry.about, stands(comparison)?))
        })
        .collect();
    (!lines.is_empty()).then(|| format!("What depends on it:\n\n{}", lines.join("\n")))
}

/// `push 57 N, limit 40 N: care`
pub(super) fn stands(comparison: &LedgerComparison) -> Option<String> {
    let margin = comparison.margin.as_ref()?;
    let left =
        comparison.name.as_ref().map_or_else(|| margin.left.text(), |name| format!("{name} {}", margin.left.text()));
    let level = comparison.reported.map_or_else(|| "holds".to_owned(), |level| level.to_string());
    Some(format!("{left}, limit {}: {level}", margin.right.text()))
}
