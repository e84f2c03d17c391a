//! The whole pack is checked when it is loaded, not when a rule happens to fire.

use super::library::Library;
use super::message::Message;
use super::rule::{Limit, Rule};
use super::types::{Inference, Kind, Place, Report};
use crate::fault::{Fault, did_you_mean};
use crate::model::{Evaluation, Failure, Model, NoImports, bind};
use crate::pack::{BUILT_IN, Formula, Words};
use crate::quantity::Unit;
use crate::source::Span;
use crate::syntax::tree::{self, Body, Clause, Expr, ExprKind, Name, Path, Statement, ValueKind};
use crate::vocabulary::{Block, Field, FieldKind, Vocabulary};

/// Every fault in the parts of a library that did not come with the program.
pub(super) fn library(library: &Library) -> Vec<Fault> {
    let mut faults = Vec::new();
    for written in library.rules.iter().filter(|rule| rule.at.source != BUILT_IN) {
        faults.extend(rule(library, written));
    }
    // A limit is a number of its own, whatever a sheet says.
    let nothing = bind(&library.vocabulary, Body::default(), BUILT_IN, &NoImports);
    for rule in &library.rules {
        limits(&nothing, rule, &mut faults);
    }
    for block in &library.vocabulary.blocks {
        fields(block, &library.vocabulary, &mut faults);
    }
    profiles(&library.vocabulary, &mut faults);
    faults.retain(|fault| fault.at.source != BUILT_IN);
    faults
}

/// Every fault of one rule, its limits left out.
pub(super) fn rule(library: &Library, rule: &Rule) -> Vec<Fault> {
    let report = Report::default();
    shape(library, rule, &report);
    for kind in &rule.about {
        if let Some(block) = library.vocabulary.block(kind) {
            for place in Place::all(&library.vocabulary, block) {
                formulas(rule, &Inference::new(place, Some(rule), &report));
            }
        } else {
            let blocks = library.vocabulary.blocks.iter().map(|block| block.name.as_str());
            let message = format!("`about` of `{}` names no kind of block: `{kind}`", rule.name);
            report.fault(in_rule(rule, message).maybe_help(did_you_mean(kind, blocks)));
        }
    }
    report.finish()
}

fn in_rule(rule: &Rule, message: String) -> Fault {
    Fault::new("broken-pack", rule.at, message).label("in this rule")
}

/// What every rule must have.
fn shape(library: &Library, rule: &Rule, report: &Report) {
    let missing = [
        ("title", rule.title.is_empty()),
        ("why", rule.why.trim().is_empty()),
        ("passes", rule.passes.trim().is_empty()),
        ("fails", rule.fails.trim().is_empty()),
        ("sources", rule.sources.is_empty() && rule.reading.is_none()),
        ("about", rule.about.is_empty() && rule.reading.is_none()),
        ("holds", rule.holds.is_empty() && rule.reading.is_none()),
    ];
    let missing: Vec<String> =
        missing.into_iter().filter(|(_, missing)| *missing).map(|(what, _)| format!("`{what}`")).collect();
    if !missing.is_empty() {
        report.fault(in_rule(rule, format!("the rule `{}` has no {}", rule.name, missing.join(", "))));
    }
    for level in rule.holds.iter().map(|(level, _)| *level).filter(|level| rule.says.at(*level).is_none()) {
        report.fault(in_rule(rule, format!("the rule `{}` has no `says` for the level {level}", rule.name)));
    }
    for other in rule.yields_to.iter().filter(|other| library.rule(other).is_none()) {
        let help = did_you_mean(other, library.rules.iter().map(|rule| rule.name.as_str()));
        let message = format!("`yields-to` of `{}` names no rule: `{other}`", rule.name);
        report.fault(in_rule(rule, message).maybe_help(help));
    }
    for limit in rule.limits.iter().filter(|limit| limit.source.is_empty() || limit.basis.is_empty()) {
        let message = format!("the limit `{}` does not say where it comes from", limit.name);
        let help = "give `source`, and `basis`: published, derived, common-practice, memory or judgement";
        report.fault(Fault::new("broken-pack", limit.value.span(), message).help(help));
    }
}

/// All formulas of a rule at one place.
fn formulas<'a>(rule: &'a Rule, inference: &Inference<'a, '_>) {
    if let Some(when) = &rule.when {
        inference.condition(when);
    }
    for (_, step) in &rule.steps {
        inference.formula(step);
    }
    for (_, holds) in &rule.holds {
        inference.condition(holds);
    }
    if let Some(aim) = &rule.aim {
        inference.condition(aim);
    }
    for formula in &rule.change {
        names_field("change", formula, inference);
    }
    for ask in &rule.asks {
        names_field("asks", &ask.fact, inference);
        if let Some(only) = &ask.only {
            inference.condition(only);
        }
    }
    for message in rule.says.iter().chain(rule.doubts.iter()).chain(rule.help.iter()) {
        shown(message, inference);
    }
}

fn names_field<'a>(key: &str, formula: &'a Formula, inference: &Inference<'a, '_>) {
    let names_field = match formula.expr() {
        Ok(expr) => inference.names_field(expr),
        Err(fault) => {
            inference.report.fault(fault.clone());
            None
        }
    };
    if names_field == Some(false) {
        let message = format!("`{key}` names no field: `{}`", formula.text);
        inference.report.fault(Fault::new("broken-pack", formula.span(), message));
    }
}

/// The values that a message says must exist, and be of the units that it shows them in.
fn shown<'a>(message: &'a Message, inference: &Inference<'a, '_>) {
    for (formula, unit) in message.values() {
        let kind = inference.formula(formula);
        let Some(unit) = unit else { continue };
        let fits = match unit.strip_prefix('.') {
            Some(digits) => digits.parse::<u8>().is_ok() && kind.fits(&Kind::Quantity(None)),
            None => Unit::named(unit).is_some_and(|unit| match kind {
                Kind::Quantity(Some(measure)) => measure.dimension == unit.dimension,
                ref other => other.fits(&Kind::Quantity(None)),
            }),
        };
        if !fits {
            let message = format!("`{}` cannot be shown in `{unit}`", formula.text);
            inference.report.fault(Fault::new("broken-pack", formula.span(), message));
        }
    }
}

fn limits(nothing: &Model, rule: &Rule, faults: &mut Vec<Fault>) {
    let vocabulary = nothing.vocabulary;
    for limit in rule.limits.iter().filter(|limit| limit.value.span().source != BUILT_IN) {
        let report = Report::default();
        let found = Inference::new(Place::sheet(vocabulary), None, &report).formula(&limit.value);
        if !found.fits(&Kind::Quantity(None)) {
            let message = format!("the limit `{}` must be a number; this is {}", limit.name, found.describe());
            report.fault(Fault::new("broken-pack", limit.value.span(), message).label(found.describe()));
        }
        if let Some(was) = &limit.was {
            let aside = Report::default();
            let wanted = Inference::new(Place::sheet(vocabulary), None, &aside).formula(was);
            if !found.fits(&wanted) {
                let (wanted, found) = (wanted.describe(), found.describe());
                let message = format!("the limit `{}` is {wanted}; this is {found}", limit.name);
                let fault = Fault::new("broken-pack", limit.value.span(), message).label(found);
                report.fault(fault.help(format!("it was `{}`: write the new one in the same kind of unit", was.text)));
            }
        }
        if report.is_empty() {
            value_of(limit, nothing, &report);
        }
        faults.extend(report.finish());
    }
}

/// A limit must have a value, and must not fall below zero where it was above.
fn value_of(limit: &Limit, nothing: &Model, report: &Report) {
    let number = |formula: &Formula| {
        let expr = formula.expr().map_err(|fault| Failure::Fault(Box::new(fault.clone())))?;
        Evaluation::new(nothing, Model::SHEET).quantity(expr)
    };
    match number(&limit.value) {
        Ok(found) => {
            let was = limit.was.as_ref().and_then(|was| number(was).ok().map(|number| (was, number)));
            if let Some((was, before)) = was
                && found.value < 0.0
                && before.value >= 0.0
            {
                let message =
                    format!("the limit `{}` must not be below zero; this is `{}`", limit.name, limit.value.text);
                let fault = Fault::new("broken-pack", limit.value.span(), message).label("below zero");
                report.fault(fault.help(format!("it was `{}`", was.text)));
            }
        }
        Err(Failure::Fault(fault)) => report.fault(*fault),
        Err(_) => {
            let message = format!("the limit `{}` must be a number of its own, not one that a sheet gives", limit.name);
            report.fault(Fault::new("broken-pack", limit.value.span(), message).help("write the number itself"));
        }
    }
}

fn fields(block: &Block, vocabulary: &Vocabulary, faults: &mut Vec<Fault>) {
    for outer in &block.stands_in {
        if vocabulary.block(outer).is_none() && outer != "sheet" {
            let at = block.fields.iter().find_map(|field| field.default.as_ref()).map(Formula::span);
            faults.extend(at.map(|at| {
                Fault::new("broken-pack", at, format!("`{}` stands in `{outer}`, which is no block", block.name))
            }));
        }
    }
    let report = Report::default();
    let places = Place::all(vocabulary, block);
    for derived in block.derives.iter().filter(|derived| derived.formula.span().source != BUILT_IN) {
        for place in &places {
            Inference::of_derived(place.clone(), &report).formula(&derived.formula);
        }
    }
    for field in block.fields.iter().filter(|field| !comes_with_the_program(field)) {
        for place in &places {
            of_field(field, &Inference::new(place.clone(), None, &report));
        }
    }
    faults.extend(report.finish());
}

/// The formulas of a field.
fn of_its_own(field: &Field) -> impl Iterator<Item = &Formula> {
    [&field.default, &field.above, &field.at_least, &field.at_most, &field.step, &field.step_up].into_iter().flatten()
}

fn comes_with_the_program(field: &Field) -> bool {
    of_its_own(field).all(|formula| formula.span().source == BUILT_IN)
}

/// A default or bound must be of the field's own kind; a word is written without quotes.
fn of_field<'a>(field: &'a Field, inference: &Inference<'a, '_>) {
    for formula in of_its_own(field) {
        let word = formula.expr().ok().and_then(Expr::word);
        if let (FieldKind::Word(words), Some(word)) = (&field.kind, word) {
            if !words.is_empty() && !words.iter().any(|known| known == word) {
                let message = format!("`{}` cannot be `{word}`; it is {}", field.name, field.kind.describe());
                let help = did_you_mean(word, words.iter().map(Words::as_str));
                inference.report.fault(Fault::new("broken-pack", formula.span(), message).maybe_help(help));
            }
            continue;
        }
        let expected = match &field.kind {
            // Each side keeps to the same bound.
            FieldKind::Size(unit) if !is_default(field, formula) => Kind::of(unit.dimension),
            kind => Kind::of_field(kind),
        };
        let found = inference.formula(formula);
        if !found.fits(&expected) {
            let message = format!("`{}` takes {}; this is {}", field.name, field.kind.describe(), found.describe());
            inference.report.fault(Fault::new("broken-pack", formula.span(), message));
        }
    }
}

fn is_default(field: &Field, formula: &Formula) -> bool {
    field.default.as_ref().is_some_and(|default| std::ptr::eq(default, formula))
}

/// Profiles may only give what their block has, in its unit.
fn profiles(vocabulary: &Vocabulary, faults: &mut Vec<Fault>) {
    for block in &vocabulary.blocks {
        let Some(section) = block.profile.as_deref().and_then(|section| vocabulary.profiles.get(section)) else {
            continue;
        };
        for (profile, about) in section {
            let mut given = about.values.iter().filter(|(_, value)| value.value.span().source != BUILT_IN).peekable();
            if given.peek().is_none() {
                continue;
            }
            let model = with_profile(vocabulary, block, profile);
            let stated = model.ids().find(|(_, feature)| feature.block.name == block.name).map(|(id, _)| id);
            for (name, value) in given {
                let fault = if block.field(name).is_none() {
                    let help = did_you_mean(name, block.fields.iter().map(|field| field.name.as_str()));
                    let message = format!("a {} has no `{name}`", block.name);
                    Some(Fault::new("broken-pack", value.value.span(), message).maybe_help(help))
                } else {
                    stated.and_then(|id| model.check_profile_value(id, name, &value.value))
                };
                faults.extend(fault.map(|fault| Fault { name: "broken-pack", ..fault }));
            }
        }
    }
}

/// A sheet that names one profile.
fn with_profile<'v>(vocabulary: &'v Vocabulary, block: &Block, profile: &str) -> Model<'v> {
    let at = Span { source: BUILT_IN, start: 0, end: 0 };
    let name = |text: &str| Name { text: text.to_owned(), span: at };
    let path = ExprKind::Path(Path { names: vec![name(profile)], span: at });
    let value = tree::Value { kind: ValueKind::Plain(Expr { kind: path, span: at }), span: at };
    let clause = Clause { head: name(&block.name), values: vec![value], like: None, body: None, span: at };
    let body = Body { statements: vec![Statement::Clause(clause)], broken: Vec::new() };
    bind(vocabulary, body, BUILT_IN, &NoImports)
}
