//! Bounds and tolerances that are written so that they read as sums and differences.

use super::misfit::literal;
use super::plain;
use crate::fault::{Fault, ValueFault};
use crate::quantity::Unit;
use crate::source::Span;
use crate::syntax::tree::{self, Expr, ExprKind, Operator};

/// `18 mm - 19 mm`, where bounds are meant and less than nothing is read.
pub(super) fn meant_as_bounds(value: &tree::Value) -> Option<Fault> {
    let ExprKind::Binary { operator: Operator::Subtract, left, right } = &plain(value)?.kind else { return None };
    let (ExprKind::Number { value: low, unit: Some(of_low) }, ExprKind::Number { value: high, unit: Some(of_high) }) =
        (&left.kind, &right.kind)
    else {
        return None;
    };
    let (low_unit, high_unit) = (Unit::named(&of_low.text)?, Unit::named(&of_high.text)?);
    let less = low_unit.dimension == high_unit.dimension && low_unit.to_base(*low) < high_unit.to_base(*high);
    less.then(|| {
        let (low, high) = (format!("{low} {}", of_low.text), format!("{high} {}", of_high.text));
        ValueFault::LessThanNothing { low, high }.at(value.span)
    })
}

/// `20 mm +0.1 -0.05`: a tolerance without its slash, as its signs tell that are joined to their numbers.
pub(super) fn meant_as_tolerance(value: &tree::Value) -> Option<Fault> {
    let (first, rest, last) = signed(plain(value)?)?;
    let Some((second, nominal, middle)) = signed(rest) else { return to_one_side(first, rest, last, value.span) };
    let ExprKind::Number { unit: Some(unit), .. } = &nominal.kind else { return None };
    let (above, below) = match (second, first) {
        (Operator::Add, Operator::Subtract) => (middle, last),
        (Operator::Subtract, Operator::Add) => (last, middle),
        _ => return None,
    };
    let [nominal, above, below] = [literal(nominal)?, literal(above)?, literal(below)?];
    let meant = format!("{nominal} {} +{above}/-{below} {}", unit.text, unit.text);
    Some(ValueFault::NoSlash { meant }.at(value.span))
}

/// `20 mm +0.1 mm`: a tolerance without its other side.
fn to_one_side(sign: Operator, nominal: &Expr, by: &Expr, at: Span) -> Option<Fault> {
    let ExprKind::Number { value, unit: Some(unit) } = &nominal.kind else { return None };
    let (by, unit) = (literal(by)?, &unit.text);
    let meant = match sign {
        Operator::Add => format!("{value} {unit} +{by}/-0 {unit}"),
        _ => format!("{value} {unit} +0/-{by} {unit}"),
    };
    Some(ValueFault::OneSide { meant }.at(at))
}

/// A sum or difference whose sign is joined to its second number and not to what it follows.
fn signed(expr: &Expr) -> Option<(Operator, &Expr, &Expr)> {
    let ExprKind::Binary { operator: operator @ (Operator::Add | Operator::Subtract), left, right } = &expr.kind else {
        return None;
    };
    (right.span.start == left.span.end + 2).then_some((*operator, &**left, &**right))
}
