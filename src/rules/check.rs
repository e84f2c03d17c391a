//! The whole pack is checked when it is loaded, not when a rule happens to fire.

mod example;
mod shared;
mod vocabulary;
mod written;

use super::body::Limit;
use super::library::Library;
use super::message::Message;
use super::rule::Rule;
use super::task::Task;
use super::types::{Inference, Kind, Place, Report};
use crate::fault::{Fault, RuleFault};
use crate::model::{Evaluation, Failure, Model, NoImports, bind};
use crate::pack::{BUILT_IN, Formula};
use crate::quantity::Unit;
use crate::syntax::tree::Body;
use vocabulary::profiles;

pub(super) use example::examples;
pub(super) use shared::unshared;
pub(super) use vocabulary::block;
pub(super) use written::{written, written_rule};

/// Every fault in the parts of a library that did not come with the program.
pub(super) fn library(library: &Library) -> Vec<Fault> {
    let mut faults = Vec::new();
    for written in library.rules.iter().filter(|rule| rule.at.source != BUILT_IN) {
        faults.extend(rule(library, written));
    }
    for task in &library.own_tasks {
        faults.extend(self::task(library, task));
    }
    // A limit is a number of its own, whatever a sheet says.
    let nothing = bind(&library.vocabulary, Body::default(), BUILT_IN, &NoImports);
    // What came with the program and was not read yet, no pack has changed.
    for rule in library.rules.iter().filter(|rule| rule.is_read()) {
        limits(&nothing, rule, &mut faults);
    }
    for kind in library.vocabulary.blocks.iter().filter(|kind| kind.is_read()) {
        faults.extend(block(&library.vocabulary, kind));
    }
    profiles(&library.vocabulary, &mut faults);
    faults.retain(|fault| fault.at.source != BUILT_IN);
    faults
}

/// Every fault of one rule, its limits left out.
pub(super) fn rule(library: &Library, rule: &Rule) -> Vec<Fault> {
    let report = Report::default();
    shape(rule, &report);
    everywhere(library, rule, &report);
    report.finish()
}

/// Every fault of what is to do at the bench.
fn task(library: &Library, task: &Task) -> Vec<Fault> {
    let report = Report::default();
    let source = task.sources.first().is_none_or(|source| source.is_empty());
    let missing =
        [("about", task.about.is_empty()), ("says", task.says.iter().all(Message::is_empty)), ("source", source)];
    let keys: Vec<String> =
        missing.into_iter().filter(|(_, missing)| *missing).map(|(key, _)| key.to_owned()).collect();
    if !keys.is_empty() {
        report.fault(RuleFault::TaskLacks { task: task.name.to_string(), keys }.at(task.at));
    }
    everywhere(library, task, &report);
    report.finish()
}

/// The formulas of a rule, at each place where a block that it is about can be.
fn everywhere(library: &Library, rule: &Rule, report: &Report) {
    for kind in &rule.about {
        if let Some(block) = library.vocabulary.block(kind) {
            for place in Place::all(&library.vocabulary, block) {
                formulas(rule, &Inference::new(place, Some(rule), report));
            }
        }
    }
}

/// What every rule must have.
fn shape(rule: &Rule, report: &Report) {
    let missing = [
        ("title", rule.title.is_empty()),
        ("why", rule.why.trim().is_empty()),
        ("passes", rule.passes.trim().is_empty()),
        ("fails", rule.fails.trim().is_empty()),
        ("sources", rule.sources.is_empty() && rule.reading.is_none()),
        ("about", rule.about.is_empty() && rule.reading.is_none()),
        ("holds", rule.holds.is_empty() && rule.reading.is_none()),
    ];
    let keys: Vec<String> =
        missing.into_iter().filter(|(_, missing)| *missing).map(|(what, _)| what.to_owned()).collect();
    let of = || rule.name.to_string();
    if !keys.is_empty() {
        report.fault(RuleFault::RuleLacks { rule: of(), keys }.at(rule.at));
    }
    for level in rule.holds.iter().map(|(level, _)| *level).filter(|level| rule.says.at(*level).is_none()) {
        report.fault(RuleFault::NothingSaid { rule: of(), level: level.to_string() }.at(rule.at));
    }
    for limit in rule.limits.iter().filter(|limit| limit.source.is_empty() || limit.basis.is_empty()) {
        report.fault(RuleFault::LimitSource { limit: limit.name.to_string() }.at(limit.value.span()));
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
        let code = RuleFault::NamesNoField { key: key.into(), formula: formula.text.to_string() };
        inference.report.fault(code.at(formula.span()));
    }
}

/// The values that a message says must exist, and be of the units that it shows them in.
fn shown<'a>(message: &'a Message, inference: &Inference<'a, '_>) {
    for (brace, at) in message.loose_braces() {
        inference.report.fault(RuleFault::LooseBrace { brace }.at(at));
    }
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
            let code = RuleFault::NotShownIn { formula: formula.text.to_string(), unit: unit.to_string() };
            inference.report.fault(code.at(formula.span()));
        }
    }
}

fn limits(nothing: &Model, rule: &Rule, faults: &mut Vec<Fault>) {
    let vocabulary = nothing.vocabulary;
    for limit in rule.limits.iter().filter(|limit| limit.value.span().source != BUILT_IN) {
        let report = Report::default();
        let found = Inference::new(Place::sheet(vocabulary), None, &report).formula(&limit.value);
        if !found.fits(&Kind::Quantity(None)) {
            let code = RuleFault::LimitKind { limit: limit.name.to_string(), found: found.describe() };
            report.fault(code.at(limit.value.span()));
        }
        if let Some(was) = &limit.was {
            let aside = Report::default();
            let wanted = Inference::new(Place::sheet(vocabulary), None, &aside).formula(was);
            if !found.fits(&wanted) {
                let (wanted, found, was) = (wanted.describe(), found.describe(), was.text.to_string());
                let code = RuleFault::LimitUnlike { limit: limit.name.to_string(), wanted, found, was };
                report.fault(code.at(limit.value.span()));
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
                let (value, was) = (limit.value.text.to_string(), was.text.to_string());
                let code = RuleFault::LimitBelowZero { limit: limit.name.to_string(), value, was };
                report.fault(code.at(limit.value.span()));
            }
        }
        Err(Failure::Fault(fault)) => report.fault(*fault),
        Err(_) => {
            report.fault(RuleFault::LimitOfSheet { limit: limit.name.to_string() }.at(limit.value.span()));
        }
    }
}
