//! What follows a block's word: its name, then values in the order of the vocabulary, then named ones.

use super::Binder;
use crate::fault::{Beside, Meaning, WordFault};
use crate::model::{FeatureId, Field};
use crate::source::Span;
use crate::syntax::tree::{Clause, Expr, ExprKind, Operator, Value, ValueKind};
use crate::vocabulary::{Act, Block, FieldKind, Head, Naming};

impl<'v> Binder<'v> {
    pub(super) fn name(&mut self, clause: &Clause, block: &Block, values: &mut Vec<Value>) -> Option<(String, Span)> {
        let kind = &block.name;
        let default = (kind.to_string(), clause.head.span);
        if block.naming == Naming::None {
            // A title in quotes serves as the name in reports; what names something else by its title has none of its own.
            let is_title = |_: &&Value| {
                block
                    .fields
                    .iter()
                    .find(|field| field.head == Head::Next)
                    .is_some_and(|field| field.kind == FieldKind::Text)
            };
            let title = values.first().filter(is_title).and_then(|value| match &value.kind {
                ValueKind::Plain(expr) => match &expr.kind {
                    ExprKind::Text(text) => Some((text.clone(), value.span)),
                    _ => None,
                },
                _ => None,
            });
            return Some(title.unwrap_or(default));
        }
        let word = values.first().and_then(|value| Some((word_of(value)?.to_owned(), value.span)));
        let word = word.or_else(|| self.quoted_name(clause, block, values.first()?));
        match (word, block.naming) {
            (Some(name), _) => {
                values.remove(0);
                Some(name)
            }
            (None, Naming::Optional) => Some(default),
            (None, _) => {
                let at = values.first().map_or(clause.head.span, |value| value.span);
                let example = block.example.as_deref().and_then(|text| text.lines().next()).unwrap_or(kind);
                let (block, example) = (kind.to_string(), example.to_owned());
                let first = values.first().map(|value| &value.kind);
                let is_number = matches!(first, Some(ValueKind::Plain(Expr { kind: ExprKind::Number { .. }, .. })));
                self.model.report(WordFault::NoName { block, example, is_number }.at(at));
                self.mention(clause.values.iter());
                None
            }
        }
    }

    /// What follows a block's word: values in the order of the vocabulary, then named ones.
    pub(super) fn head(&mut self, clause: &Clause, values: Vec<Value>, block: &'v Block, id: FeatureId) {
        let mut next = block.fields.iter().enumerate().filter(|(_, field)| field.head == Head::Next);
        let named = |word: &str| block.fields.iter().position(|f| f.head == Head::Named && f.name == word);
        let values = values.into_iter().flat_map(|value| signed_apart(value, &|word| named(word).is_some()));
        let mut values = values.peekable();
        while let Some(value) = values.next() {
            let named = word_of(&value).and_then(named);
            match (named, values.peek().is_some()) {
                (Some(index), true) => {
                    if let Some(given) = values.next() {
                        let is_first = self.set(id, index, value.span, given);
                        // Which of two ends or limits holds is not for a permit to leave open.
                        self.model.features[id.0].incomplete |= !is_first && block.act == Act::Permits;
                    }
                }
                _ => match next.next() {
                    Some((index, field)) if field.kind == FieldKind::Text && is_unquoted(&value, block) => {
                        let mut rest = Vec::new();
                        while let Some(more) = values.next_if(|value| is_unquoted(value, block)) {
                            rest.push(more);
                        }
                        if let Some(sign) = spelled_sign(&value, &rest).filter(|_| compares(block)) {
                            let code =
                                WordFault::SpelledComparison { word: clause.head.text.clone(), sign: sign.into() };
                            self.model.report(code.at(value.span));
                            self.model.features[id.0].fields.iter_mut().for_each(|field| field.written = None);
                            self.model.features[id.0].incomplete = true;
                            return;
                        }
                        self.unquoted(clause, &value, &rest);
                        let title = block.fields[index].name.to_string();
                        self.model.features[id.0].attempted.insert(title);
                    }
                    Some((index, _)) => {
                        self.set(id, index, clause.head.span, value);
                    }
                    None => {
                        self.one_more(clause, block, id, &value);
                        self.mention(clause.values.iter());
                        self.model.features[id.0].incomplete |= block.profile.is_none();
                        return;
                    }
                },
            }
        }
    }
}

impl Binder<'_> {
    /// What a block's first line does not take: a reading beside others, without a comma, or anything else.
    fn one_more(&mut self, clause: &Clause, block: &Block, id: FeatureId, value: &Value) {
        let is_number = matches!(&value.kind, ValueKind::Plain(Expr { kind: ExprKind::Number { .. }, .. }));
        let measured = |field: &Field| {
            field.written.as_ref().is_some_and(|written| matches!(written.value.kind, ValueKind::Measured { .. }))
        };
        let readings = self.model.feature(id).fields.iter().position(measured).filter(|_| is_number);
        let Some(index) = readings else {
            self.unexpected(clause, block, value);
            return;
        };
        let field = &mut self.model.features[id.0].fields[index];
        let first = field.written.take().map_or(value.span, |written| written.value.span);
        let name = field.name.clone();
        self.model.features[id.0].attempted.insert(name);
        let code = WordFault::TooManyValues { word: clause.head.text.clone(), meaning: Meaning::Reading };
        self.model.report(code.at(value.span).also(first, Beside::ItsValue));
    }
}

/// `up-to -0.01 mm` is read as a difference: after the word of a named field the sign is the value's.
fn signed_apart(value: Value, is_named: &impl Fn(&str) -> bool) -> Vec<Value> {
    let apart = match &value.kind {
        ValueKind::Plain(expr) => sign_behind(expr, is_named),
        _ => None,
    };
    let plain = |expr: Expr| Value { span: expr.span, kind: ValueKind::Plain(expr) };
    apart.map_or_else(|| vec![value], |(word, rest)| vec![plain(word), plain(rest)])
}

/// The named field's word that a sum begins with, and what follows it with its sign.
fn sign_behind(expr: &Expr, is_named: &impl Fn(&str) -> bool) -> Option<(Expr, Expr)> {
    let ExprKind::Binary { operator, left, right } = &expr.kind else { return None };
    if !left.word().is_some_and(is_named) {
        let (word, rest) = sign_behind(left, is_named)?;
        let span = rest.span.to(right.span);
        let kind = ExprKind::Binary { operator: *operator, left: Box::new(rest), right: right.clone() };
        return Some((word, Expr { kind, span }));
    }
    let kind = match operator {
        Operator::Add => right.kind.clone(),
        Operator::Subtract => ExprKind::Negative(right.clone()),
        _ => return None,
    };
    // A blank parts the word from the sign: without one it would go on.
    let start = (left.span.end + 1).min(right.span.start);
    Some(((**left).clone(), Expr { kind, span: Span { start, ..right.span } }))
}

/// Whether a block's first line takes a comparison.
fn compares(block: &Block) -> bool {
    block.fields.iter().any(|field| field.head == Head::Next && field.kind == FieldKind::Condition)
}

/// The sign of a comparison in words: `less than 30 mm`.
fn spelled_sign(first: &Value, rest: &[Value]) -> Option<&'static str> {
    let is_or_equal = rest.iter().filter_map(word_of).any(|word| word == "or");
    Some(match (word_of(first)?.to_lowercase().as_str(), is_or_equal) {
        ("less" | "smaller" | "shorter" | "under" | "below" | "max" | "maximum", false) => "<",
        ("more" | "greater" | "larger" | "longer" | "over" | "above" | "bigger" | "min" | "minimum", false) => ">",
        ("less" | "smaller" | "shorter", true) => "<=",
        ("more" | "greater" | "larger" | "longer" | "bigger", true) => ">=",
        ("equals" | "equal" | "is", _) => "==",
        _ => return None,
    })
}

/// Whether a value is where a text in quotes belongs and reads like a piece of it.
fn is_unquoted(value: &Value, block: &Block) -> bool {
    let ValueKind::Plain(expr) = &value.kind else { return false };
    match &expr.kind {
        ExprKind::Path(path) => path.word().is_none_or(|word| block.fields.iter().all(|field| field.name != word)),
        ExprKind::Number { .. } => true,
        _ => false,
    }
}

/// The single word that a value is.
pub(super) fn word_of(value: &Value) -> Option<&str> {
    match &value.kind {
        ValueKind::Plain(expr) => expr.word(),
        _ => None,
    }
}
