//! The numbers that a modeller draws, in the order of the features.

use serde::Serialize;

use super::json::result_json;
use super::look::Look;
use super::numbers::clean;
use super::table::table;
use crate::model::{Model, Value};
use crate::quantity::{Dimension, Quantity};
use crate::source::{Sources, printable_line};
use crate::syntax::tree::{Expr, ExprKind, ValueKind};

/// Decimals of a dimension: a micrometre, a ten-thousandth of an inch, a hundredth of a degree.
fn decimals(unit: &str) -> usize {
    match unit {
        "in" => 4,
        "deg" => 2,
        _ => 3,
    }
}

/// A number with so many decimals, without zeros at its end. A half of the last one goes away from zero, as an inspection
/// tells it, also where its binary digits fall short of a half.
fn rounded(value: f64, unit: &str) -> String {
    let text = format!("{:.*}", decimals(unit), value * (1.0 + 1e-12));
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A dimension of a printed part.
#[derive(Debug, Clone, Serialize)]
#[non_exhaustive]
pub struct Drawn {
    /// The feature's path.
    pub feature: String,
    /// The kind of block that it is.
    pub kind: String,
    /// The field; an extent of a size as `size.x`.
    pub field: String,
    /// The number, in `unit`; null for what cannot be worked out.
    pub value: Option<f64>,
    /// The author's unit; empty for bare numbers.
    pub unit: &'static str,
    /// What the sheet says there, where that is not just the number.
    pub from: Option<String>,
}

/// Every length and angle that the sheet states for its own printed parts.
#[must_use]
pub fn dimensions(model: &Model, sources: &Sources) -> Vec<Drawn> {
    let mut all = Vec::new();
    for (id, feature) in model.ids().filter(|(id, feature)| model.is_drawn(*id) && !feature.imported) {
        let (path, kind) = (model.path(id), feature.block.name.to_string());
        for field in &feature.fields {
            let Some(written) = &field.written else { continue };
            let number = |expr: &Expr| match &expr.kind {
                ExprKind::Negative(inner) => matches!(inner.kind, ExprKind::Number { .. }),
                kind => matches!(kind, ExprKind::Number { .. }),
            };
            let is_number = match &written.value.kind {
                ValueKind::Plain(expr) => number(expr),
                ValueKind::Size(lengths) | ValueKind::Place(lengths) => lengths.iter().all(number),
                _ => false,
            };
            let class = written.class.as_ref().map_or(String::new(), |class| format!(" {}", class.text));
            let said = printable_line(sources.slice(written.value.span).trim()).into_owned() + &class;
            let from = (!is_number || !class.is_empty()).then_some(said);
            let drawn = |field: String, quantity: &Quantity| Drawn {
                feature: path.clone(),
                kind: kind.clone(),
                field,
                value: clean(quantity.shown_unit().map_or(quantity.value, |unit| unit.show(quantity.value))),
                unit: quantity.shown_unit().map_or("", |unit| unit.name),
                from: from.clone(),
            };
            match model.value_of(id, field) {
                Ok(Value::Quantity(quantity)) if is_drawn(&quantity) => all.push(drawn(field.name.clone(), &quantity)),
                Ok(Value::Size(lengths) | Value::Place(lengths)) => {
                    let extents = ["x", "y", "z"].iter().zip(lengths.iter());
                    all.extend(extents.map(|(axis, extent)| drawn(format!("{}.{axis}", field.name), extent)));
                }
                _ => {}
            }
        }
    }
    all
}

/// A length or an angle: forces, times and how often a thing is opened are not drawn.
fn is_drawn(quantity: &Quantity) -> bool {
    [Dimension::LENGTH, Dimension::ANGLE].contains(&quantity.dimension)
}

impl Drawn {
    fn text(&self) -> String {
        let value = self.value.map_or_else(|| "?".to_owned(), |value| rounded(value, self.unit));
        if self.unit.is_empty() { value } else { format!("{value} {}", self.unit) }
    }
}

/// A table: each feature once, its dimensions beside it.
#[must_use]
pub fn dimensions_text(all: &[Drawn], look: Look) -> String {
    if all.is_empty() {
        return "the sheet states no dimension of a printed part\n".into();
    }
    let mut rows = vec![["feature", "dimension", "value", "from"].map(str::to_owned).to_vec()];
    let mut last = "";
    for drawn in all {
        let feature = if drawn.feature == last { String::new() } else { format!("{} ({})", drawn.feature, drawn.kind) };
        last = &drawn.feature;
        rows.push(vec![feature, drawn.field.clone(), drawn.text(), drawn.from.clone().unwrap_or_default()]);
    }
    table(&rows, look)
}

/// Comma-separated values after RFC 4180: a heading, then a line a dimension.
#[must_use]
pub fn dimensions_csv(all: &[Drawn]) -> String {
    let quoted = |text: &str| {
        if text.contains([',', '"', '\n', '\r']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.to_owned()
        }
    };
    let mut out = String::from("feature,kind,field,value,unit,from\r\n");
    for drawn in all {
        let value = drawn.value.map(|value| rounded(value, drawn.unit)).unwrap_or_default();
        let from = drawn.from.clone().unwrap_or_default();
        let cells = [drawn.feature.as_str(), &drawn.kind, &drawn.field, &value, drawn.unit, &from].map(quoted);
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    out
}

#[derive(Serialize)]
struct Document<'a> {
    shape: &'static str,
    sheet: &'a str,
    dimensions: &'a [Drawn],
}

/// The same for programs.
#[must_use]
pub fn dimensions_json(sheet: &str, all: &[Drawn]) -> String {
    result_json(&Document { shape: "dryfit-dimensions/1", sheet, dimensions: all })
}
