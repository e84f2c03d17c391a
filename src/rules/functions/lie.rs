//! How a part lies as it prints: what its box takes up on the bed, and what it stands on.

use super::{Answer, Form, Gives, Takes, direction, wrong};
use crate::fault::ValueFault;
use crate::geometry::{Vector, axis, cross, dot, unit};
use crate::model::{Evaluation, Failure, Value};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::tree::Expr;

/// Sine of the angle under which a face counts as lying on the bed: 1 degree.
const FLAT: f64 = 0.017_45;

pub(super) static FORMS: [Form; 6] = [
    Form {
        name: "outline-long",
        written: "outline-long(size, up)",
        doc: "The longer side of the smallest rectangle on the bed that holds a box.",
        arguments: 2..=2,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| outline(e, a).map(|[_, long]| Value::Quantity(long))),
    },
    Form {
        name: "outline-short",
        written: "outline-short(size, up)",
        doc: "The shorter side of the smallest rectangle on the bed that holds a box.",
        arguments: 2..=2,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| outline(e, a).map(|[short, _]| Value::Quantity(short))),
    },
    Form {
        name: "foot-long",
        written: "foot-long(size, up)",
        doc: "The longer side of the face that a box stands on; nothing where it rests on an edge or corner.",
        arguments: 2..=2,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| foot(e, a).map(|[_, long]| Value::Quantity(long))),
    },
    Form {
        name: "foot-short",
        written: "foot-short(size, up)",
        doc: "The shorter side of the face that a box stands on; nothing where it rests on an edge or corner.",
        arguments: 2..=2,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| foot(e, a).map(|[short, _]| Value::Quantity(short))),
    },
    Form {
        name: "extent-beside",
        written: "extent-beside(size, direction, direction)",
        doc: "How far a box reaches square to two directions.",
        arguments: 3..=3,
        takes: &[Takes::Size, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(beside),
    },
    Form {
        name: "upright",
        written: "upright(field)",
        doc: "Whether a dimension of a feature lies along the stack of layers, as far as the sheet says.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(upright),
    },
];

fn size_and_up(evaluation: &Evaluation, arguments: &[Expr]) -> Result<([Quantity; 3], Vector), Failure> {
    let size = match evaluation.value(&arguments[0])? {
        Value::Size(size) => *size,
        other => return Err(wrong(&arguments[0], "a size", &other)),
    };
    Ok((size, direction(evaluation, &arguments[1])?))
}

/// How far a box reaches along a direction: the sum of its sides' shares.
pub(super) fn reach(size: &[Quantity; 3], along: Vector, at: &Expr) -> Result<Quantity, Failure> {
    let mut sum = Quantity::exact(0.0, Dimension::LENGTH);
    for (length, share) in size.iter().zip(along) {
        sum = sum
            .add(&length.scaled(share.abs()))
            .map_err(|error| Failure::Fault(Box::new(ValueFault::Arithmetic { why: error.to_string() }.at(at.span))))?;
    }
    Ok(Quantity { unit: size[0].unit, ..sum })
}

/// Shorter and longer side of the rectangle that the box's shadow on the bed fits in.
///
/// The shadow is a polygon whose sides run along the shadows of the box's edges, and a polygon's smallest rectangle
/// has a side along one of its own.
fn outline(evaluation: &Evaluation, arguments: &[Expr]) -> Result<[Quantity; 2], Failure> {
    let (size, up) = size_and_up(evaluation, arguments)?;
    let mut best: Option<[Quantity; 2]> = None;
    for edge in (0..3).map(axis) {
        let rise = dot(edge, up);
        let shadow: Vector = std::array::from_fn(|i| edge[i] - rise * up[i]);
        let Some(along) = unit(shadow, FLAT) else { continue };
        let sides = [reach(&size, along, &arguments[0])?, reach(&size, cross(up, along), &arguments[0])?];
        let area = |sides: &[Quantity; 2]| sides[0].value * sides[1].value;
        if best.as_ref().is_none_or(|best| area(&sides) < area(best) * (1.0 - 1e-9)) {
            best = Some(sides);
        }
    }
    best.map(sorted).ok_or(Failure::Reported)
}

/// How far a box reaches square to two directions; where they are parallel, as far as it does at all.
fn beside(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let (size, first) = size_and_up(evaluation, arguments)?;
    let square = cross(first, direction(evaluation, &arguments[2])?);
    let Some(along) = unit(square, FLAT) else {
        let longest = size.into_iter().max_by(|a, b| a.value.total_cmp(&b.value));
        return longest.map(Value::Quantity).ok_or(Failure::Reported);
    };
    reach(&size, along, &arguments[0]).map(Value::Quantity)
}

/// Shorter and longer side of the face that the box stands on.
fn foot(evaluation: &Evaluation, arguments: &[Expr]) -> Result<[Quantity; 2], Failure> {
    let (size, up) = size_and_up(evaluation, arguments)?;
    let standing = (0..3).find(|index| 1.0 - up[*index].abs() < FLAT * FLAT / 2.0);
    let sides = match standing {
        Some(index) => [size[(index + 1) % 3].clone(), size[(index + 2) % 3].clone()],
        None => [0, 1].map(|_| Quantity { unit: size[0].unit, ..Quantity::exact(0.0, Dimension::LENGTH) }),
    };
    Ok(sorted(sides))
}

fn sorted([a, b]: [Quantity; 2]) -> [Quantity; 2] {
    if b.value < a.value { [b, a] } else { [a, b] }
}

fn upright(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    // Of what is not drawn itself, such as the side of a fit, the dimension that it names.
    let named = super::origin::field_of(evaluation, &arguments[0])?;
    let drawn = named.filter(|(id, _)| evaluation.model.is_drawn(*id));
    let found = if drawn.is_some() { drawn } else { super::origin::origin(evaluation, &arguments[0])? };
    let Some((id, index)) = found else {
        return Ok(Value::Flag(false));
    };
    let field = &evaluation.model.feature(id).fields[index];
    Ok(Value::Flag(evaluation.model.upright(id, field).unwrap_or(false)))
}
