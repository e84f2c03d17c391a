//! Where features are to each other and to their part's box, where the author says so.

use super::beside::{beside, kind};
use super::stray::block;
use super::{Answer, Form, Gives, Takes, direction};
use crate::geometry::{SMALL, Vector, across, alignment, axis, dot, length};
use crate::model::{Body, Evaluation, Extent, Failure, FeatureId, Model, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::Expr;

pub(super) static FORMS: [Form; 14] = [
    Form {
        name: "neighbour",
        written: "neighbour(block)",
        doc: "Of the round features of a kind above this one in the same part, with axes along its own and depths that overlap, the nearest.",
        arguments: 1..=1,
        takes: &[Takes::Block],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| neighbour(e, a).map(Value::Feature)),
    },
    Form {
        name: "apart",
        written: "apart(feature)",
        doc: "How far another feature's axis is from this one's.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(apart),
    },
    Form {
        name: "edge-distance",
        written: "edge-distance(feature)",
        doc: "How far a round feature's axis is from the nearest side of its part's box that runs along it.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(edge_distance),
    },
    Form {
        name: "place-outside",
        written: "place-outside(feature)",
        doc: "How far a feature's place is outside its part's box; nothing inside.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| outside(e, a, false).map(|(far, _)| lengths(e, far))),
    },
    Form {
        name: "reach-outside",
        written: "reach-outside(feature)",
        doc: "How far a feature surely reaches out of its part's box; nothing where it stays inside.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(|e, a| outside(e, a, true).map(|(far, _)| lengths(e, far))),
    },
    Form {
        name: "side-outside",
        written: "side-outside(feature)",
        doc: "The side of its part's box that a feature reaches out of farthest.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Word,
        answer: Answer::Own(|e, a| outside(e, a, true).map(|(_, side)| Value::Text(side.into()))),
    },
    Form {
        name: "above-bed",
        written: "above-bed(feature)",
        doc: "How high over the bed a feature's lowest point prints.",
        arguments: 1..=1,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(above_bed),
    },
    Form {
        name: "in-the-way",
        written: "in-the-way(direction)",
        doc: "The nearest feature of material in the same part that surely lies ahead of this one along a direction.",
        arguments: 1..=1,
        takes: &[Takes::Direction],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| in_the_way(e, a).map(Value::Feature)),
    },
    Form {
        name: "gap-to",
        written: "gap-to(feature, direction)",
        doc: "The gap from this feature to another along a direction.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(gap_to),
    },
    Form {
        name: "reach-to",
        written: "reach-to(feature, direction)",
        doc: "How far another feature reaches along a direction, from this one's place.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Direction],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(reach_to),
    },
    Form {
        name: "twin",
        written: "twin(field, field)",
        doc: "The first block of this kind above this one whose two features belong to the same two parts, and are not these.",
        arguments: 2..=2,
        takes: &[Takes::Field],
        gives: Gives::Feature,
        answer: Answer::Own(|e, a| twin(e, a).map(Value::Feature)),
    },
    Form {
        name: "is-image",
        written: "is-image(field)",
        doc: "Whether what the sheet says of a field comes from a feature of which this one is the mirror image.",
        arguments: 1..=1,
        takes: &[Takes::Field],
        gives: Gives::Flag,
        answer: Answer::Own(is_image),
    },
    Form {
        name: "off-beside",
        written: "off-beside(feature, feature, feature, feature)",
        doc: "How far two arms' spacing, along their width, is off from that of two slots, along their length.",
        arguments: 4..=4,
        takes: &[Takes::Feature],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(off_beside),
    },
    Form {
        name: "off-middle",
        written: "off-middle(feature, feature, length)",
        doc: "How much farther an arm is from the middle of its part, along its width, than a slot from that of its own, along its length; only where both parts are as long there, to within a length.",
        arguments: 3..=3,
        takes: &[Takes::Feature, Takes::Feature, Takes::Quantity],
        gives: Gives::Of(Dimension::LENGTH),
        answer: Answer::Own(off_middle),
    },
];

pub(super) fn absent(what: &'static str) -> Failure {
    Failure::Absent(what.into())
}

pub(super) fn body(model: &Model, id: FeatureId) -> Result<Body, Failure> {
    model.body(id).ok_or_else(|| absent("its place"))
}

fn extent(model: &Model, id: FeatureId) -> Result<Extent, Failure> {
    model.extent(id).ok_or_else(|| absent("the part's size"))
}

/// A length in the unit that the place of the feature itself is written in.
fn lengths(evaluation: &Evaluation, value: f64) -> Value {
    lengths_of(evaluation.model, evaluation.feature, value)
}

fn lengths_of(model: &Model, id: FeatureId, value: f64) -> Value {
    let place = model.field(id, "at").and_then(|at| model.value_of(id, at).ok());
    let own = match &place {
        Some(Value::Place(place)) => place.iter().rev().find_map(|distance| distance.unit),
        _ => None,
    };
    let unit = own.or_else(|| Unit::usual(Dimension::LENGTH, false));
    let value = if value.abs() < SMALL { 0.0 } else { value };
    Value::Quantity(Quantity { unit, ..Quantity::exact(value, Dimension::LENGTH) })
}

/// The cosine from which on two axes count as parallel.
const PARALLEL: f64 = 0.9999;

fn neighbour(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let (model, kind) = (evaluation.model, kind(evaluation, &arguments[0])?);
    let own = body(model, evaluation.feature)?;
    let round = own.round.ok_or_else(|| absent("its axis"))?;
    let mut nearest: Option<(FeatureId, f64)> = None;
    for id in beside(model, evaluation.feature).take_while(|id| *id != evaluation.feature) {
        if *model.feature(id).block.name != *kind {
            continue;
        }
        let Some(other) = model.body(id) else { continue };
        let Some(turned) = other.round.filter(|other| alignment(other.axis, round.axis) > PARALLEL) else { continue };
        let gap = between(&own, &other, round.axis) - round.radius - turned.radius;
        if overlap(&own, &other, round.axis) && nearest.is_none_or(|(_, known)| gap < known) {
            nearest = Some((id, gap));
        }
    }
    nearest.map(|(id, _)| id).ok_or_else(|| absent("a neighbour with a place"))
}

/// Whether two bodies share some stretch along a direction; of what is not known it is taken that they do.
fn overlap(own: &Body, other: &Body, along: Vector) -> bool {
    let ((least, most), (low, high)) = (own.reach(along), other.reach(along));
    let known = |a: f64, b: f64| b - a > SMALL;
    !known(least, most) || !known(low, high) || (low < most - SMALL && high > least + SMALL)
}

/// How far the places of two bodies are from each other, square to a direction.
pub(super) fn between(own: &Body, other: &Body, along: Vector) -> f64 {
    let way: Vector = std::array::from_fn(|i| other.at[i] - own.at[i]);
    let share = dot(way, along);
    length(std::array::from_fn(|i| way[i] - share * along[i]))
}

fn apart(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let own = body(model, evaluation.feature)?;
    let other = body(model, block(evaluation, &arguments[0])?)?;
    let axis = own.round.ok_or_else(|| absent("its axis"))?.axis;
    Ok(lengths(evaluation, between(&own, &other, axis)))
}

fn edge_distance(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let id = block(evaluation, &arguments[0])?;
    let own = body(model, id)?;
    let round = own.round.ok_or_else(|| absent("its axis"))?;
    let extent = extent(model, id)?;
    if outside(evaluation, arguments, false)?.0 > 0.0 {
        return Err(absent("a place within the part's box"));
    }
    let beside = (0..3).filter(|index| alignment(axis(*index), round.axis) < 1.0 - PARALLEL);
    let nearest = beside.map(|i| (own.at[i] - extent.least[i]).min(extent.most[i] - own.at[i])).min_by(f64::total_cmp);
    nearest.map(|far| lengths(evaluation, far)).ok_or_else(|| absent("a side along its axis"))
}

/// How far a feature, or only its place, is outside its part's box, and on which side.
fn outside(evaluation: &Evaluation, arguments: &[Expr], whole: bool) -> Result<(f64, &'static str), Failure> {
    let model = evaluation.model;
    let id = block(evaluation, &arguments[0])?;
    let own = body(model, id)?;
    let extent = extent(model, id)?;
    let mut most = (0.0, "");
    for (index, sides) in [["-x", "+x"], ["-y", "+y"], ["-z", "+z"]].into_iter().enumerate() {
        let (low, high) = if whole { own.reach(axis(index)) } else { (own.at[index], own.at[index]) };
        for (far, side) in [extent.least[index] - low, high - extent.most[index]].into_iter().zip(sides) {
            if far > most.0 {
                most = (far, side);
            }
        }
    }
    Ok(most)
}

fn above_bed(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let id = block(evaluation, &arguments[0])?;
    let (low, _) = evaluation.model.height(id).ok_or_else(|| absent("its height over the bed"))?;
    Ok(lengths_of(evaluation.model, id, low))
}

fn in_the_way(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let model = evaluation.model;
    let own = body(model, evaluation.feature)?;
    let along = direction(evaluation, &arguments[0])?;
    let front = own.reach(along).1;
    let sides: Vec<Vector> =
        own.sides.iter().map(|side| side.along).filter(|side| alignment(*side, along) < 1.0 - PARALLEL).collect();
    if sides.len() < 2 {
        return Err(absent("what it takes up"));
    }
    let mut nearest: Option<(FeatureId, f64)> = None;
    for id in beside(model, evaluation.feature).filter(|id| *id != evaluation.feature) {
        let Some(other) = model.body(id).filter(|other| !other.hollow && !other.sides.is_empty()) else { continue };
        let ahead = other.reach(along).0 - front;
        let meets = sides.iter().all(|side| {
            let ((least, most), (low, high)) = (own.reach(*side), other.reach(*side));
            low < most - SMALL && high > least + SMALL
        });
        if meets && ahead > -SMALL && nearest.is_none_or(|(_, known)| ahead < known) {
            nearest = Some((id, ahead));
        }
    }
    nearest.map(|(id, _)| id).ok_or_else(|| absent("anything in its way"))
}

fn gap_to(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let (own, other) = (body(model, evaluation.feature)?, body(model, block(evaluation, &arguments[0])?)?);
    let along = direction(evaluation, &arguments[1])?;
    Ok(lengths(evaluation, other.reach(along).0 - own.reach(along).1))
}

fn reach_to(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let (own, other) = (body(model, evaluation.feature)?, body(model, block(evaluation, &arguments[0])?)?);
    let along = direction(evaluation, &arguments[1])?;
    Ok(lengths(evaluation, other.reach(along).1 - dot(own.at, along)))
}

/// The direction square to both sides of a body that are known first.
fn square_to(body: &Body) -> Option<Vector> {
    across(body.sides.first()?.along, body.sides.get(1)?.along)
}

fn off_middle(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let from_middle = |index: usize| {
        let id = block(evaluation, &arguments[index])?;
        let (own, extent) = (body(model, id)?, extent(model, id)?);
        let along = square_to(&own).ok_or_else(|| absent("the way that it lies"))?;
        let half = |axis: usize| (extent.most[axis] - extent.least[axis]) / 2.0;
        let long: f64 = (0..3).map(|axis| 2.0 * half(axis) * along[axis].abs()).sum();
        let middle: Vector = std::array::from_fn(|axis| extent.least[axis] + half(axis));
        Ok((long, (dot(own.at, along) - dot(middle, along)).abs()))
    };
    let ((long, off), (other, window)) = (from_middle(0)?, from_middle(1)?);
    if (long - other).abs() > evaluation.quantity(&arguments[2])?.value {
        return Err(absent("parts that are as long as each other there"));
    }
    Ok(lengths_of(model, block(evaluation, &arguments[0])?, (off - window).abs()))
}

fn off_beside(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let model = evaluation.model;
    let at = |index: usize| block(evaluation, &arguments[index]).and_then(|id| body(model, id));
    let ([arm, next], [slot, window]) = ([at(0)?, at(1)?], [at(2)?, at(3)?]);
    let spacing = |a: &Body, b: &Body| {
        let square = square_to(a)?;
        Some((dot(b.at, square) - dot(a.at, square)).abs())
    };
    let (arms, slots) = (spacing(&arm, &next), spacing(&slot, &window));
    let (arms, slots) = arms.zip(slots).ok_or_else(|| absent("the way that it lies"))?;
    Ok(lengths_of(model, block(evaluation, &arguments[0])?, (arms - slots).abs()))
}

fn twin(evaluation: &Evaluation, arguments: &[Expr]) -> Result<FeatureId, Failure> {
    let model = evaluation.model;
    let word = |index: usize| arguments[index].word().unwrap_or_default();
    let named = |id: FeatureId, word: &str| match model.value_of(id, model.field(id, word)?) {
        Ok(Value::Feature(named)) => Some(named),
        _ => None,
    };
    let both = |id: FeatureId| named(id, word(0)).zip(named(id, word(1)));
    let part = |id: FeatureId| model.outward(id).find(|id| model.feature(*id).block.drawn);
    let own = both(evaluation.feature).ok_or_else(|| absent("its features"))?;
    let is_twin = |id: &FeatureId| {
        both(*id).is_some_and(|(first, second)| {
            first != own.0 && second != own.1 && part(first) == part(own.0) && part(second) == part(own.1)
        })
    };
    let kind = &model.feature(evaluation.feature).block.name;
    let above = beside(model, evaluation.feature).take_while(|id| *id != evaluation.feature);
    let mut alike = above.filter(|id| model.feature(*id).block.name == *kind);
    alike.find(is_twin).ok_or_else(|| absent("another one between the same parts"))
}

fn is_image(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Value, Failure> {
    let Some((id, index)) = super::origin::field_of(evaluation, &arguments[0])? else { return Ok(Value::Flag(false)) };
    let written = evaluation.model.feature(id).fields[index].written.as_ref();
    let turned = written.map_or(0, |written| written.mirrored.into_iter().filter(|axis| *axis).count());
    Ok(Value::Flag(turned % 2 == 1))
}
