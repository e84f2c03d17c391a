//! Where a dimension comes from: what it belongs to, how it was had, and what makes it uncertain.

use super::{Answer, Form, Gives, Takes};
use crate::model::limits::CHAIN;
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::tree::{Expr, ExprKind, Path, ValueKind};
use crate::vocabulary::Makes;

pub(super) static FORMS: [Form; 8] = [
    Form {
        name: "owner",
        written: "owner(field)",
        doc: "The feature that a dimension belongs to, also where it is named by its path.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| Ok(Value::Feature(origin(e, &a[0])?.map_or(e.feature, |(id, _)| id)))),
    },
    Form {
        name: "part-of",
        written: "part-of(field)",
        doc: "The printed part that a dimension belongs to, also where it is named by its path.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Printed,
        answer: Answer::Own(part_of),
    },
    Form {
        name: "made",
        written: "made(field)",
        doc: "Whether a dimension is drawn and printed, not bought or only named.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(|e, a| Ok(Value::Flag(origin(e, &a[0])?.is_some_and(|(id, _)| e.model.is_drawn(id))))),
    },
    Form {
        name: "is-gap",
        written: "is-gap(field)",
        doc: "Whether a dimension is drawn as that of a hole, slot or gap, also where it is named by its path.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(is_gap),
    },
    Form {
        name: "spread",
        written: "spread(field)",
        doc: "The standard deviation with which the machine makes a drawn dimension.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(spread),
    },
    Form {
        name: "readings",
        written: "readings(value, …)",
        doc: "The fewest readings that any measured dimension behind these values rests on.",
        arguments: 1..=4,
        takes: &[Takes::Named],
        gives: Gives::Of(Dimension::NONE),
        answer: Answer::Own(readings),
    },
    Form {
        name: "exact",
        written: "exact(value)",
        doc: "The value as it stands, without its uncertainty.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Alike,
        answer: Answer::Own(|e, a| Ok(Value::Quantity(e.quantity(&a[0])?.frozen()))),
    },
    Form {
        name: "main-doubt",
        written: "main-doubt(value)",
        doc: "What makes a value uncertain most, in words.",
        arguments: 1..=1,
        takes: &[Takes::Quantity],
        gives: Gives::Word,
        answer: Answer::Own(main_doubt),
    },
];

type FieldIndex = (FeatureId, usize);

/// The field that a formula names; `None` for anything else, and for what this kind of feature does not have.
pub(super) fn field_of(evaluation: &Evaluation, expr: &Expr) -> Result<Option<FieldIndex>, Failure> {
    let ExprKind::Path(path) = &expr.kind else { return Ok(None) };
    match field_at(evaluation, path) {
        Err(Failure::Absent(_)) => Ok(None),
        found => found,
    }
}

/// The field of a path; of one side of a size, the size's.
fn field_at(evaluation: &Evaluation, path: &Path) -> Result<Option<FieldIndex>, Failure> {
    let found = evaluation.field_at(path)?;
    let whole = match path.names.as_slice() {
        [whole @ .., side] if found.is_none() && matches!(side.text.as_str(), "x" | "y" | "z") => whole,
        _ => return Ok(found),
    };
    if whole.is_empty() {
        return Ok(None);
    }
    evaluation.field_at(&Path { names: whole.to_vec(), span: path.span })
}

/// The field that a formula names, followed on where its value is nothing but another's path.
pub(super) fn origin(evaluation: &Evaluation, expr: &Expr) -> Result<Option<FieldIndex>, Failure> {
    let mut place = field_of(evaluation, expr)?;
    for _ in 0..CHAIN {
        let Some(here) = place else { break };
        let Some((next, ExprKind::Path(path))) = written(evaluation, here) else { break };
        match field_at(&next, path) {
            Ok(Some(found)) if found != here => place = Some(found),
            _ => break,
        }
    }
    Ok(place)
}

/// What a field says, and where its names are looked up.
fn written<'m, 'v>(evaluation: &Evaluation<'m, 'v>, place: FieldIndex) -> Option<(Evaluation<'m, 'v>, &'m ExprKind)> {
    let field = &evaluation.model.feature(place.0).fields[place.1];
    evaluation.model.note_form(place.0, field);
    let written = field.written.as_ref()?;
    let inner = Evaluation::written(evaluation.model, place.0, field);
    match &written.value.kind {
        ValueKind::Plain(expr) => Some((inner, &expr.kind)),
        _ => None,
    }
}

fn is_gap(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let found = origin(evaluation, &arguments[0])?.filter(|(id, _)| model.is_drawn(*id));
    let makes = found.and_then(|(id, index)| model.feature(id).fields[index].about.makes);
    Ok(Value::Flag(matches!(makes, Some(Makes::Inside | Makes::Hole))))
}

fn part_of(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let drawn = |id: &FeatureId| model.feature(*id).block.drawn;
    let found = match origin(evaluation, &arguments[0])? {
        Some((id, _)) => model.outward(id).find(drawn),
        None => None,
    };
    found.map(Value::Feature).ok_or_else(|| Failure::Absent("the part".into()))
}

fn spread(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let absent = || Failure::Absent("the machine's spread".into());
    let (id, index) = origin(evaluation, &arguments[0])?.ok_or_else(absent)?;
    let field = &evaluation.model.feature(id).fields[index];
    evaluation.model.spread(id, field)?.map(Value::Quantity).ok_or_else(absent)
}

fn readings(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let mut seen = Vec::new();
    let mut fewest = None;
    for argument in arguments {
        fewest_readings(evaluation, argument, &mut seen, &mut fewest);
    }
    let count = fewest.ok_or_else(|| Failure::Absent("a reading".into()))?;
    #[allow(clippy::cast_precision_loss, reason = "a handful of readings")]
    Ok(Value::Quantity(Quantity::ratio(count as f64)))
}

fn fewest_readings(evaluation: &Evaluation, expr: &Expr, seen: &mut Vec<FieldIndex>, fewest: &mut Option<usize>) {
    let mut places = Vec::new();
    expr.walk(&mut |part| {
        if let ExprKind::Path(path) = &part.kind
            && let Ok(Some(place)) = evaluation.field_at(path)
        {
            places.push(place);
        }
    });
    for place in places {
        if seen.contains(&place) || seen.len() > CHAIN {
            continue;
        }
        seen.push(place);
        let field = &evaluation.model.feature(place.0).fields[place.1];
        evaluation.model.note_form(place.0, field);
        let Some(written) = field.written.as_ref() else { continue };
        let inner = Evaluation::written(evaluation.model, place.0, field);
        match &written.value.kind {
            ValueKind::Measured { readings, .. } => {
                *fewest = Some(fewest.map_or(readings.len(), |least| least.min(readings.len())));
            }
            ValueKind::Plain(expr) | ValueKind::Toleranced { nominal: expr, .. } => {
                fewest_readings(&inner, expr, seen, fewest);
            }
            _ => {}
        }
    }
}

fn main_doubt(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let value = evaluation.quantity(&arguments[0])?;
    evaluation.model.note_uncertainty(&value);
    let moving = value.terms.iter().filter(|term| term.amount != 0.0);
    let largest = moving.max_by(|a, b| a.amount.abs().total_cmp(&b.amount.abs()));
    let label = largest.and_then(|term| evaluation.model.input(term.input)).map(|input| input.label);
    Ok(Value::Text(label.unwrap_or_else(|| "nothing".into()).into()))
}
