//! What the editor shows between the words of a line: printed values, values of calculations.

use serde_json::{Value, json};

use super::hover::printed;
use super::look::{Look, OWN};
use super::requests::At;
use crate::model::{FeatureId, Field, Model, Value as Meant};
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
