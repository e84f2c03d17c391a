//! What the editor shows between and above the lines: printed values, values of calculations, worst margins.

use serde_json::{Value, json};

use super::hover::{printed, stands};
use super::look::{Look, OWN};
use super::server::At;
use crate::model::{FeatureId, Field, Model, Value as Meant};
use crate::rules::{LedgerComparison, LedgerEntry, ledger};
use crate::syntax::tree::{ExprKind, ValueKind};

/// Behind each drawn value what it measures when printed, behind each calculation what it comes to.
pub(super) fn hints(look: &Look, at: &At) -> Value {
    let model = &look.analysis.model;
    let asked = at.range.map_or(0..look.text.len(), |range| look.lines.bytes(range));
    let mut hints = Vec::new();
    for (id, field) in fields(model) {
        let Some(written) = field.written.as_ref().filter(|written| written.value.span.source == OWN) else { continue };
        let end = written.end() as usize;
        if model.feature(id).like.is_some_and(|_| !is_own(model, id, field)) || !asked.contains(&end.saturating_sub(1))
        {
            continue;
        }
        if let Some(label) = label(model, id, field) {
            let tooltip = "as it comes out of this machine; u is the standard uncertainty";
            hints.push(json!({ "position": look.lines.position(end), "label": label, "paddingLeft": true, "tooltip": tooltip }));
        }
    }
    Value::Array(hints)
}

fn fields<'m>(model: &'m Model<'m>) -> impl Iterator<Item = (FeatureId, &'m Field<'m>)> {
    model.ids().flat_map(|(id, feature)| feature.fields.iter().map(move |field| (id, field)))
}

/// Whether a copy writes a field itself.
fn is_own(model: &Model, id: FeatureId, field: &Field) -> bool {
    field.written.as_ref().is_some_and(|written| written.name_span.start >= model.feature(id).span.start)
}

fn label(model: &Model, id: FeatureId, field: &Field) -> Option<String> {
    let written = field.written.as_ref()?;
    let calculated = match &written.value.kind {
        ValueKind::Plain(expr)
            if !matches!(expr.kind, ExprKind::Number { .. } | ExprKind::Text(_) | ExprKind::Direction(_)) =>
        {
            match model.value_of(id, field).ok()? {
                Meant::Quantity(value) => Some(format!("= {}", value.text())),
                _ => None,
            }
        }
        ValueKind::Measured { .. } => match model.value_of(id, field).ok()? {
            Meant::Quantity(value) => Some(format!("= {}", value.text_with_uncertainty())),
            _ => None,
        },
        _ => None,
    };
    let printed = printed(model, id, field).map(|printed| format!("prints {printed}"));
    let parts: Vec<String> = [calculated, printed].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Above each feature the comparison that is nearest to its limit, or furthest over it.
pub(super) fn lenses(look: &Look) -> Value {
    let model = &look.analysis.model;
    let entries = ledger(look.analysis.library, model, None);
    let mut lenses = Vec::new();
    for (id, feature) in model.ids() {
        if id == Model::SHEET
            || feature.imported
            || feature.span.source != OWN
            || feature.like.is_some() && feature.span.end == 0
        {
            continue;
        }
        let path = model.path(id);
        let own = entries.iter().filter(|entry| entry.about == path);
        let Some((entry, worst)) = own.flat_map(comparisons).min_by(|a, b| rank(a.1).total_cmp(&rank(b.1))) else {
            continue;
        };
        let Some(stands) = stands(worst) else { continue };
        let command = json!({ "title": format!("{stands} ({})", entry.rule), "command": "" });
        lenses.push(json!({ "range": look.stretch(feature.name_span), "command": command }));
    }
    Value::Array(lenses)
}

fn comparisons(entry: &LedgerEntry) -> impl Iterator<Item = (&LedgerEntry, &LedgerComparison)> {
    let compared = entry.comparisons.iter().filter(|comparison| comparison.margin.is_some());
    compared.map(move |comparison| (entry, comparison))
}

/// What is reported comes first, then what has least room.
fn rank(comparison: &LedgerComparison) -> f64 {
    let level = comparison.reported.map_or(0.0, |level| f64::from(level as u8) + 1.0);
    comparison.margin.as_ref().map_or(0.0, |margin| margin.share.clamp(-50.0, 50.0)) - 100.0 * level
}
