//! Fields: what a line in a block gives, and what is wrong with the line.

use std::rc::Rc;

use super::explain::words_of;
use super::{Binder, word_of};
use crate::fault::{Fault, nearest};
use crate::model::tolerance_class::looks_like_class;
use crate::model::{FeatureId, Written};
use crate::quantity::Unit;
use crate::source::Span;
use crate::syntax::tree::{Clause, Expr, ExprKind, Name, Statement, Value, ValueKind};
use crate::vocabulary::FieldKind;

impl Binder<'_> {
    pub(in crate::model) fn known_field(&self, id: FeatureId, word: &str) -> Option<usize> {
        self.model.feature(id).fields.iter().position(|field| field.name == word)
    }

    pub(super) fn field(&mut self, clause: Clause, id: FeatureId, index: usize) {
        if let Some(body) = &clause.body {
            let at = body.statements.first().map_or(clause.span, statement_span);
            let message = format!("`{}` is a field: it takes a value, not a block", clause.head.text);
            let about = self.model.feature(id).fields[index].about;
            let mut fault = Fault::new("wrong-kind", at, message).help(format!("it takes {}", about.kind.describe()));
            if at != clause.span {
                fault = fault.also(clause.head.span, "this field");
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
            let message = format!("`{}` needs a value", clause.head.text);
            let help = format!("it takes {}", about.kind.describe());
            self.model.report(Fault::new("wrong-kind", clause.head.span, message).label("nothing follows").help(help));
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

    /// The tolerance class that a quantity's second value is: the `H7` of `22 mm H7`.
    fn class_of(&self, id: FeatureId, index: usize, value: &Value) -> Option<Name> {
        let kind = &self.model.feature(id).fields[index].about.kind;
        let quantity = matches!(kind, FieldKind::Quantity(Some(_)) | FieldKind::Dimension | FieldKind::Any);
        let word = word_of(value).filter(|word| quantity && looks_like_class(word))?;
        Some(Name { text: word.to_owned(), span: value.span })
    }

    fn too_many(&mut self, id: FeatureId, head: &Name, first: &Value, extra: &Value, third: Option<&Value>) {
        let message = format!("`{}` takes one value", head.text);
        let word = word_of(extra).unwrap_or_default();
        let kind = self.known_field(id, &head.text).map(|index| &self.model.feature(id).fields[index].about.kind);
        let is_field = self.known_field(id, word).is_some();
        let help = if let Some(help) = misspelt_bound(first, extra, third) {
            help
        } else if let Some(help) = misplaced_unit(first, extra) {
            help
        } else if let (Some(first), false, false) = (path_of(first), word.is_empty(), is_field) {
            match kind {
                Some(FieldKind::Word(words)) if !words.is_empty() => {
                    format!("it is one word: {}", FieldKind::Word(words.clone()).describe())
                }
                _ => format!("a path has dots between its names: `{first}.{word}`"),
            }
        } else if let (Some(FieldKind::Size(_)), ValueKind::Plain(Expr { kind: ExprKind::Binary { .. }, .. })) =
            (kind, &first.kind)
        {
            "put what is worked out in parentheses: `(tray.width - slack) x 24 x 12 mm`".into()
        } else if let Some(FieldKind::Size(_)) = kind {
            "put `x` between the lengths: `42 x 24 x 12 mm`".into()
        } else if is_field {
            self.model.features[id.0].attempted.insert(word.to_owned());
            format!("`{word}` is a field of its own: put it on its own line, or after `;`")
        } else if matches!(first.kind, ValueKind::Measured { .. }) {
            "put a comma and a space between readings: `measured 2.02, 1.98 mm`".into()
        } else if let Some(sum) = mixed_fraction(first, extra) {
            format!("write it as one number: `{sum}`")
        } else if word == "by" {
            "an instrument stands after readings or a tolerance: `measured 17.1, 16.9 mm by ruler`, `17 mm ± 0.5 mm by ruler`".into()
        } else if is_number(first) && !word.is_empty() {
            format!("`{word}` is no unit; put a second field on its own line or after `;`")
        } else {
            "put a second field on its own line, or after `;`".into()
        };
        let fault = Fault::new("wrong-kind", extra.span, message).label("one too many");
        self.model.report(fault.also(first.span, "its value").help(help));
    }

    /// `diameter ø4 mm`: what is wrong with it, where a number is meant.
    fn sign_before_number(&self, id: FeatureId, index: usize, values: &[Value]) -> Option<Fault> {
        let field = &self.model.feature(id).fields[index];
        let number = matches!(field.about.kind, FieldKind::Quantity(_) | FieldKind::Dimension);
        let first = values.first().filter(|_| number)?;
        let word = word_of(first)?;
        let digits = word.strip_prefix(['ø', 'Ø', 'φ', 'R', 'r', 'D', 'd'])?;
        digits.parse::<f64>().ok().filter(|_| digits.starts_with(|c: char| c.is_ascii_digit()))?;
        let unit = values.get(1).and_then(word_of).unwrap_or("mm");
        let message = format!("`{}` takes the number alone, but found `{word}`", field.name);
        let fault = Fault::new("wrong-kind", first.span, message).label("a sign before the number");
        Some(fault.help(format!("write `{} {digits} {unit}`", field.name)))
    }

    /// Gives a field its value; a second one is reported and not taken.
    pub(super) fn set(&mut self, id: FeatureId, index: usize, name_span: Span, value: Value) -> bool {
        let field = &mut self.model.features[id.0].fields[index];
        if let Some(earlier) = &field.written {
            let message = format!("`{}` is given twice", field.name);
            let fault = Fault::new("duplicate-name", name_span, message).label("again here");
            let fault = fault.also(earlier.name_span, "first given here").help("keep one of them");
            self.model.report(fault);
            return false;
        }
        field.written = Some(Written { name_span, value: Rc::new(value), class: None, scope: id });
        true
    }
}

fn statement_span(statement: &Statement) -> Span {
    match statement {
        Statement::Let(binding) => binding.span,
        Statement::Clause(clause) => clause.span,
    }
}

fn is_number(value: &Value) -> bool {
    matches!(&value.kind, ValueKind::Plain(expr) if matches!(expr.kind, ExprKind::Number { unit: None, .. }))
}

/// `1 1/2 in`: the number that the two make together.
fn mixed_fraction(whole: &Value, fraction: &Value) -> Option<String> {
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

/// What to write for `at lest 18 mm`.
fn misspelt_bound(at: &Value, side: &Value, bound: Option<&Value>) -> Option<String> {
    let side = nearest(word_of(side).filter(|_| word_of(at) == Some("at"))?, ["least", "most"])?;
    let bound = bound.and_then(words_of).unwrap_or("…".into());
    Some(format!("did you mean `at {side} {bound}`?"))
}

/// What to write for `2.5 m m`, `mm 2.5` and `14.6 to 15 mm`.
fn misplaced_unit(first: &Value, extra: &Value) -> Option<String> {
    let number = |value: &Value| match &value.kind {
        ValueKind::Plain(Expr { kind: ExprKind::Number { value, unit }, .. }) => {
            Some((*value, unit.as_ref().map(|unit| unit.text.clone())))
        }
        _ => None,
    };
    match (number(first), number(extra)) {
        (Some((value, Some(unit))), None) => {
            let whole = Unit::named(&(unit + word_of(extra)?))?;
            Some(format!("write the unit in one: `{value} {}`", whole.name))
        }
        (None, Some((value, None))) => {
            let unit = Unit::named(word_of(first)?)?;
            Some(format!("the unit stands behind the number: `{value} {}`", unit.name))
        }
        (Some((low, Some(to))), Some((high, unit))) if matches!(to.as_str(), "till" | "until") => {
            let unit = unit.unwrap_or_else(|| "mm".into());
            Some(format!("bounds are written `between {low} {unit} and {high} {unit}`"))
        }
        _ => None,
    }
}
