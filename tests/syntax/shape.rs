//! A tree without its places, to compare what two texts say.

use std::fmt::Write;

use dryfit::source::{Source, Sources, Span};
use dryfit::syntax::tree::{Body, Expr, ExprKind, Name, Path, Statement, Value, ValueKind};

/// The tree and faults of a text.
pub fn read(text: &str) -> (Body, Vec<dryfit::fault::Fault>) {
    let mut sources = Sources::new();
    let id = sources.add(Source::new("a.dryfit", text));
    dryfit::syntax::sheet(sources.get(id), id)
}

/// What a text says, without its places.
pub fn shape(body: &Body) -> String {
    let debug = format!("{body:?}");
    let mut out = String::with_capacity(debug.len());
    let mut rest = debug.as_str();
    while let Some((before, after)) = rest.split_once("span: Span {") {
        out.push_str(before);
        rest = after.split_once('}').map_or("", |(_, rest)| rest);
    }
    let _ = write!(out, "{rest}");
    out
}

/// Every place in a tree.
pub fn spans(body: &Body) -> Vec<Span> {
    let mut spans = Vec::new();
    for statement in &body.statements {
        match statement {
            Statement::Let(binding) => {
                spans.push(binding.span);
                name(&binding.name, &mut spans);
                value(&binding.value, &mut spans);
            }
            Statement::Clause(clause) => {
                spans.push(clause.span);
                name(&clause.head, &mut spans);
                clause.values.iter().for_each(|inner| value(inner, &mut spans));
                clause.like.iter().for_each(|inner| path(inner, &mut spans));
                clause.body.iter().for_each(|inner| spans.extend(self::spans(inner)));
            }
        }
    }
    spans
}

fn name(name: &Name, spans: &mut Vec<Span>) {
    spans.push(name.span);
}

fn path(path: &Path, spans: &mut Vec<Span>) {
    spans.push(path.span);
    path.names.iter().for_each(|inner| name(inner, spans));
}

fn value(value: &Value, spans: &mut Vec<Span>) {
    spans.push(value.span);
    let mut all = |list: &[&Expr]| list.iter().for_each(|inner| expr(inner, spans));
    match &value.kind {
        ValueKind::Plain(inner) => all(&[inner]),
        ValueKind::Toleranced { nominal, above, below } => all(&[nominal, above, below]),
        ValueKind::Measured { readings, instrument, limit } => {
            for inner in readings {
                all(&[inner]);
            }
            if let Some(inner) = limit {
                all(&[inner]);
            }
            if let Some(inner) = instrument {
                name(inner, spans);
            }
        }
        ValueKind::Between { low, high } => all(&[low, high]),
        ValueKind::Bound { at, .. } => all(&[at]),
        ValueKind::Size(lengths) | ValueKind::Place(lengths) => lengths.iter().for_each(|inner| all(&[inner])),
        ValueKind::Direction { tilt, .. } => tilt.iter().for_each(|(inner, _)| all(&[inner])),
    }
}

fn expr(expr: &Expr, spans: &mut Vec<Span>) {
    expr.walk(&mut |inner| {
        spans.push(inner.span);
        match &inner.kind {
            ExprKind::Path(inner) => path(inner, spans),
            ExprKind::Number { unit: Some(unit), .. } => name(unit, spans),
            ExprKind::Call { name: function, .. } => name(function, spans),
            _ => {}
        }
    });
}
