//! A rule's full explanation, from the rule's own text.

use std::fmt::Write;

use crate::rules::{Library, Rule};
use crate::source::printable;

/// All rules with their levels, one a line.
#[must_use]
pub fn why_list(library: &Library) -> String {
    let widest = library.rules.iter().map(|rule| rule.name.len()).max().unwrap_or_default();
    let mut out = String::new();
    for rule in &library.rules {
        // Writing to a text cannot fail.
        let _ = writeln!(out, "{:widest$}  {:<4}  {}", rule.name, level(rule), rule.title);
    }
    printable(&out).into_owned()
}

/// The worst level that the rule can reach; `off` where the project switched it off.
fn level(rule: &Rule) -> String {
    rule.level(rule.worst()).map_or_else(|| "off".into(), |level| level.to_string())
}

/// Everything that is to be known about a rule.
#[must_use]
pub fn why_rule(rule: &Rule) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{} ({}): {}\n", rule.name, level(rule), rule.title);
    let _ = writeln!(out, "{}\n", rule.why.trim());
    formulas(rule, &mut out);
    if !rule.sources.is_empty() {
        out.push_str("Sources\n");
        for source in &rule.sources {
            let _ = writeln!(out, "  {source}");
        }
        out.push('\n');
    }
    example("A sheet that passes", &rule.passes, &mut out);
    example("A sheet that fails", &rule.fails, &mut out);
    out.truncate(out.trim_end().len());
    out.push('\n');
    // A project's pack is somebody's text too.
    printable(&out).into_owned()
}

fn formulas(rule: &Rule, out: &mut String) {
    if rule.reading.is_some() {
        out.push_str("Raised while a sheet is read.\n\n");
        return;
    }
    out.push_str("What must hold\n");
    let _ = writeln!(out, "  for each {}", rule.about.join(", "));
    if let Some(when) = &rule.when {
        let _ = writeln!(out, "  where {}", when.text);
    }
    for (level, holds) in &rule.holds {
        let _ = writeln!(out, "  {}   (else {level})", holds.text);
    }
    for (name, step) in &rule.steps {
        let _ = writeln!(out, "    {name} = {}", step.text);
    }
    for limit in &rule.limits {
        let _ = writeln!(out, "    {} = {}   ({}; {})", limit.name, limit.value.text, limit.source, limit.basis);
    }
    out.push('\n');
}

fn example(title: &str, text: &str, out: &mut String) {
    let _ = writeln!(out, "{title}");
    for line in text.trim_end().lines() {
        let _ = writeln!(out, "  {line}");
    }
    out.push('\n');
}
