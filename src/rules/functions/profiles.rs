//! Which of the materials, machines or instruments at hand would do.

use super::{word, wrong};
use crate::model::{Evaluation, Failure, Value};
use crate::quantity::Quantity;
use crate::syntax::tree::{Expr, ValueKind};
use crate::vocabulary::Vocabulary;

/// Names of the profiles that give a field at least so much, the smallest enough first.
pub(super) fn with(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let vocabulary = evaluation.model.vocabulary;
    let (section, field) = (word(evaluation, &arguments[0])?, word(evaluation, &arguments[1])?);
    let least = evaluation.quantity(&arguments[2])?;
    let flag = arguments.get(3).map(|flag| word(evaluation, flag)).transpose()?;
    let Some(profiles) = vocabulary.profiles.get(section.as_str()) else {
        return Err(wrong(&arguments[0], "a section of profiles", &Value::Text(section.as_str().into())));
    };
    let has_flag = |name: &str| {
        let value = |flag: &String| Some(vocabulary.profile_value(&section, name, flag)?.value.text == "yes");
        flag.as_ref().and_then(value).unwrap_or(false)
    };
    let mut found = Vec::new();
    for name in profiles.keys().filter(|name| !has_flag(name)) {
        let Some(value) = nominal(evaluation, vocabulary, &section, name, &field) else { continue };
        if value.dimension != least.dimension {
            return Err(wrong(&arguments[2], &value.dimension.describe(), &Value::Quantity(least)));
        }
        if value.value >= least.value {
            found.push((value.value, name.as_str()));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    let names: Vec<&str> = found.into_iter().map(|(_, name)| name).collect();
    let text = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
    Ok(Value::Text(text.as_str().into()))
}

/// A profile's value without its tolerance.
fn nominal(
    evaluation: &Evaluation,
    vocabulary: &Vocabulary,
    section: &str,
    name: &str,
    field: &str,
) -> Option<Quantity> {
    match &vocabulary.profile_value(section, name, field)?.value.value().ok()?.kind {
        ValueKind::Plain(expr) | ValueKind::Toleranced { nominal: expr, .. } => evaluation.quantity(expr).ok(),
        _ => None,
    }
}
