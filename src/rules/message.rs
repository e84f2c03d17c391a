//! A rule's sentence with values in it: `{feature} is {thickness} thick`.

use std::sync::OnceLock;

use super::authors_unit::{authors_unit, in_authors_unit};
use super::finding::Level;
use super::sentence::Sentence;
use crate::model::{Evaluation, FeatureId, Margin, Model, Value};
use crate::origin::Origin;
use crate::pack::schema::Text;
use crate::pack::{Braced, Formula, Words, braced};
use crate::quantity::{Dimension, Quantity, Unit, number, number_to};
use crate::source::{Source, SourceId, Span};

/// Smaller shares, in per cent, are not worth their digits.
const LEAST_SHARE: f64 = 0.001;

/// A text with expressions in braces, each with an optional unit to show it in, `{strain:%}`, where the author has no
/// other.
#[derive(Debug)]
pub struct Message {
    text: Words,
    source: SourceId,
    origin: Origin,
    parts: OnceLock<Vec<Part>>,
}

/// What a rule says: one sentence for all of its comparisons, or one for each level of them.
#[derive(Debug, Default)]
pub struct Messages(pub(super) Vec<(Option<Level>, Message)>);

impl Messages {
    /// The sentence for the comparison of a level; `None` where the rule has none.
    #[must_use]
    pub fn at(&self, level: Level) -> Option<&Message> {
        let is_of = |(of, _): &&(Option<Level>, Message)| of.is_none_or(|of| of == level);
        self.0.iter().find(is_of).map(|(_, message)| message)
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Message> {
        self.0.iter().map(|(_, message)| message)
    }
}

#[derive(Debug)]
enum Part {
    Words(Words),
    Value(Box<Formula>, Option<Words>),
}

impl Message {
    /// The message of a scalar in a pack file; `file` is the file's text, where it is at hand.
    #[must_use]
    pub fn new(text: &Text, source: SourceId, file: Option<&Source>) -> Self {
        let origin = Origin::of(&text.value, text.at, file);
        Self { text: text.value.clone(), source, origin, parts: OnceLock::new() }
    }

    /// The text as it is before any values are known: an ellipsis stands for each.
    #[must_use]
    pub fn outline(&self) -> String {
        let shown = |part: &Part| match part {
            Part::Words(words) => words.to_string(),
            Part::Value(..) => "…".to_owned(),
        };
        self.parts().iter().map(shown).collect()
    }

    /// The text taken apart, when it is first needed.
    fn parts(&self) -> &[Part] {
        self.parts.get_or_init(|| {
            let (mut parts, mut from) = (Vec::new(), 0);
            for Braced { whole, formula, unit } in braced(&self.text) {
                parts.push(Part::Words(self.text.part(from..whole.start)));
                let origin = self.origin.from(formula.start);
                let formula = Formula::part(self.text.part(formula), self.source, origin);
                parts.push(Part::Value(Box::new(formula), unit.map(|unit| self.text.part(unit))));
                from = whole.end;
            }
            parts.push(Part::Words(self.text.part(from..self.text.len())));
            parts
        })
    }

    /// Whether it says nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.text.trim().is_empty()
    }

    /// Where it is in its pack.
    #[must_use]
    pub fn span(&self) -> Span {
        self.source.span(self.origin.range(0..self.text.len()))
    }

    /// The sentence with its values. A clause with one that cannot be worked out is left out; only where the
    /// sentence begins with it does `?` stand for it. The two sides of what was `compared` get as many digits as it
    /// takes to tell them apart.
    #[must_use]
    pub fn fill(&self, evaluation: &Evaluation, compared: Option<&Margin>) -> Sentence {
        without_lacking(self.clauses(evaluation, compared))
    }

    /// The same; `None` where a value is lacking in what it says first, up to its first semicolon.
    pub(super) fn fill_known(&self, evaluation: &Evaluation) -> Option<Sentence> {
        let clauses = self.clauses(evaluation, None);
        let mut first = clauses.iter().enumerate().take_while(|(at, clause)| *at == 0 || !clause.said.starts_with(';'));
        let is_known = !first.any(|(_, clause)| clause.lacking);
        is_known.then(|| without_lacking(clauses))
    }

    fn clauses(&self, evaluation: &Evaluation, compared: Option<&Margin>) -> Vec<Clause> {
        let mut clauses = vec![Clause::default()];
        for part in self.parts() {
            match part {
                Part::Words(words) => words_into(words, &mut clauses),
                Part::Value(formula, unit) => {
                    let value = formula.expr().ok().and_then(|expr| {
                        let value = evaluation.value(expr).ok()?;
                        Some(in_authors_unit(value, expr, evaluation))
                    });
                    let shown = value.as_ref().and_then(|value| show(value, unit.as_deref(), compared, evaluation));
                    if let Some(clause) = clauses.last_mut() {
                        clause.lacking |= shown.is_none();
                        let shown = shown.as_deref().unwrap_or("?");
                        match value {
                            Some(Value::Feature(id)) if id == evaluation.feature => clause.said.say_name(shown),
                            _ => clause.said.say(shown),
                        }
                    }
                }
            }
        }
        clauses
    }

    /// Braces that have no other one to them, each with its place.
    pub(super) fn loose_braces(&self) -> Vec<(String, Span)> {
        let values: Vec<_> = braced(&self.text).map(|value| value.whole).collect();
        let loose =
            self.text.match_indices(['{', '}']).filter(|(at, _)| !values.iter().any(|value| value.contains(at)));
        loose.map(|(at, brace)| (brace.to_owned(), self.source.span(self.origin.range(at..at + 1)))).collect()
    }

    /// The values that it says, with the units that it asks for.
    pub(super) fn values(&self) -> impl Iterator<Item = (&Formula, Option<&str>)> {
        self.parts().iter().filter_map(|part| match part {
            Part::Value(formula, unit) => Some((&**formula, unit.as_deref())),
            Part::Words(_) => None,
        })
    }
}

/// A part of a sentence that can be left out: from `; ` or `: ` to the next.
#[derive(Default)]
struct Clause {
    said: Sentence,
    /// It holds a value that cannot be worked out.
    lacking: bool,
}

fn words_into(words: &str, clauses: &mut Vec<Clause>) {
    let mut from = 0;
    for (at, _) in words.match_indices([';', ':']).filter(|(at, _)| words[at + 1..].starts_with(' ')) {
        if let Some(clause) = clauses.last_mut() {
            clause.said.say(&words[from..at]);
        }
        clauses.push(Clause::default());
        from = at;
    }
    if let Some(clause) = clauses.last_mut() {
        clause.said.say(&words[from..]);
    }
}

/// What a colon leads to takes its introduction with it, unless that is how the sentence begins.
fn without_lacking(clauses: Vec<Clause>) -> Sentence {
    let mut kept: Vec<Sentence> = Vec::new();
    for clause in clauses {
        if !clause.lacking || kept.is_empty() {
            kept.push(clause.said);
        } else if clause.said.starts_with(':') && kept.len() > 1 {
            kept.pop();
        }
    }
    let mut whole = Sentence::default();
    for clause in &kept {
        whole.go_on(clause);
    }
    whole
}

/// A condition is told as its two sides.
fn show(value: &Value, unit: Option<&str>, compared: Option<&Margin>, evaluation: &Evaluation) -> Option<String> {
    Some(match value {
        Value::Flag(_) => return compared.map(Margin::text),
        Value::Feature(id) => feature_name(evaluation.model, *id),
        Value::Quantity(quantity) => {
            // A unit that the rule names is for authors who have none of their own.
            let own = unit.and_then(Unit::named).and(authors_unit(evaluation, quantity)).map(|unit| unit.name);
            let unit = own.or(unit);
            in_unit(quantity, unit, digits_to_tell(quantity, unit, compared))
        }
        _ => value.text(),
    })
}

/// Differences smaller than this share are rounding.
const ALIKE: f64 = 1e-6;
/// More digits than this are never added.
const MOST_MORE: usize = 4;

/// How many more digits than usual one side of a comparison needs, so as not to read like the other.
fn digits_to_tell(quantity: &Quantity, unit: Option<&str>, compared: Option<&Margin>) -> usize {
    let Some(Margin { left, right, .. }) = compared else { return 0 };
    // An interference is a clearance without its sign.
    let is = |side: &Quantity| side.dimension == quantity.dimension && same(side.value.abs(), quantity.value.abs());
    if same(left.value, right.value) || !(is(left) || is(right)) {
        return 0;
    }
    // What is far apart reads unlike with the usual digits, unless the rule names fewer.
    if unit.is_none_or(|unit| !unit.starts_with('.')) && apart(left.value, right.value) {
        return 0;
    }
    let text = |side: &Quantity, more| in_unit(&Quantity { value: side.value, ..quantity.clone() }, unit, more);
    (0..=MOST_MORE).find(|more| text(left, *more) != text(right, *more)).unwrap_or(0)
}

/// A profile goes by its own name, the sheet by its word, anything else by its path.
fn feature_name(model: &Model, id: FeatureId) -> String {
    if id == Model::SHEET {
        return "the sheet".into();
    }
    let feature = model.feature(id);
    if feature.block.profile.is_some() { feature.name.clone() } else { model.in_words(id) }
}

/// Whether two numbers differ in the first two digits.
fn apart(a: f64, b: f64) -> bool {
    (a - b).abs() > 0.2 * a.abs().max(b.abs())
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= ALIKE * a.abs().max(b.abs())
}

/// `%`, a unit, or digits after the point such as `.1`; with so many digits more.
fn in_unit(quantity: &Quantity, unit: Option<&str>, more: usize) -> String {
    let digits = unit.and_then(|unit| unit.strip_prefix('.')?.parse::<usize>().ok());
    let named = unit.and_then(Unit::named);
    let own = named.or_else(|| quantity.shown_unit());
    let value = own.map_or(quantity.value, |own| own.show(quantity.value));
    let name = own.map_or(String::new(), |own| format!(" {}", own.name));
    match (digits, named) {
        (Some(digits), _) => {
            let (digits, finer) = (digits + more, finer(own));
            let shown = fixed(value, digits + finer);
            // A hundredth of an inch is more than a tenth of a millimetre: less than it is not nothing.
            let vanishes = finer > 0 && value != 0.0 && shown.bytes().all(|digit| matches!(digit, b'0' | b'.'));
            format!("{}{name}", if vanishes { number(significant(value, 1)) } else { shown })
        }
        (None, Some(own)) if own.name == "%" && value > 0.0 && value < LEAST_SHARE => format!("under {LEAST_SHARE} %"),
        (None, Some(_)) if value.abs() >= 100.0 && more == 0 => format!("{}{name}", number(value.round())),
        // Two significant digits are enough in a sentence; the margin has the rest.
        (None, Some(_)) => format!("{}{name}", number(significant(value, 2 + more))),
        (None, None) if more == 0 => quantity.text(),
        (None, None) => format!("{}{name}", number_to(value, 4 + more)),
    }
}

/// Digits after the point are meant for millimetres; a longer unit takes more of them.
fn finer(unit: Option<&Unit>) -> usize {
    let length = unit.filter(|unit| unit.dimension == Dimension::LENGTH && unit.factor > 1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small number of digits")]
    length.map_or(0, |unit| unit.factor.log10() as usize)
}

/// So many digits after the point. Without any, a number below ten keeps two that count, and no zero has a sign.
fn fixed(value: f64, digits: usize) -> String {
    if digits == 0 && value.abs() < 10.0 {
        return number(significant(value, 2));
    }
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(zero) if zero.chars().all(|c| matches!(c, '0' | '.')) => zero.to_owned(),
        _ => text,
    }
}

/// Rounded to so many significant digits.
fn significant(value: f64, digits: usize) -> f64 {
    let after = digits.saturating_sub(1);
    format!("{value:.after$e}").parse().unwrap_or(value)
}
