//! Above each feature how near it is to its limits. A list of lenses is places only; what one says is worked out when
//! the client shows it.

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::hover::stands;
use super::look::{Look, OWN};
use super::pictures::{ORIENT, WINDOW, command};
use crate::model::{FeatureId, Model, Value as Meant};
use crate::orient::parts;
use crate::rules::{LedgerComparison, LedgerEntry};
use crate::window;

/// What a lens says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Says {
    /// The comparison that is nearest to its limit, or furthest over it.
    Margin,
    /// That there is a picture of the ways up.
    WaysUp,
}

/// What a lens carries until it is shown.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Data {
    pub(super) address: String,
    /// The feature's path.
    path: String,
    says: Says,
}

/// One for each feature of a part that rules look at, and for whatever else a rule has a number for; and one for each
/// part where the client can open pictures.
pub(super) fn lenses(look: &Look, opens_pictures: bool) -> Value {
    let model = &look.analysis.model;
    let rules = &look.analysis.library.rules;
    let turned = if opens_pictures { parts(model) } else { Vec::new() };
    let mut lenses = Vec::new();
    for (id, feature) in model.ids().filter(|(id, _)| is_shown(model, *id)) {
        let mut add = |says| {
            let data = Data { address: look.address.to_owned(), path: model.path(id), says };
            lenses.push(json!({ "range": look.stretch(feature.name_span), "data": data }));
        };
        let is_looked_at = rules.iter().any(|rule| rule.about.contains(&feature.block.name));
        if is_looked_at && (model.is_drawn(id) || worst(look, id).is_some()) {
            add(Says::Margin);
        }
        if turned.iter().any(|(part, _)| *part == id) {
            add(Says::WaysUp);
        }
    }
    Value::Array(lenses)
}

/// What the sheet itself writes and its author can change: no profile.
fn is_shown(model: &Model, id: FeatureId) -> bool {
    let feature = model.feature(id);
    let is_inherited = feature.like.is_some() && feature.span.end == 0;
    id != Model::SHEET
        && !feature.imported
        && feature.span.source == OWN
        && !is_inherited
        && feature.block.profile.is_none()
}

/// The command of a lens, which holds its words.
pub(super) fn said(look: &Look, data: &Data, opens_pictures: bool) -> Value {
    let model = &look.analysis.model;
    let Some((id, _)) = model.ids().find(|(id, _)| *id != Model::SHEET && model.path(*id) == data.path) else {
        return command("no longer there", None);
    };
    match data.says {
        Says::WaysUp => command("ways up", opens_pictures.then_some((ORIENT, [&data.address, &data.path]))),
        Says::Margin => margin(look, id, data, opens_pictures),
    }
}

fn margin(look: &Look, id: FeatureId, data: &Data, opens_pictures: bool) -> Value {
    let Some((rule, words)) = worst(look, id) else {
        return command("no rule has a number for this", None);
    };
    let field = movable(look, id, &rule).filter(|_| opens_pictures);
    let opens = field.as_deref().map(|field| (WINDOW, [data.address.as_str(), field]));
    command(&format!("{words} ({rule})"), opens)
}

/// The rule whose comparison is nearest to its limit on a feature, or furthest over it, and how that stands.
fn worst(look: &Look, id: FeatureId) -> Option<(String, String)> {
    let entries = look.analysis.ledger_of(id);
    let (entry, comparison) = entries.iter().flat_map(comparisons).min_by(|(_, a), (_, b)| order(a, b))?;
    Some((entry.rule.clone(), stands(comparison)?))
}

/// The first of the fields that a rule lets change which can move here.
fn movable(look: &Look, id: FeatureId, rule: &str) -> Option<String> {
    let model = &look.analysis.model;
    let fields = look.analysis.library.rule(rule)?.change.iter();
    let mut paths = fields.map(|field| format!("{}.{}", model.path(id), field.text));
    paths.find(|path| window::field_at(model, path).is_some_and(|found| matches!(found.now, Some(Meant::Quantity(_)))))
}

fn comparisons(entry: &LedgerEntry) -> impl Iterator<Item = (&LedgerEntry, &LedgerComparison)> {
    let compared = entry.comparisons.iter().filter(|comparison| comparison.margin.is_some());
    compared.map(move |comparison| (entry, comparison))
}

/// What is reported comes first, the worst level before the others, then what has least room.
fn order(one: &LedgerComparison, other: &LedgerComparison) -> std::cmp::Ordering {
    let share = |comparison: &LedgerComparison| comparison.margin.as_ref().map_or(0.0, |margin| margin.share);
    other.reported.cmp(&one.reported).then(share(one).total_cmp(&share(other)))
}
