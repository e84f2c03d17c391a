//! Explanations, from the data's own text: of rules, and of every other word of the language.

mod derived;
mod example;
mod tried;
mod word;

use std::fmt::Write;

use serde::Serialize;

use super::json::result_json;
use super::look::Look;
use super::table::indented;
use crate::rules::{Library, Rule};
use crate::source::printable;
use example::example;

pub use word::{of_word, why};

/// All rules, grouped by the first kind of block that they look at.
#[must_use]
pub fn why_list(library: &Library, look: Look) -> String {
    let mut out = String::new();
    for block in &library.vocabulary.blocks {
        let is_of = |rule: &&Rule| block.name == first_block(rule);
        let row = |rule: &Rule| vec![rule.name.to_string(), level(rule), rule.title.to_string()];
        let rows: Vec<Vec<String>> = library.rules.iter().filter(is_of).map(row).collect();
        if !rows.is_empty() {
            let blank = if out.is_empty() { "" } else { "\n" };
            // Writing to a text cannot fail.
            let _ = write!(out, "{blank}{}\n{}", block.name, indented(&rows, look));
        }
    }
    printable(&out).into_owned()
}

/// What is found while a sheet is read is about the sheet.
fn first_block(rule: &Rule) -> &str {
    rule.about.first().map_or("sheet", |block| block.as_str())
}

/// The worst level that the rule can reach; `off` where the project switched it off.
fn level(rule: &Rule) -> String {
    rule.level(rule.worst()).map_or_else(|| "off".into(), |level| level.to_string())
}

/// Everything that is to be known about a rule; its formulas come last.
#[must_use]
pub fn why_rule(rule: &Rule, look: Look) -> String {
    of_rule(rule, look, "")
}

/// The same, with what its examples raise after them.
fn of_rule(rule: &Rule, look: Look, tried: &str) -> String {
    let title = look.folded(&format!("{} ({}): {}", rule.name, level(rule), rule.title), 0, 2);
    look.letters(&printable(&format!("{title}\n\n"))).into_owned() + &body(rule, look, tried)
}

/// The same without its heading.
pub(super) fn why_of_rule(rule: &Rule, look: Look) -> String {
    body(rule, look, "")
}

fn body(rule: &Rule, look: Look, tried: &str) -> String {
    let mut out = String::new();
    for paragraph in rule.why.trim().split("\n\n") {
        out.push_str(&look.paragraph(paragraph, 0));
        out.push('\n');
    }
    what_to_do(rule, look, &mut out);
    for (title, text) in [("A sheet that passes", &rule.passes), ("A sheet that fails", &rule.fails)] {
        // Writing to a text cannot fail.
        let _ = writeln!(out, "{title}\n{}", example(text, look));
    }
    out.push_str(tried);
    if !rule.sources.is_empty() {
        out.push_str("Sources\n");
        for source in &rule.sources {
            out.push_str(&look.paragraph(source, 2));
        }
        out.push('\n');
    }
    formulas(rule, look, &mut out);
    out.truncate(out.trim_end().len());
    out.push('\n');
    // A project's pack is somebody's text too.
    look.letters(&printable(&out)).into_owned()
}

/// The cure, how to accept a finding, and how to change the limits.
fn what_to_do(rule: &Rule, look: Look, out: &mut String) {
    let mut cures: Vec<String> = rule.help.iter().map(crate::rules::Message::outline).collect();
    cures.dedup();
    let changes: Vec<&str> = rule.change.iter().map(|field| field.text.as_str()).collect();
    if cures.is_empty() && changes.is_empty() && rule.reading.is_some() {
        return;
    }
    out.push_str("What to do\n");
    let mut line = |text: String| {
        let folded = look.folded(&format!("- {text}"), 2, 4);
        // Writing to a text cannot fail.
        let _ = writeln!(out, "  {folded}");
    };
    for cure in cures {
        line(cure);
    }
    if !changes.is_empty() {
        line(format!("`dryfit mend` may change {}", changes.join(", ")));
    }
    if rule.reading.is_none() {
        let accept = if rule.caution { "acknowledge it, which leaves it in the report" } else { "accept it" };
        let on = if rule.about.iter().all(|about| &**about == "sheet") { "sheet" } else { "FEATURE" };
        line(format!("to {accept}: `permit {} on {on} \"your reason\"` in the sheet", rule.name));
        if !rule.caution {
            line(format!("to lower it or switch it off: `levels: {{ {}: note }}`, or `off`, in a pack", rule.name));
        }
    }
    let limits: Vec<String> = rule.limits.iter().map(|limit| format!("{}: {}", limit.name, limit.value.text)).collect();
    if !limits.is_empty() {
        let (limits, name) = (limits.join(", "), &rule.name);
        line(format!("to change a limit, in a pack: `limits: {{ {name}: {{ {limits} }} }}`"));
    }
    out.push('\n');
}

fn formulas(rule: &Rule, look: Look, out: &mut String) {
    if rule.reading.is_some() {
        out.push_str("Raised while a sheet is read.\n\n");
        return;
    }
    let mut line = |text: String, indent: usize| {
        let folded = look.folded(&text, indent, indent + 4);
        // Writing to a text cannot fail.
        let _ = writeln!(out, "{:indent$}{folded}", "");
    };
    line("What must hold".into(), 0);
    line(format!("for each {}", rule.about.join(", ")), 2);
    if let Some(when) = &rule.when {
        line(format!("where {}", when.text), 2);
    }
    for (level, holds) in &rule.holds {
        line(format!("{} (else {level})", holds.text), 2);
    }
    for (name, step) in &rule.steps {
        line(format!("{name} = {}", step.text), 4);
    }
    for limit in &rule.limits {
        line(format!("{} = {} ({}; {})", limit.name, limit.value.text, limit.source, limit.basis), 4);
    }
    out.push('\n');
}

#[derive(Serialize)]
struct Document<'a> {
    shape: &'static str,
    rules: Vec<RuleShape<'a>>,
    text: Option<String>,
}

#[derive(Serialize)]
struct RuleShape<'a> {
    name: &'a str,
    level: String,
    title: &'a str,
    about: Vec<&'a str>,
    caution: bool,
    why: &'a str,
    change: Vec<&'a str>,
    holds: Vec<(String, &'a str)>,
    steps: Vec<(&'a str, &'a str)>,
    limits: Vec<LimitShape<'a>>,
    sources: Vec<&'a str>,
    passes: &'a str,
    fails: &'a str,
}

#[derive(Serialize)]
struct LimitShape<'a> {
    name: &'a str,
    value: &'a str,
    source: &'a str,
    basis: &'a str,
}

/// For programs: rules, and of one word everything that it means, as it is told to people.
#[must_use]
pub fn why_json<'a>(rules: impl IntoIterator<Item = &'a Rule>, text: Option<String>) -> String {
    let one = |rule: &'a Rule| RuleShape {
        name: &rule.name,
        level: level(rule),
        title: &rule.title,
        about: rule.about.iter().map(crate::pack::Words::as_str).collect(),
        caution: rule.caution,
        why: rule.why.trim(),
        change: rule.change.iter().map(|field| field.text.as_str()).collect(),
        holds: rule.holds.iter().map(|(level, formula)| (level.to_string(), formula.text.as_str())).collect(),
        steps: rule.steps.iter().map(|(name, formula)| (name.as_str(), formula.text.as_str())).collect(),
        limits: rule
            .limits
            .iter()
            .map(|limit| LimitShape {
                name: &limit.name,
                value: &limit.value.text,
                source: &limit.source,
                basis: &limit.basis,
            })
            .collect(),
        sources: rule.sources.iter().map(crate::pack::Words::as_str).collect(),
        passes: &rule.passes,
        fails: &rule.fails,
    };
    result_json(&Document { shape: "dryfit-rules/1", rules: rules.into_iter().map(one).collect(), text })
}
