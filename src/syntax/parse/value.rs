//! From pest's pairs to values: amounts with their tolerances, readings, bounds, sizes and directions.

use pest::iterators::Pair;

use super::{Reader, axis, nothing};
use crate::fault::TextFault;
use crate::syntax::limits::OPERATORS;
use crate::syntax::tree::{Axis, Expr, ExprKind, Side, Value, ValueKind};
use crate::syntax::{Rule, explain};

impl Reader<'_> {
    pub(super) fn value(&mut self, pair: Pair<Rule>) -> Value {
        let span = self.span(&pair);
        if self.is_too_long(&pair) {
            return Value { kind: ValueKind::Plain(nothing(span)), span };
        }
        let kind = match pair.as_rule() {
            Rule::measured => self.measured(&pair),
            Rule::between => {
                let mut sums: Vec<Expr> = pair.into_inner().map(|sum| self.sum(sum)).collect();
                let high = sums.pop().unwrap_or_else(|| nothing(span));
                let low = sums.pop().unwrap_or_else(|| nothing(span));
                ValueKind::Between { low, high }
            }
            Rule::bound => self.bound(pair),
            Rule::tilted => self.tilted(pair),
            Rule::size => {
                let mut extents: Vec<_> = pair.into_inner().map(|e| self.extent(e)).collect();
                take_last_unit(&mut extents);
                ValueKind::Size(extents)
            }
            Rule::alone => {
                ValueKind::Plain(pair.into_inner().next().map_or_else(|| nothing(span), |one| self.primary(one)))
            }
            _ => self.amount(pair),
        };
        Value { kind, span }
    }

    fn measured(&mut self, pair: &Pair<Rule>) -> ValueKind {
        let (mut readings, mut instrument, mut limit) = (Vec::new(), None, None);
        for inner in pair.clone().into_inner() {
            match inner.as_rule() {
                Rule::instrument => {
                    instrument = inner.into_inner().next().map(|name| self.name(&name));
                }
                _ if self.stands_after_plus_minus(&inner) => {
                    limit = Some(Box::new(self.reading(inner)));
                }
                _ => readings.push(self.reading(inner)),
            }
        }
        if self.refuse_decimal_commas(pair) {
            return ValueKind::Plain(nothing(self.span(pair)));
        }
        take_last_unit(&mut readings);
        if let Some(limit) = limit.as_deref() {
            for reading in &mut readings {
                take_unit_of(reading, limit);
            }
        }
        ValueKind::Measured { readings, instrument, limit }
    }

    fn stands_after_plus_minus(&self, pair: &Pair<Rule>) -> bool {
        let before = self.source.text[..pair.as_span().start()].trim_end();
        before.ends_with('±') || before.ends_with("+-") || before.ends_with("+/-")
    }

    /// `measured 2,02, 1,98 mm` reads as four readings, and `measured 2.02, 2,1 mm` as three; nobody means that.
    fn refuse_decimal_commas(&mut self, pair: &Pair<Rule>) -> bool {
        let text = pair.as_str();
        let mut joining = text.match_indices(',').map(|(at, _)| at).filter(|at| is_joining(text, *at));
        let Some(at) = joining.find(|at| !text.contains('.') || is_between_whole_numbers(text, *at)) else {
            return false;
        };
        let place = self.place(pair.as_span().start() + at..pair.as_span().start() + at + 1);
        self.faults.push(explain::decimal_comma(place, text));
        true
    }

    fn reading(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut negative = false;
        let mut number = nothing(span);
        for inner in pair.into_inner() {
            match inner.as_rule() {
                Rule::sign => negative = inner.as_str() != "+",
                _ => number = self.quantity(inner),
            }
        }
        if let (true, ExprKind::Number { value, .. }) = (negative, &mut number.kind) {
            *value = -*value;
        }
        number.span = span;
        number
    }

    fn bound(&mut self, pair: Pair<Rule>) -> ValueKind {
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let side = inner.next().map_or(Side::Least, |side| match side.as_str() {
            "most" => Side::Most,
            _ => Side::Least,
        });
        let at = inner.next().map_or_else(|| nothing(span), |sum| self.sum(sum));
        ValueKind::Bound { side, at }
    }

    fn tilted(&mut self, pair: Pair<Rule>) -> ValueKind {
        let mut inner = pair.into_inner();
        let from = inner.next().map_or(Axis { index: 2, negative: false }, |d| axis(d.as_str()));
        let tilt = inner.next().and_then(|tilt| {
            let mut parts = tilt.into_inner();
            let angle = self.sum(parts.next()?);
            Some((angle, axis(parts.next()?.as_str())))
        });
        ValueKind::Direction { axis: from, tilt }
    }

    fn extent(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        match pair.into_inner().next() {
            Some(inner) if inner.as_rule() == Rule::sum => self.sum(inner),
            Some(inner) => self.primary(inner),
            None => nothing(span),
        }
    }

    fn amount(&mut self, pair: Pair<Rule>) -> ValueKind {
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let mut nominal = inner.next().map_or_else(|| nothing(span), |pair| self.condition(pair));
        let Some(after) = inner.next() else { return ValueKind::Plain(nominal) };
        if after.as_rule() == Rule::further {
            let further = after.into_inner().map(|sum| self.sum(sum));
            let mut distances: Vec<Expr> = std::iter::once(nominal).chain(further).collect();
            take_last_unit(&mut distances);
            return ValueKind::Place(distances);
        }
        let is_range = after.as_rule() == Rule::up_to;
        let mut parts = after.into_inner();
        let Some(tolerance) = parts.next() else { return ValueKind::Plain(nominal) };
        if is_range {
            return ValueKind::Between { low: nominal, high: self.sum(tolerance) };
        }
        let instrument = parts.next().and_then(|by| by.into_inner().next()).map(|name| self.name(&name));
        if tolerance.as_rule() != Rule::uneven {
            let both = self.sum(tolerance);
            take_unit_of(&mut nominal, &both);
            return match instrument {
                // One reading, with what the instrument may be off.
                Some(_) if matches!(nominal.kind, ExprKind::Number { .. }) => {
                    ValueKind::Measured { readings: vec![nominal], instrument, limit: Some(Box::new(both)) }
                }
                Some(by) => {
                    self.faults.push(TextFault::NoReading { instrument: by.text.clone() }.at(by.span));
                    ValueKind::Toleranced { nominal, above: both.clone(), below: both }
                }
                None => ValueKind::Toleranced { nominal, above: both.clone(), below: both },
            };
        }
        if let Some(by) = instrument {
            self.faults.push(TextFault::NoReading { instrument: by.text.clone() }.at(by.span));
        }
        let (mut sides, mut up, mut none) = ([nothing(span), nothing(span)], [true, false], [false, false]);
        for (index, side) in tolerance.into_inner().take(2).enumerate() {
            up[index] = side.as_rule() == Rule::up_by;
            none[index] = side.as_rule() == Rule::no_way;
            if let Some(amount) = side.into_inner().next() {
                sides[index] = self.quantity(amount);
            }
        }
        // A side that is nothing lies opposite to the other one.
        match none {
            [true, _] => up[0] = !up[1],
            [_, true] => up[1] = !up[0],
            _ => {}
        }
        share_unit(&mut sides);
        let [above, below] = above_and_below(sides, up);
        take_unit_of(&mut nominal, &above);
        ValueKind::Toleranced { nominal, above, below }
    }

    /// Whatever nests expressions without parentheses is counted here, so that nothing overflows
    /// the stack later.
    pub(super) fn is_too_long(&mut self, pair: &Pair<Rule>) -> bool {
        let joins = |pair: &Pair<Rule>| {
            matches!(pair.as_rule(), Rule::add | Rule::multiply | Rule::power | Rule::compare | Rule::joint | Rule::not)
        };
        // An operator takes a byte at least.
        let too_long =
            pair.as_str().len() > OPERATORS && pair.clone().into_inner().flatten().filter(joins).count() > OPERATORS;
        if too_long {
            let fault = TextFault::LongExpression { most: OPERATORS }.at(self.span(pair));
            self.faults.push(fault);
        }
        too_long
    }
}

/// `42 x 24 x 12 mm`, `-12, 8, -5 mm`: numbers without a unit take the last one's.
fn take_last_unit(list: &mut [Expr]) {
    let shared = match list.last_mut().map(unsigned) {
        Some(ExprKind::Number { unit: Some(unit), .. }) => unit.clone(),
        _ => return,
    };
    for expr in list {
        if let ExprKind::Number { unit: unit @ None, .. } = unsigned(expr) {
            *unit = Some(shared.clone());
        }
    }
}

/// What stands after a minus sign, or the expression itself.
fn unsigned(expr: &mut Expr) -> &mut ExprKind {
    match &mut expr.kind {
        ExprKind::Negative(inner) => &mut inner.kind,
        kind => kind,
    }
}

/// `25.2 ± 0.05 mm`: a number without a unit takes its tolerance's, unless that is a share.
fn take_unit_of(nominal: &mut Expr, tolerance: &Expr) {
    if let (ExprKind::Number { unit: own @ None, .. }, ExprKind::Number { unit: Some(unit), .. }) =
        (&mut nominal.kind, &tolerance.kind)
        && unit.text != "%"
    {
        *own = Some(unit.clone());
    }
}

/// How far two sides reach above what is drawn, and how far below it: less than nothing where both are on one side of it.
fn above_and_below(mut sides: [Expr; 2], up: [bool; 2]) -> [Expr; 2] {
    let size = |expr: &Expr| match &expr.kind {
        ExprKind::Number { value, .. } => value.abs(),
        _ => 0.0,
    };
    let first_reaches_up = if up[0] == up[1] { up[0] == (size(&sides[0]) >= size(&sides[1])) } else { up[0] };
    if !first_reaches_up {
        sides.reverse();
    }
    if up[0] == up[1] {
        let within = usize::from(up[0]);
        if let ExprKind::Number { value, .. } = &mut sides[within].kind {
            *value = -*value;
        }
    }
    sides
}

/// `+0.1/-0.0 mm`: whichever side has no unit takes the other's.
fn share_unit(sides: &mut [Expr; 2]) {
    take_last_unit(sides);
    sides.reverse();
    take_last_unit(sides);
    sides.reverse();
}

/// Whether a comma is between two digits.
fn is_joining(text: &str, at: usize) -> bool {
    let bytes = text.as_bytes();
    at > 0 && bytes[at - 1].is_ascii_digit() && bytes.get(at + 1).is_some_and(u8::is_ascii_digit)
}

/// Whether a comma is between two numbers without a point, where others have a space after them.
fn is_between_whole_numbers(text: &str, at: usize) -> bool {
    let is_of_number = |sign: &char| sign.is_ascii_digit() || *sign == '.';
    let before = text[..at].chars().rev().take_while(is_of_number);
    let after = text[at + 1..].chars().take_while(is_of_number);
    text.contains(", ") && before.chain(after).all(|sign| sign != '.')
}
