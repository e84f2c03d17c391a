//! Readings of one dimension that lie far from the others.

use super::{Answer, Form, Gives, Takes, wrong};
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::{Dimension, Quantity, Shape};
use crate::syntax::tree::{Expr, ValueKind};

pub(super) static FORMS: [Form; 6] = [
    Form {
        name: "stray-ratio",
        written: "stray-ratio(block, limits)",
        doc: "Of a block's dimension with the reading that strays most: that reading's gap to the next over the range of \
              all (Dixon's r10). Gaps up to so many of the instrument's limits count as none.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Quantity],
        gives: Gives::Of(Dimension::NONE),
        answer: Answer::Own(|e, a| Ok(Value::Quantity(Quantity::ratio(strayed(e, a)?.ratio)))),
    },
    Form {
        name: "stray-count",
        written: "stray-count(block, limits)",
        doc: "How many readings that dimension has.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Quantity],
        gives: Gives::Of(Dimension::NONE),
        answer: Answer::Own(|e, a| {
            #[allow(clippy::cast_precision_loss, reason = "a handful of readings")]
            let count = strayed(e, a)?.count as f64;
            Ok(Value::Quantity(Quantity::ratio(count)))
        }),
    },
    Form {
        name: "stray-dimension",
        written: "stray-dimension(block, limits)",
        doc: "The name of that dimension.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Quantity],
        gives: Gives::Word,
        answer: Answer::Own(|e, a| Ok(Value::Text(strayed(e, a)?.dimension.into()))),
    },
    Form {
        name: "stray-reading",
        written: "stray-reading(block, limits)",
        doc: "That reading itself.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Quantity],
        gives: Gives::Quantity,
        answer: Answer::Own(|e, a| Ok(Value::Quantity(strayed(e, a)?.reading))),
    },
    Form {
        name: "stray-least",
        written: "stray-least(block, limits)",
        doc: "The least of the other readings of that dimension.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Quantity],
        gives: Gives::Quantity,
        answer: Answer::Own(|e, a| Ok(Value::Quantity(strayed(e, a)?.others[0].clone()))),
    },
    Form {
        name: "stray-most",
        written: "stray-most(block, limits)",
        doc: "The largest of the other readings of that dimension.",
        arguments: 2..=2,
        takes: &[Takes::Feature, Takes::Quantity],
        gives: Gives::Quantity,
        answer: Answer::Own(|e, a| Ok(Value::Quantity(strayed(e, a)?.others[1].clone()))),
    },
];

/// The reading of a block that lies farthest from the next one of its dimension.
struct Stray {
    /// Its gap over the range of that dimension's readings.
    ratio: f64,
    count: usize,
    dimension: String,
    reading: Quantity,
    /// The least and the largest of the others.
    others: [Quantity; 2],
    /// The gap in limits of the instrument.
    limits: f64,
}

pub(super) fn block(evaluation: &Evaluation, expr: &Expr) -> Result<FeatureId, Failure> {
    match evaluation.value(expr)? {
        Value::Feature(id) => Ok(id),
        other => Err(wrong(expr, "a block", &other)),
    }
}

fn strayed(evaluation: &Evaluation, arguments: &[Expr]) -> Result<Stray, Failure> {
    let id = block(evaluation, &arguments[0])?;
    let most = evaluation.quantity(&arguments[1])?.value;
    let fields = evaluation.model.feature(id).fields.len();
    let all = (0..fields).filter_map(|index| stray_of(evaluation, id, index));
    let worst = all.filter(|stray| stray.limits > most).max_by(|a, b| a.limits.total_cmp(&b.limits));
    let none = || Failure::Absent("a reading far from the others".into());
    worst.ok_or_else(none)
}

/// `None` for a dimension with fewer than three readings: of two nobody can say which one strays.
fn stray_of(evaluation: &Evaluation, id: FeatureId, index: usize) -> Option<Stray> {
    let model = evaluation.model;
    let field = &model.feature(id).fields[index];
    model.note_read(id, field);
    let written = field.written.as_ref()?;
    let ValueKind::Measured { readings, .. } = &written.value.kind else { return None };
    let inner = Evaluation::written(model, id, field);
    let mut values = readings.iter().map(|reading| inner.quantity(reading).ok()).collect::<Option<Vec<_>>>()?;
    values.sort_by(|a, b| a.value.total_cmp(&b.value));
    let [first, second, .., before, last] = values.as_slice() else {
        let [first, middle, last] = values.as_slice() else { return None };
        return stray_among(evaluation, id, index, [first, middle, middle, last], 3);
    };
    stray_among(evaluation, id, index, [first, second, before, last], values.len())
}

/// From the two lowest and the two highest readings.
fn stray_among(
    evaluation: &Evaluation,
    id: FeatureId,
    index: usize,
    [first, second, before, last]: [&Quantity; 4],
    count: usize,
) -> Option<Stray> {
    let (below, above) = (second.value - first.value, last.value - before.value);
    let (gap, stray, low, high) =
        if below > above { (below, first, second, last) } else { (above, last, first, before) };
    let range = last.value - first.value;
    let limit = instruments_limit(evaluation, id, index)?;
    if range <= 0.0 {
        return None;
    }
    let field = &evaluation.model.feature(id).fields[index];
    let (dimension, reading, others) = (field.name.clone(), stray.clone(), [low.clone(), high.clone()]);
    Some(Stray { ratio: gap / range, count, dimension, reading, others, limits: gap / limit })
}

/// The widest of the bounds that the measured value is known by, in base units.
fn instruments_limit(evaluation: &Evaluation, id: FeatureId, index: usize) -> Option<f64> {
    let model = evaluation.model;
    let Ok(Value::Quantity(value)) = model.value_of(id, &model.feature(id).fields[index]) else { return None };
    let inputs = value.terms.iter().filter_map(|term| model.input(term.input));
    let bounds = inputs.filter(|input| input.shape == Shape::Rectangular).map(|input| input.bound);
    bounds.max_by(f64::total_cmp).filter(|bound| *bound > 0.0)
}
