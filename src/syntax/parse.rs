//! From pest's pairs to the tree: sheets, statements and blocks. Lines that cannot be read become faults; the rest is kept.

mod expression;
mod value;

use pest::Parser;
use pest::iterators::Pair;

use super::limits::FAULTS;
use super::tree::{Axis, Binding, Body, Clause, Expr, ExprKind, Name, Path, Statement, Value};
use super::{Grammar, Rule, depth, explain};
use crate::fault::Fault;
use crate::origin::Origin;
use crate::source::{Source, SourceId, Span, is_misleading};

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
}

fn first_word(text: &str) -> &str {
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '-'));
    &text[..end.unwrap_or(text.len())]
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
