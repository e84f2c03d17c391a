//! A rule's sentence with values in it: `{feature} is {thickness} thick`.

use std::sync::OnceLock;

use crate::fault::Fault;
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::origin::Origin;
use crate::pack::raw::Text;
use crate::pack::{Braced, Formula, Words, braced};
use crate::quantity::{Quantity, Unit, number};
use crate::source::{Source, SourceId, Span};

/// Smaller shares, in per cent, are not worth their digits.
const LEAST_SHARE: f64 = 0.001;

/// A text with expressions in braces, each with an optional unit to show it in: `{strain:%}`.
#[derive(Debug)]
pub struct Message {
    text: Words,
    source: SourceId,
    origin: Origin,
    parts: OnceLock<Vec<Part>>,
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

    /// Where it stands in its pack.
    #[must_use]
    pub fn span(&self) -> Span {
        self.source.span(self.origin.range(0..self.text.len()))
    }

    /// The sentence with its values. A clause with one that cannot be worked out is left out; only where the
    /// sentence begins with it does `?` stand for it.
    #[must_use]
    pub fn fill(&self, evaluation: &Evaluation) -> String {
        let mut clauses = vec![Clause::default()];
        for part in self.parts() {
            match part {
                Part::Words(words) => words_into(words, &mut clauses),
                Part::Value(formula, unit) => {
                    let value = formula.expr().ok().and_then(|expr| evaluation.value(expr).ok());
                    let shown = value.map(|value| show(&value, unit.as_deref(), evaluation));
                    if let Some(clause) = clauses.last_mut() {
                        clause.lacking |= shown.is_none();
                        clause.text.push_str(shown.as_deref().unwrap_or("?"));
                    }
                }
            }
        }
        without_lacking(clauses)
    }

    /// What cannot be worked out on any sheet.
    #[must_use]
    pub fn check(&self, evaluation: &Evaluation) -> Vec<Fault> {
        let mut faults = Vec::new();
        for part in self.parts() {
            let Part::Value(formula, unit) = part else { continue };
            match formula.expr() {
                Err(fault) => faults.push(fault.clone()),
                Ok(expr) => match evaluation.value(expr) {
                    Err(Failure::Fault(fault)) => faults.push(*fault),
                    Ok(value) => faults.extend(check_unit(&value, unit.as_deref(), formula)),
                    Err(_) => {}
                },
            }
        }
        faults
    }
}

/// A part of a sentence that can be left out: from `; ` or `: ` to the next.
#[derive(Default)]
struct Clause {
    text: String,
    /// It holds a value that cannot be worked out.
    lacking: bool,
}

fn words_into(words: &str, clauses: &mut Vec<Clause>) {
    let mut from = 0;
    for (at, _) in words.match_indices([';', ':']).filter(|(at, _)| words[at + 1..].starts_with(' ')) {
        if let Some(clause) = clauses.last_mut() {
            clause.text.push_str(&words[from..at]);
        }
        clauses.push(Clause::default());
        from = at;
    }
    if let Some(clause) = clauses.last_mut() {
        clause.text.push_str(&words[from..]);
    }
}

/// What a colon leads to takes its introduction with it, unless that is how the sentence begins.
fn without_lacking(clauses: Vec<Clause>) -> String {
    let mut kept: Vec<String> = Vec::new();
    for clause in clauses {
        if !clause.lacking || kept.is_empty() {
            kept.push(clause.text);
        } else if clause.text.starts_with(':') && kept.len() > 1 {
            kept.pop();
        }
    }
    kept.concat()
}

fn show(value: &Value, unit: Option<&str>, evaluation: &Evaluation) -> String {
    match (value, unit) {
        (Value::Feature(id), _) => feature_name(evaluation.model, *id),
        (Value::Quantity(quantity), Some(unit)) => in_unit(quantity, unit),
        _ => value.text(),
    }
}

/// A profile goes by its own name, anything else by its path.
fn feature_name(model: &Model, id: FeatureId) -> String {
    let feature = model.feature(id);
    if feature.block.profile.is_some() { feature.name.clone() } else { model.in_words(id) }
}

/// `%`, a unit, or digits after the point such as `.1`.
fn in_unit(quantity: &Quantity, unit: &str) -> String {
    if let Some(digits) = unit.strip_prefix('.').and_then(|digits| digits.parse::<usize>().ok()) {
        let shown = quantity.shown_unit();
        let value = shown.map_or(quantity.value, |unit| unit.show(quantity.value));
        let name = shown.map_or(String::new(), |unit| format!(" {}", unit.name));
        return format!("{value:.digits$}{name}");
    }
    match Unit::named(unit) {
        Some(unit) => {
            let shown = unit.show(quantity.value);
            if unit.name == "%" && shown > 0.0 && shown < LEAST_SHARE {
                return format!("under {LEAST_SHARE} %");
            }
            // Two significant digits are enough in a sentence; the margin has the rest.
            let rounded = format!("{shown:.1e}").parse().unwrap_or(shown);
            let value = if shown.abs() >= 100.0 { shown.round() } else { rounded };
            format!("{} {}", number(value), unit.name)
        }
        None => quantity.text(),
    }
}

fn check_unit(value: &Value, unit: Option<&str>, formula: &Formula) -> Option<Fault> {
    let unit = unit.filter(|unit| !unit.starts_with('.'))?;
    let fits = match (value, Unit::named(unit)) {
        (Value::Quantity(quantity), Some(unit)) => quantity.dimension == unit.dimension,
        _ => false,
    };
    let message = format!("`{}` cannot be shown in `{unit}`", formula.text);
    (!fits).then(|| Fault::new("broken-pack", formula.span(), message))
}
