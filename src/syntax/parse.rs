//! From pest's pairs to the tree: sheets, statements and blocks. Lines that cannot be read become faults; the rest is kept.

mod broken;
mod expression;
mod value;

use pest::Parser;
use pest::iterators::Pair;

use super::limits::FAULTS;
use super::tree::{Axis, Binding, Body, Clause, Expr, ExprKind, Name, Path, Statement, Value};
use super::{Grammar, Rule, braces, depth, explain};
use crate::fault::{Fault, Holder, TextFault};
use crate::origin::Origin;
use crate::source::{Source, SourceId, Span, is_misleading};
use broken::{value_in_braces, words};

/// Reads a sheet. Whatever can be read is in the body, whatever cannot is in the faults.
#[must_use]
pub fn sheet(source: &Source, id: SourceId) -> (Body, Vec<Fault>) {
    if let Some(fault) = depth::check(source, id) {
        return (Body::default(), vec![fault]);
    }
    let mended = braces::mend(source, id);
    let (source, origin) = match &mended {
        Some(mended) => (&mended.source, mended.origin.clone()),
        None => (source, Origin::default()),
    };
    let mut reader = Reader::new(source, id, &origin);
    let body = match Grammar::parse(Rule::sheet, &source.text) {
        Ok(mut pairs) => pairs.next().map(|sheet| reader.body(sheet)).unwrap_or_default(),
        // The grammar takes any text; this is only reached if a change to it breaks that.
        Err(error) => {
            let fault = explain::broken(source, id, 0..source.text.len(), Some(&error), false);
            reader.faults.push(shifted(fault, &origin));
            Body::default()
        }
    };
    reader.faults.extend(mended.iter().flat_map(|mended| mended.faults.iter().cloned()));
    reader.faults.sort_by_key(|fault| fault.at);
    let total = reader.faults.len();
    if total > FAULTS {
        reader.faults.truncate(FAULTS);
        reader.faults.push(TextFault::More { count: total - FAULTS }.at(id.span(0..0)));
    }
    (body, reader.faults)
}

/// Reads an expression out of a data file; `origin` knows where its bytes are in the file.
///
/// # Errors
/// The fault that is where the expression stops making sense.
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
/// The fault that is where the value stops making sense.
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
        .map_err(|error| shifted(explain::broken(source, id, 0..source.text.len(), Some(&error), false), origin))
}

fn finish<T>(read: Option<T>, reader: Reader) -> Result<T, Fault> {
    let at = reader.id.span(reader.origin.range(0..0));
    let nothing = || TextFault::Nothing {}.at(at);
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

    /// The place of bytes of the text in the file.
    fn place(&self, range: std::ops::Range<usize>) -> Span {
        self.id.span(self.origin.range(range))
    }

    fn body(&mut self, block: Pair<Rule>) -> Body {
        let (opening, is_top) = (block.as_span().start(), block.as_rule() == Rule::sheet);
        let mut body = Body::default();
        // Where a line ends that was meant as a comment: what begins before is passed over.
        let mut passed = 0;
        for pair in block.into_inner() {
            let start = pair.as_span().start();
            let says = matches!(pair.as_rule(), Rule::binding | Rule::clause | Rule::broken);
            if says && start < passed {
                continue;
            }
            if says && let Some(mark) = self.semicolon_before(start) {
                passed = self.line_end(start);
                self.faults.push(TextFault::BeginsWithSemicolon {}.at(self.place(mark..mark + 1)));
                body.broken.push(words(&self.source.text[start..passed]));
                continue;
            }
            match pair.as_rule() {
                Rule::binding => body.statements.extend(self.binding(pair)),
                Rule::clause
                    if pair.as_str().strip_prefix("let").is_some_and(|rest| !rest.starts_with(part_of_name)) =>
                {
                    self.let_without_sign(pair, &mut body);
                }
                Rule::clause => match value_in_braces(&pair) {
                    Some(value) => {
                        let head = first_word(pair.as_str());
                        self.faults.push(explain::value_in_braces(self.span(&value), head, value.as_str().trim_end()));
                        body.broken.push(words(pair.as_str()));
                    }
                    None => body.statements.extend(self.clause(pair)),
                },
                Rule::broken => self.broken(pair, is_top, &mut body),
                Rule::comment => self.comment(&pair),
                Rule::stray => {
                    let fault = TextFault::StrayBrace {}.at(self.span(&pair));
                    self.faults.push(fault);
                }
                Rule::unclosed => {
                    let head = explain::head_before(self.source, opening);
                    let at = self.place(opening..opening + 1);
                    self.faults.push(TextFault::Unclosed { head }.at(at));
                }
                _ => {}
            }
        }
        body
    }

    /// A comment may hold any script, but nothing that rewrites a terminal or turns the line around.
    fn comment(&mut self, pair: &Pair<Rule>) {
        if let Some(control) = pair.as_str().chars().find(|c| is_misleading(*c)) {
            let fault = TextFault::ControlCharacter { what: Holder::Comment, character: control }.at(self.span(pair));
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
        let (mut values, mut like, mut mirrored, mut body) = (Vec::new(), None, None, None);
        span.end = head.span.end;
        for pair in inner {
            let (end, place) = (pair.as_span().end(), self.span(&pair).end);
            match pair.as_rule() {
                Rule::likeness => {
                    let mut inner = pair.into_inner();
                    like = inner.next().map(|path| self.path(path));
                    let axis = inner.next().and_then(|mirrored| mirrored.into_inner().next());
                    mirrored = axis.and_then(|axis| ["x", "y", "z"].iter().position(|one| *one == axis.as_str()));
                }
                Rule::block => {
                    body = Some(self.body(pair));
                    continue;
                }
                Rule::crowded => {
                    let after = self.place(end..self.word_end(end));
                    self.faults.push(TextFault::AfterBlock {}.at(after));
                    continue;
                }
                _ => values.push(self.value(pair)),
            }
            span.end = place;
        }
        Some(Statement::Clause(Clause { head, values, like, mirrored, body, span }))
    }

    fn name(&self, pair: &Pair<Rule>) -> Name {
        Name::new(pair.as_str(), self.span(pair))
    }

    fn path(&self, pair: Pair<Rule>) -> Path {
        let span = self.span(&pair);
        Path { names: pair.into_inner().map(|name| self.name(&name)).collect(), span }
    }
}

/// Whether a text is one name and nothing else.
#[must_use]
pub fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_alphabetic() || c == '_') && !text.contains(|c: char| !part_of_name(c))
}

fn part_of_name(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '-' | '_')
}

fn first_word(text: &str) -> &str {
    &text[..text.find(|c| !part_of_name(c)).unwrap_or(text.len())]
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
