//! From pest's pairs to the tree. Lines that cannot be read become faults; the rest is kept.

use pest::Parser;
use pest::iterators::Pair;
use pest::pratt_parser::{Assoc, Op, PrattParser};

use super::limits::{FAULTS, OPERATORS};
use super::tree::{
    Axis, Binding, Body, Clause, Comparator, Expr, ExprKind, Name, Operator, Path, Statement, Value, ValueKind,
};
use super::{Grammar, Rule, depth, explain};
use crate::fault::Fault;
use crate::origin::Origin;
use crate::source::{Source, SourceId, Span, is_misleading, is_unprintable};

/// Reads a sheet. Whatever can be read is in the body, whatever cannot is in the faults.
#[must_use]
pub fn sheet(source: &Source, id: SourceId) -> (Body, Vec<Fault>) {
    if let Some(fault) = depth::check(source, id) {
        return (Body::default(), vec![fault]);
    }
    let origin = Origin::default();
    let mut reader = Reader::new(source, id, &origin);
    let body = match Grammar::parse(Rule::sheet, &source.text) {
        Ok(mut pairs) => pairs.next().map(|sheet| reader.body(sheet)).unwrap_or_default(),
        // The grammar takes any text; this is only reached if a change to it breaks that.
        Err(error) => {
            reader.faults.push(explain::broken(source, id, 0..source.text.len(), Some(&error)));
            Body::default()
        }
    };
    reader.faults.sort_by_key(|fault| fault.at);
    let total = reader.faults.len();
    if total > FAULTS {
        reader.faults.truncate(FAULTS);
        reader.faults.push(explain::too_many(id, total));
    }
    (body, reader.faults)
}

/// Reads an expression out of a data file; `origin` knows where its bytes stand in the file.
///
/// # Errors
/// The fault that stands where the expression stops making sense.
pub fn expression(text: &str, id: SourceId, origin: &Origin) -> Result<Expr, Fault> {
    let source = Source::new("", text);
    let mut pairs = parse_in(Rule::expression, &source, id, origin)?;
    let mut reader = Reader::new(&source, id, origin);
    let condition = pairs.next().and_then(|pair| pair.into_inner().next());
    let expr = condition.filter(|pair| !reader.is_too_long(pair)).map(|pair| reader.condition(pair));
    finish(expr, reader)
}

/// Reads a value out of a data file; `origin` as for [`expression`].
///
/// # Errors
/// The fault that stands where the value stops making sense.
pub fn value(text: &str, id: SourceId, origin: &Origin) -> Result<Value, Fault> {
    let source = Source::new("", text);
    let mut pairs = parse_in(Rule::data_value, &source, id, origin)?;
    let mut reader = Reader::new(&source, id, origin);
    let pair = pairs.next().and_then(|pair| pair.into_inner().next());
    let value = pair.map(|pair| reader.value(pair));
    finish(value, reader)
}

fn parse_in<'s>(
    rule: Rule,
    source: &'s Source,
    id: SourceId,
    origin: &Origin,
) -> Result<pest::iterators::Pairs<'s, Rule>, Fault> {
    if let Some(fault) = depth::check(source, id) {
        return Err(shifted(fault, origin));
    }
    Grammar::parse(rule, &source.text)
        .map_err(|error| shifted(explain::broken(source, id, 0..source.text.len(), Some(&error)), origin))
}

fn finish<T>(read: Option<T>, reader: Reader) -> Result<T, Fault> {
    let at = reader.id.span(reader.origin.range(0..0));
    let nothing = || Fault::new("unreadable-line", at, "nothing stands here");
    match reader.faults.into_iter().next() {
        Some(fault) => Err(fault),
        None => read.ok_or_else(nothing),
    }
}

fn shifted(mut fault: Fault, origin: &Origin) -> Fault {
    fault.at = fault.at.source.span(origin.range(fault.at.range()));
    fault
}

/// Turns pairs into tree nodes and collects faults on the way.
struct Reader<'s> {
    source: &'s Source,
    id: SourceId,
    origin: &'s Origin,
    faults: Vec<Fault>,
}

impl<'s> Reader<'s> {
    fn new(source: &'s Source, id: SourceId, origin: &'s Origin) -> Self {
        Self { source, id, origin, faults: Vec::new() }
    }

    fn span(&self, pair: &Pair<Rule>) -> Span {
        let span = pair.as_span();
        self.id.span(self.origin.range(span.start()..span.end()))
    }

    fn body(&mut self, block: Pair<Rule>) -> Body {
        let opening = block.as_span().start();
        let (mut statements, mut broken) = (Vec::new(), Vec::new());
        for pair in block.into_inner() {
            match pair.as_rule() {
                Rule::binding => statements.extend(self.binding(pair)),
                Rule::clause => statements.extend(self.clause(pair)),
                Rule::broken => {
                    broken.push(first_word(pair.as_str()).to_owned());
                    self.broken(pair);
                }
                Rule::comment => self.comment(&pair),
                Rule::stray => {
                    let fault = explain::stray_brace(self.span(&pair));
                    self.faults.push(fault);
                }
                Rule::unclosed => {
                    let at = self.id.span(opening..opening + 1);
                    self.faults.push(explain::unclosed(at));
                }
                _ => {}
            }
        }
        Body { statements, broken }
    }

    /// Says why a line could not be read; what its block holds is read for its own faults only.
    fn broken(&mut self, pair: Pair<Rule>) {
        let mut range = pair.as_span().start()..pair.as_span().end();
        let block = pair.into_inner().find(|inner| inner.as_rule() == Rule::block);
        if let Some(block) = block {
            range.end = block.as_span().start().max(range.start + 1);
            self.faults.push(explain::broken(self.source, self.id, range, None));
            self.body(block);
        } else {
            self.faults.push(explain::broken(self.source, self.id, range, None));
        }
    }

    /// A comment may hold any script, but nothing that rewrites a terminal or turns the line around.
    fn comment(&mut self, pair: &Pair<Rule>) {
        if let Some(control) = pair.as_str().chars().find(|c| is_misleading(*c)) {
            let fault = explain::control_character(self.span(pair), "comment", control);
            self.faults.push(fault);
        }
    }

    /// One past the word that begins at a byte of a sheet.
    fn word_end(&self, start: usize) -> usize {
        let rest = self.source.text.get(start..).unwrap_or_default();
        start + rest.find(|c: char| c.is_whitespace() || matches!(c, ';' | '{' | '}' | '#')).unwrap_or(rest.len())
    }

    fn binding(&mut self, pair: Pair<Rule>) -> Option<Statement> {
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let name = self.name(&inner.next()?);
        let value = self.value(inner.next()?);
        Some(Statement::Let(Binding { name, value, span }))
    }

    fn clause(&mut self, pair: Pair<Rule>) -> Option<Statement> {
        let mut span = self.span(&pair);
        let mut inner = pair.into_inner();
        let head = self.name(&inner.next()?);
        let (mut values, mut like, mut body) = (Vec::new(), None, None);
        span.end = head.span.end;
        for pair in inner {
            let end = self.span(&pair).end;
            match pair.as_rule() {
                Rule::likeness => like = pair.into_inner().next().map(|path| self.path(path)),
                Rule::block => {
                    body = Some(self.body(pair));
                    continue;
                }
                Rule::crowded => {
                    let after = self.id.span(end as usize..self.word_end(end as usize));
                    self.faults.push(explain::crowded(after));
                    continue;
                }
                _ => values.push(self.value(pair)),
            }
            span.end = end;
        }
        Some(Statement::Clause(Clause { head, values, like, body, span }))
    }

    fn name(&self, pair: &Pair<Rule>) -> Name {
        Name { text: pair.as_str().to_owned(), span: self.span(pair) }
    }

    fn path(&self, pair: Pair<Rule>) -> Path {
        let span = self.span(&pair);
        Path { names: pair.into_inner().map(|name| self.name(&name)).collect(), span }
    }

    fn value(&mut self, pair: Pair<Rule>) -> Value {
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
            Rule::tilted => self.tilted(pair),
            Rule::size => {
                let mut extents: Vec<_> = pair.into_inner().map(|e| self.extent(e)).collect();
                take_last_unit(&mut extents);
                ValueKind::Size(extents)
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
                _ if instrument.is_some() || self.stands_after_plus_minus(&inner) => {
                    limit = Some(Box::new(self.reading(inner)));
                }
                _ => readings.push(self.reading(inner)),
            }
        }
        self.refuse_decimal_commas(pair);
        take_last_unit(&mut readings);
        ValueKind::Measured { readings, instrument, limit }
    }

    fn stands_after_plus_minus(&self, pair: &Pair<Rule>) -> bool {
        let before = self.source.text[..pair.as_span().start()].trim_end();
        before.ends_with('±') || before.ends_with("+-") || before.ends_with("+/-")
    }

    /// `measured 2,02, 1,98 mm` reads as four readings; nobody means that.
    fn refuse_decimal_commas(&mut self, pair: &Pair<Rule>) {
        let text = pair.as_str();
        if text.contains('.') {
            return;
        }
        let suspect = text.as_bytes().windows(2).position(|pair| pair[0] == b',' && pair[1].is_ascii_digit());
        if let Some(at) = suspect {
            let start = pair.as_span().start() + at;
            self.faults.push(explain::decimal_comma(self.id.span(self.origin.range(start..start + 1))));
        }
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
        let nominal = inner.next().map_or_else(|| nothing(span), |pair| self.condition(pair));
        let Some(tolerance) = inner.next().and_then(|pair| pair.into_inner().next()) else {
            return ValueKind::Plain(nominal);
        };
        if tolerance.as_rule() != Rule::uneven {
            let both = self.sum(tolerance);
            return ValueKind::Toleranced { nominal, above: both.clone(), below: both };
        }
        let mut sides = [nothing(span), nothing(span)];
        for side in tolerance.into_inner() {
            let index = usize::from(side.as_rule() == Rule::down_by);
            if let Some(amount) = side.into_inner().next() {
                sides[index] = self.quantity(amount);
            }
        }
        share_unit(&mut sides);
        let [above, below] = sides;
        ValueKind::Toleranced { nominal, above, below }
    }

    /// Whatever nests expressions without parentheses is counted here, so that nothing overflows
    /// the stack later.
    fn is_too_long(&mut self, pair: &Pair<Rule>) -> bool {
        let joins = |pair: &Pair<Rule>| {
            matches!(pair.as_rule(), Rule::add | Rule::multiply | Rule::power | Rule::compare | Rule::joint | Rule::not)
        };
        let too_long = pair.clone().into_inner().flatten().filter(joins).count() > OPERATORS;
        if too_long {
            let fault = explain::too_long(self.span(pair));
            self.faults.push(fault);
        }
        too_long
    }

    fn condition(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut whole: Option<Expr> = None;
        let (mut operator, mut negations) = (Operator::And, Vec::new());
        for inner in pair.into_inner() {
            match inner.as_rule() {
                Rule::joint => {
                    operator = if inner.as_str() == "or" { Operator::Or } else { Operator::And };
                }
                Rule::not => negations.push(self.span(&inner)),
                _ => {
                    let mut next = self.comparison(inner);
                    while let Some(start) = negations.pop() {
                        let span = start.to(next.span);
                        next = Expr { kind: ExprKind::Not(Box::new(next)), span };
                    }
                    whole = Some(match whole.take() {
                        None => next,
                        Some(left) => binary(operator, left, next),
                    });
                }
            }
        }
        whole.unwrap_or_else(|| nothing(span))
    }

    fn comparison(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let left = inner.next().map_or_else(|| nothing(span), |sum| self.sum(sum));
        let (Some(sign), Some(right)) = (inner.next(), inner.next()) else { return left };
        let comparator = match sign.as_str() {
            "<" => Comparator::Less,
            "<=" | "≤" => Comparator::AtMost,
            ">" => Comparator::Greater,
            ">=" | "≥" => Comparator::AtLeast,
            "==" => Comparator::Equal,
            _ => Comparator::Unequal,
        };
        let right = self.sum(right);
        binary(Operator::Compare(comparator), left, right)
    }

    fn sum(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut inner: Vec<Pair<Rule>> = pair.into_inner().collect();
        if inner.len() == 1 {
            return inner.pop().map_or_else(|| nothing(span), |operand| self.operand(operand));
        }
        precedence()
            .map_primary(|operand| self.operand(operand))
            .map_infix(|left, sign, right| binary(operator(sign.as_str()), left, right))
            .parse(inner.into_iter())
    }

    fn operand(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut negative = false;
        let mut primary = None;
        for inner in pair.into_inner() {
            match inner.as_rule() {
                Rule::sign => negative ^= inner.as_str() != "+",
                _ => primary = Some(self.primary(inner)),
            }
        }
        let primary = primary.unwrap_or_else(|| nothing(span));
        if negative {
            return Expr { kind: ExprKind::Negative(Box::new(primary)), span };
        }
        primary
    }

    fn primary(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let kind = match pair.as_rule() {
            Rule::quantity => return self.quantity(pair),
            Rule::group => {
                let inside = pair.into_inner().next().map(|inner| self.condition(inner));
                return inside.unwrap_or_else(|| nothing(span));
            }
            Rule::path => ExprKind::Path(self.path(pair)),
            Rule::direction => ExprKind::Direction(axis(pair.as_str())),
            Rule::call => return self.call(pair),
            _ => ExprKind::Text(self.text(&pair)),
        };
        Expr { kind, span }
    }

    fn call(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let name = inner.next().map(|name| self.name(&name));
        let arguments = inner.map(|argument| self.condition(argument)).collect();
        let name = name.unwrap_or_else(|| Name { text: String::new(), span });
        Expr { kind: ExprKind::Call { name, arguments }, span }
    }

    fn quantity(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let (mut value, mut unit) = (0.0, None);
        for inner in pair.into_inner() {
            if inner.as_rule() == Rule::unit {
                unit = Some(self.name(&inner));
            } else {
                value = inner.as_str().parse().unwrap_or(f64::NAN);
                if !f64::is_finite(value) {
                    self.faults.push(explain::too_large(self.span(&inner)));
                    return nothing(span);
                }
            }
        }
        Expr { kind: ExprKind::Number { value, unit }, span }
    }

    fn text(&mut self, pair: &Pair<Rule>) -> String {
        let span = self.span(pair);
        let raw = pair.as_str().trim_matches('"');
        let raw = pair.clone().into_inner().next().map_or(raw, |text| text.as_str());
        if let Some(control) = raw.chars().find(|c| is_misleading(*c)) {
            self.faults.push(explain::control_character(span, "text", control));
        }
        unescape(raw)
    }
}

fn first_word(text: &str) -> &str {
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '-'));
    &text[..end.unwrap_or(text.len())]
}

fn unescape(raw: &str) -> String {
    let mut text = String::with_capacity(raw.len());
    let mut characters = raw.chars();
    while let Some(c) = characters.next() {
        match c {
            '\\' => text.extend(characters.next()),
            // Already reported; it must not reach a terminal.
            c if is_unprintable(c) => text.push('\u{fffd}'),
            c => text.push(c),
        }
    }
    text
}

fn precedence() -> &'static PrattParser<Rule> {
    static TABLE: std::sync::OnceLock<PrattParser<Rule>> = std::sync::OnceLock::new();
    TABLE.get_or_init(|| {
        PrattParser::new()
            .op(Op::infix(Rule::add, Assoc::Left))
            .op(Op::infix(Rule::multiply, Assoc::Left))
            .op(Op::infix(Rule::power, Assoc::Right))
    })
}

fn binary(operator: Operator, left: Expr, right: Expr) -> Expr {
    let span = left.span.to(right.span);
    Expr { kind: ExprKind::Binary { operator, left: Box::new(left), right: Box::new(right) }, span }
}

fn operator(sign: &str) -> Operator {
    match sign {
        "+" => Operator::Add,
        "*" | "·" => Operator::Multiply,
        "/" => Operator::Divide,
        "^" => Operator::Power,
        _ => Operator::Subtract,
    }
}

fn axis(text: &str) -> Axis {
    let index = match text.chars().last() {
        Some('x') => 0,
        Some('y') => 1,
        _ => 2,
    };
    Axis { index, negative: !text.starts_with('+') }
}

/// A stand-in for what a fault was reported about, and where the grammar promises a child that
/// pest then did not give.
fn nothing(span: Span) -> Expr {
    Expr { kind: ExprKind::Unreadable, span }
}

/// `42 x 24 x 12 mm`: numbers without a unit take the last one's.
fn take_last_unit(list: &mut [Expr]) {
    let shared = match list.last().map(|expr| &expr.kind) {
        Some(ExprKind::Number { unit: Some(unit), .. }) => unit.clone(),
        _ => return,
    };
    for expr in list {
        if let ExprKind::Number { unit: unit @ None, .. } = &mut expr.kind {
            *unit = Some(shared.clone());
        }
    }
}

/// `+0.1/-0.0 mm`: whichever side has no unit takes the other's.
fn share_unit(sides: &mut [Expr; 2]) {
    take_last_unit(sides);
    sides.reverse();
    take_last_unit(sides);
    sides.reverse();
}
