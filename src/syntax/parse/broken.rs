//! Lines that could not be read: what is said of them, and what of them is kept.

use pest::iterators::Pair;

use super::{Reader, is_name, nothing, part_of_name, shifted};
use crate::fault::{Code, TextFault};
use crate::syntax::tree::{Binding, Body, Statement, Value, ValueKind};
use crate::syntax::{Rule, explain};

/// Words that are kept of a line that could not be read.
const WORDS: usize = 32;

impl Reader<'_> {
    /// The semicolon that begins the line of a statement, as comments begin in other languages.
    pub(super) fn semicolon_before(&self, start: usize) -> Option<usize> {
        let before = self.source.text.get(..start)?.trim_end_matches([' ', '\t']);
        let marks = before.trim_end_matches([' ', '\t', ';']);
        let begins = marks.is_empty() || marks.ends_with(['\n', '\r', '\u{feff}']);
        (begins && before.ends_with(';')).then(|| before.len() - 1)
    }

    /// The end of the line that a byte is on.
    pub(super) fn line_end(&self, start: usize) -> usize {
        let rest = self.source.text.get(start..).unwrap_or_default();
        start + rest.find(['\n', '\r']).unwrap_or(rest.len())
    }

    /// The beginning of the line that a byte is on, in the file.
    fn line_start(&self, byte: usize) -> u32 {
        let before = self.source.text.get(..byte).unwrap_or_default();
        let start = before.rfind(['\n', '\r']).map_or(0, |end| end + 1);
        self.place(start..start).start
    }

    /// Says why a line could not be read; what its block holds is read for its own faults only. A block
    /// that begins its line belongs to what is before it.
    pub(super) fn broken(&mut self, pair: Pair<Rule>, is_top: bool, body: &mut Body) {
        let mut range = pair.as_span().start()..pair.as_span().end();
        let block = pair.into_inner().find(|inner| inner.as_rule() == Rule::block);
        if let Some(block) = &block {
            range.end = block.as_span().start().max(range.start + 1);
        }
        let alone = block.as_ref().is_some_and(|block| block.as_span().start() == range.start);
        body.broken.push(words(&self.source.text[range.clone()]));
        let line_start = self.line_start(range.start);
        let fault = explain::broken(self.source, self.id, range, None, is_top);
        let fault = shifted(fault, self.origin);
        // Numbers after a `;` follow from what is wrong before them on their line.
        let follows = matches!(fault.code, Code::Text(TextFault::NumberFirst { .. }))
            && self.faults.last().is_some_and(|last| last.at.start >= line_start);
        if !follows {
            self.faults.push(fault);
        }
        let Some(inside) = block.map(|block| self.body(block)) else { return };
        if alone
            && let Some(Statement::Clause(clause)) = body.statements.last_mut()
            && clause.body.is_none()
        {
            clause.body = Some(inside);
        }
    }

    /// `let slack 0.3 mm`: told once, and then taken as it was meant.
    pub(super) fn let_without_sign(&mut self, pair: Pair<Rule>, body: &mut Body) {
        let span = self.span(&pair);
        let all = words(pair.as_str());
        let texts: Vec<&str> = pair.clone().into_inner().skip(1).map(|part| part.as_str()).collect();
        let mut parts = pair.into_inner().skip(1);
        let name = parts.next().filter(|first| is_name(first.as_str())).map(|first| self.name(&first));
        self.faults.push(explain::let_without_sign(span, &texts));
        let Some(name) = name else {
            body.broken.push(all);
            return;
        };
        let value = match (parts.next(), parts.next()) {
            (Some(value), None) if !matches!(value.as_rule(), Rule::block | Rule::likeness) => self.value(value),
            _ => Value { kind: ValueKind::Plain(nothing(span)), span },
        };
        body.statements.push(Statement::Let(Binding { name, value, span }));
    }
}

/// The words of a line that could not be read, as many as matter.
pub(super) fn words(text: &str) -> Vec<String> {
    let words = text.split(|c| !part_of_name(c)).filter(|word| word.starts_with(|c: char| c.is_alphabetic()));
    words.take(WORDS).map(str::to_owned).collect()
}

/// The value of `thickness { 2 mm }`: all that is in the braces, and after no word.
pub(super) fn value_in_braces<'s>(clause: &Pair<'s, Rule>) -> Option<Pair<'s, Rule>> {
    let block = clause.clone().into_inner().nth(1).filter(|block| block.as_rule() == Rule::block)?;
    let mut inside = block.into_inner().filter(|pair| pair.as_rule() != Rule::close);
    let value = inside.next().filter(|value| value.as_rule() == Rule::broken)?;
    let alone = inside.next().is_none() && !value.as_str().contains('{');
    (alone && value.as_str().starts_with(|c: char| c.is_ascii_digit() || c == '.')).then_some(value)
}
