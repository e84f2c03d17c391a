//! From pest's pairs to expressions.

use pest::iterators::Pair;
use pest::pratt_parser::{Assoc, Op, PrattParser};

use super::{Reader, axis, nothing};
use crate::fault::{Holder, TextFault};
use crate::source::{Span, is_misleading, is_unprintable};
use crate::syntax::Rule;
use crate::syntax::tree::{Comparator, Expr, ExprKind, Name, Operator};

impl Reader<'_> {
    pub(super) fn condition(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        if let Some(choice) = pair.clone().into_inner().next().filter(|inner| inner.as_rule() == Rule::choice) {
            return self.choice(choice);
        }
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
                        Some(left) => {
                            let span = left.span.to(next.span);
                            binary(operator, left, next, span)
                        }
                    });
                }
            }
        }
        whole.unwrap_or_else(|| nothing(span))
    }

    fn choice(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut parts = pair.into_inner().map(|part| Box::new(self.condition(part)));
        let (Some(condition), Some(then), Some(otherwise)) = (parts.next(), parts.next(), parts.next()) else {
            return nothing(span);
        };
        Expr { kind: ExprKind::If { condition, then, otherwise }, span }
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
        binary(Operator::Compare(comparator), left, right, span)
    }

    pub(super) fn sum(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let mut inner: Vec<Pair<Rule>> = pair.into_inner().collect();
        if inner.len() == 1 {
            return inner.pop().map_or_else(|| nothing(span), |operand| self.operand(operand));
        }
        // The parentheses around either side belong to the whole: what is put after the whole goes after them.
        let (whole, _) = precedence()
            .map_primary(|operand| {
                let span = self.span(&operand);
                (self.operand(operand), span)
            })
            .map_infix(|(left, start), sign, (right, end)| {
                let span = start.to(end);
                (binary(operator(sign.as_str()), left, right, span), span)
            })
            .parse(inner.into_iter());
        whole
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

    pub(super) fn primary(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let kind = match pair.as_rule() {
            Rule::quantity | Rule::share => return self.quantity(pair),
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
        let arguments = inner.map(|argument| self.argument(argument)).collect();
        let name = name.unwrap_or_else(|| Name::new("", span));
        Expr { kind: ExprKind::Call { name, arguments }, span }
    }

    fn argument(&mut self, pair: Pair<Rule>) -> Expr {
        if pair.as_rule() != Rule::named {
            return self.condition(pair);
        }
        let span = self.span(&pair);
        let mut inner = pair.into_inner();
        let (Some(name), Some(value)) = (inner.next(), inner.next()) else { return nothing(span) };
        let (name, value) = (self.name(&name), Box::new(self.condition(value)));
        Expr { kind: ExprKind::Named { name, value }, span }
    }

    pub(super) fn quantity(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        let (mut value, mut unit) = (0.0, None);
        for inner in pair.into_inner() {
            if inner.as_rule() == Rule::unit {
                unit = Some(self.name(&inner));
            } else {
                value = match inner.as_rule() {
                    Rule::fraction => fraction(inner.as_str()),
                    _ => inner.as_str().parse().unwrap_or(f64::NAN),
                };
                if !f64::is_finite(value) {
                    self.faults.push(TextFault::LargeNumber {}.at(self.span(&inner)));
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
            self.faults.push(TextFault::ControlCharacter { what: Holder::Text, character: control }.at(span));
        }
        unescape(raw)
    }
}

/// `1 1/2`
fn fraction(text: &str) -> f64 {
    let number = |text: &str| text.trim().parse::<f64>().unwrap_or(f64::NAN);
    let (above, below) = text.split_once('/').unwrap_or((text, "1"));
    let (whole, above) = above.trim().rsplit_once([' ', '\t']).unwrap_or(("0", above));
    number(whole) + number(above) / number(below)
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

fn binary(operator: Operator, left: Expr, right: Expr, span: Span) -> Expr {
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
