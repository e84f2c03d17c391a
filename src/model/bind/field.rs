//! Fields: what a line in a block gives, and what is wrong with the line.

use std::sync::Arc;

use super::explain::words_of;
use super::{Binder, word_of};
use crate::fault::{Beside, Fault, Meaning, WordFault, nearest};
use crate::model::tolerance_class::looks_like_class;
use crate::model::{FeatureId, Field, Model, Written};
use crate::quantity::Unit;
use crate::source::Span;
use crate::syntax::tree::{Clause, Expr, ExprKind, Name, Operator, Statement, Value, ValueKind};
use crate::vocabulary::FieldKind;

impl Binder<'_> {
    pub(in crate::model) fn known_field(&self, id: FeatureId, word: &str) -> Option<usize> {
        self.model.feature(id).fields.iter().position(|field| field.name == word)
    }

    pub(super) fn field(&mut self, clause: Clause, id: FeatureId, index: usize) {
        let index = self.taking(id, index, clause.values.first());
        if let Some(body) = &clause.body {
            let at = body.statements.first().map_or(clause.span, statement_span);
            let about = self.model.feature(id).fields[index].about;
            let (word, takes) = (clause.head.text.clone(), about.kind.describe());
            let mut fault = WordFault::FieldAsBlock { word, takes }.at(at);
            if at != clause.span {
                fault = fault.also(clause.head.span, Beside::ThisField);
            }
            self.model.report(fault);
            self.mention_all(&clause);
            self.model.features[id.0].attempted.insert(clause.head.text);
            return;
        }
        if let Some(fault) = self.sign_before_number(id, index, &clause.values) {
            self.model.report(fault);
            self.model.features[id.0].attempted.insert(clause.head.text);
            return;
        }
        let all = clause.values.clone();
        let mut values = clause.values.into_iter();
        let Some(value) = values.next() else {
            self.model.features[id.0].attempted.insert(clause.head.text.clone());
            let about = self.model.feature(id).fields[index].about;
            let (word, takes) = (clause.head.text.clone(), about.kind.describe());
            self.model.report(WordFault::NothingGiven { word, takes }.at(clause.head.span));
            return;
        };
        let next = values.next();
        let class = next.as_ref().and_then(|next| self.class_of(id, index, next));
        if let Some(extra) = if class.is_some() { values.next() } else { next } {
            self.too_many(id, &clause.head, &value, &extra, all.get(2));
            self.mention(all.iter());
            self.model.features[id.0].attempted.insert(clause.head.text);
            return;
        }
        if self.set(id, index, clause.head.span, value)
            && let Some(written) = &mut self.model.features[id.0].fields[index].written
        {
            written.class = class;
        }
    }

    /// The field that takes a value: `at 40 mm` of a load is another one than its `at end`.
    fn taking(&self, id: FeatureId, index: usize, value: Option<&Value>) -> usize {
        let feature = self.model.feature(id);
        let Some(other) = feature.fields[index].about.or.as_deref() else { return index };
        let names = &self.model.feature(Model::SHEET).children;
        let is_word = |value: &Value| word_of(value).is_some_and(|word| names.named(word).is_none());
        if value.is_none_or(is_word) { index } else { self.known_field(id, other).unwrap_or(index) }
    }

    /// The field that takes what this one does not: only one of the two is given.
    pub(in crate::model) fn rival(&self, id: FeatureId, index: usize) -> Option<&Field<'_>> {
        let fields = &self.model.feature(id).fields;
        let own = &fields[index];
        let is_rival = |other: &&Field| {
            own.about.or.as_deref() == Some(other.name.as_str()) || other.about.or.as_deref() == Some(own.name.as_str())
        };
        fields.iter().find(is_rival)
    }

    /// The tolerance class that a quantity's second value is: the `H7` of `22 mm H7`.
    fn class_of(&self, id: FeatureId, index: usize, value: &Value) -> Option<Name> {
        let kind = &self.model.feature(id).fields[index].about.kind;
        let quantity = matches!(kind, FieldKind::Quantity(Some(_)) | FieldKind::Dimension | FieldKind::Any);
        let word = word_of(value).filter(|word| quantity && looks_like_class(word))?;
        Some(Name::new(word, value.span))
    }

    fn too_many(&mut self, id: FeatureId, head: &Name, first: &Value, extra: &Value, third: Option<&Value>) {
        let word = word_of(extra).unwrap_or_default();
        let kind = self.known_field(id, &head.text).map(|index| &self.model.feature(id).fields[index].about.kind);
        let is_field = self.known_field(id, word).is_some();
        let is_size = matches!(kind, Some(FieldKind::Size(_)));
        let meaning = if let Some(bound) = misspelt_bound(first, extra, third) {
            Meaning::Bound(bound)
        } else if let ValueKind::Plain(Expr { kind: ExprKind::If { .. }, .. }) = extra.kind {
            Meaning::Condition
        } else if let Some(meaning) = misplaced_unit(first, extra) {
            meaning
        } else if is_tolerance(extra) {
            Meaning::Tolerance
        } else if let Some(sum) = mixed_fraction(first, extra) {
            Meaning::Fraction(sum)
        } else if let Some(way) = self.habit(first, extra, third).filter(|_| !is_field) {
            Meaning::Habit(way)
        } else if let (true, Some(unit), false) = (is_named(first), Unit::named(word), is_field) {
            Meaning::UnitOfName(unit.name.into())
        } else if let (Some(first), false, false) = (path_of(first), word.is_empty(), is_field) {
            match kind {
                Some(FieldKind::Word(words)) if !words.is_empty() => {
                    Meaning::OneOf(FieldKind::Word(words.clone()).describe())
                }
                _ => Meaning::Path(format!("{first}.{word}")),
            }
        } else if let (true, ValueKind::Plain(Expr { kind: ExprKind::Binary { .. }, .. })) = (is_size, &first.kind) {
            Meaning::WorkedOutSize
        } else if is_size {
            Meaning::Size
        } else if is_field {
            self.model.features[id.0].attempted.insert(word.to_owned());
            Meaning::Field(word.into())
        } else if matches!(first.kind, ValueKind::Measured { .. }) && word == "with" {
            Meaning::Instrument
        } else if matches!(kind, Some(FieldKind::Place(_))) {
            Meaning::Place
        } else if matches!(first.kind, ValueKind::Measured { .. }) {
            Meaning::Reading
        } else if word == "by" {
            Meaning::Instrument
        } else if is_number(first) && !word.is_empty() {
            Meaning::NoUnit(word.into())
        } else {
            Meaning::SecondField
        };
        let fault = WordFault::TooManyValues { word: head.text.clone(), meaning }.at(extra.span);
        self.model.report(fault.also(first.span, Beside::ItsValue));
    }

    /// What is written here in the place of a word of habit among a field's values: `min 20 mm`, `20 mm thru`.
    fn habit(&self, first: &Value, extra: &Value, third: Option<&Value>) -> Option<String> {
        let words = [Some(first), Some(extra), third].into_iter().flatten().filter_map(word_of);
        let is_name = |word: &&str| self.model.ids().any(|(_, feature)| feature.name == **word);
        let mut foreign = words.filter(|word| !is_name(word));
        foreign.find_map(|word| self.model.vocabulary.habit(word)).map(str::to_owned)
    }

    /// `diameter ø4 mm`: what is wrong with it, where a number is meant.
    fn sign_before_number(&self, id: FeatureId, index: usize, values: &[Value]) -> Option<Fault> {
        let field = &self.model.feature(id).fields[index];
        let number = matches!(field.about.kind, FieldKind::Quantity(_) | FieldKind::Dimension);
        let first = values.first().filter(|_| number)?;
        let word = word_of(first)?;
        let digits = word.strip_prefix(['ø', 'Ø', 'φ', 'R', 'r', 'D', 'd'])?;
        digits.parse::<f64>().ok().filter(|_| digits.starts_with(|c: char| c.is_ascii_digit()))?;
        let number = match values.get(1).and_then(word_of) {
            Some(class) if looks_like_class(class) => format!("{digits} mm {class}"),
            unit => format!("{digits} {}", unit.unwrap_or("mm")),
        };
        Some(WordFault::SignBeforeNumber { word: field.name.clone(), found: word.into(), number }.at(first.span))
    }

    /// Gives a field its value; a second one is reported and not taken.
    pub(super) fn set(&mut self, id: FeatureId, index: usize, name_span: Span, value: Value) -> bool {
        let field = &self.model.feature(id).fields[index];
        let rival = self.rival(id, index).and_then(|rival| rival.written.as_ref());
        if let Some(earlier) = field.written.as_ref().or(rival) {
            let fault = WordFault::GivenTwice { word: field.name.clone() }.at(name_span);
            let fault = fault.also(earlier.name_span, Beside::FirstGiven);
            self.model.report(fault);
            return false;
        }
        self.model.features[id.0].fields[index].written =
            Some(Written { name_span, value: Arc::new(value), class: None, scope: id, mirrored: [false; 3] });
        true
    }
}

fn statement_span(statement: &Statement) -> Span {
    match statement {
        Statement::Let(binding) => binding.span,
        Statement::Clause(clause) => clause.span,
    }
}

/// Whether a value, or the last length of a size, is a name.
fn is_named(value: &Value) -> bool {
    let is_name = |expr: &Expr| matches!(expr.kind, ExprKind::Path(_));
    match &value.kind {
        ValueKind::Plain(expr) => is_name(expr),
        ValueKind::Size(lengths) => lengths.last().is_some_and(is_name),
        _ => false,
    }
}

fn is_number(value: &Value) -> bool {
    matches!(&value.kind, ValueKind::Plain(expr) if matches!(expr.kind, ExprKind::Number { unit: None, .. }))
}

/// `(+0.1/-0.05)`
fn is_tolerance(value: &Value) -> bool {
    let ValueKind::Plain(Expr { kind: ExprKind::Binary { operator: Operator::Divide, left, right }, .. }) = &value.kind
    else {
        return false;
    };
    matches!(right.kind, ExprKind::Negative(_)) || matches!(left.kind, ExprKind::Negative(_))
}

/// `1 1 / 2 in`, or the `2-1/2 in` that a size begins with: the number that is meant.
fn mixed_fraction(whole: &Value, fraction: &Value) -> Option<String> {
    if let ValueKind::Plain(first) = &whole.kind
        && let Some(number) = first.hyphenated()
    {
        return Some(number);
    }
    let ValueKind::Plain(Expr { kind: ExprKind::Number { value: whole, unit: None }, .. }) = &whole.kind else {
        return None;
    };
    let ValueKind::Plain(fraction) = &fraction.kind else { return None };
    let (share, unit) = fraction.fraction()?;
    Some(format!("{} {unit}", whole + share))
}

fn path_of(value: &Value) -> Option<String> {
    match &value.kind {
        ValueKind::Plain(Expr { kind: ExprKind::Path(path), .. }) => Some(path.text()),
        _ => None,
    }
}

/// The bound that `at lest 18 mm` means.
fn misspelt_bound(at: &Value, side: &Value, bound: Option<&Value>) -> Option<String> {
    let side = nearest(word_of(side).filter(|_| word_of(at) == Some("at"))?, ["least", "most"])?;
    let bound = bound.and_then(words_of).unwrap_or("…".into());
    Some(format!("at {side} {bound}"))
}

/// What `2.5 m m`, `mm 2.5` and `14.6 till 15 mm` mean.
fn misplaced_unit(first: &Value, extra: &Value) -> Option<Meaning> {
    let number = |value: &Value| match &value.kind {
        ValueKind::Plain(Expr { kind: ExprKind::Number { value, unit }, .. }) => {
            Some((*value, unit.as_ref().map(|unit| unit.text.clone())))
        }
        _ => None,
    };
    match (number(first), number(extra)) {
        (Some((value, Some(unit))), None) => {
            let rest = word_of(extra)?;
            let whole = Unit::named(&format!("{unit}{rest}"))?;
            Some(Meaning::SplitUnit(value.to_string(), format!("{unit} {rest}"), whole.name.to_owned()))
        }
        (None, Some((value, None))) => {
            let unit = Unit::named(word_of(first)?)?;
            Some(Meaning::UnitFirst(format!("{value} {}", unit.name)))
        }
        (Some((low, Some(to))), Some((high, unit))) if matches!(to.as_str(), "till" | "until") => {
            let unit = unit.unwrap_or_else(|| "mm".into());
            Some(Meaning::Bounds(format!("{low} {unit}"), format!("{high} {unit}")))
        }
        _ => None,
    }
}
