//! What profiles and tables say: of a name, a row, and which of the materials at hand would do.

use super::{Answer, Form, Gives, Takes, word, wrong};
use crate::fault::{ValueFault, near};
use crate::model::{Evaluation, Failure, Value};
use crate::quantity::Quantity;
use crate::syntax::tree::{Expr, ValueKind};
use crate::vocabulary::Vocabulary;

pub(super) static FORMS: [Form; 3] = [
    Form {
        name: "profile",
        written: "profile(block)",
        doc: "The word of the profile that a machine or material starts from.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Word,
        answer: Answer::Own(profile),
    },
    Form {
        name: "table",
        written: "table(name, row, column)",
        doc: "A number from a table, by a word or by the size that a row's range holds.",
        arguments: 3..=3,
        takes: &[Takes::Word, Takes::Row, Takes::Word],
        gives: Gives::Cell,
        answer: Answer::Own(table),
    },
    Form {
        name: "profiles-with",
        written: "profiles-with(section, field, least, flag)",
        doc: "The profiles of a section that give a field at least so much, without those that have a flag if one is named.",
        arguments: 3..=4,
        takes: &[Takes::Word, Takes::Word, Takes::Quantity, Takes::Word],
        gives: Gives::Profiles,
        answer: Answer::Own(with),
    },
];

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

fn profile(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let id = match evaluation.value(&arguments[0])? {
        Value::Feature(id) => id,
        other => return Err(wrong(&arguments[0], "a machine or material", &other)),
    };
    let feature = evaluation.model.feature(id);
    let word = feature.profile.as_deref().map(Into::into);
    word.map(Value::Text).ok_or_else(|| Failure::Absent("a profile's name".into()))
}

fn table(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let name = word(evaluation, &arguments[0])?;
    let column = word(evaluation, &arguments[2])?;
    let Some(table) = evaluation.model.vocabulary.tables.get(name.as_str()) else {
        let tables = evaluation.model.vocabulary.tables.keys().map(crate::pack::Words::as_str);
        let near = near(&name, tables);
        return Err(Failure::Fault(Box::new(ValueFault::NoTable { name, near }.at(arguments[0].span))));
    };
    let found = match evaluation.value(&arguments[1])? {
        Value::Text(row) => table.number(&row, &column),
        Value::Quantity(size) => table.number_at(&size, &column),
        other => return Err(wrong(&arguments[1], "a word or a size", &other)),
    };
    found.map(Value::Quantity).map_err(|error| {
        Failure::Fault(Box::new(ValueFault::NotInTable { why: error.to_string() }.at(arguments[1].span)))
    })
}
