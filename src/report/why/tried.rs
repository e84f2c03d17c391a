//! Whether the examples of a project's rule show what they are there for. Those of the built-in pack do: its tests hold it.

use crate::inspect::inspect_text;
use crate::pack::BUILT_IN;
use crate::report::look::Look;
use crate::rules::{Library, Rule};

/// What the sheets of a rule raise of it, in a paragraph; nothing where that is known.
pub(super) fn tried(library: &Library, rule: &Rule, look: Look) -> String {
    if rule.at.source == BUILT_IN || rule.reading.is_some() || !rule.is_active() {
        return String::new();
    }
    let raises =
        |sheet: &str| inspect_text(library, "example.dryfit", sheet).found().any(|found| rule.name == found.rule);
    let text = match (raises(&rule.passes), raises(&rule.fails)) {
        (false, true) => "Tried: the first raises nothing of this rule, the second does.",
        (true, true) => "Tried: both raise this rule. The first must not: one of `holds` and `passes` is wrong.",
        (false, false) => "Tried: neither raises this rule. The second must: one of `holds` and `fails` is wrong.",
        (true, false) => "Tried: the sheet that passes raises this rule, and the one that fails does not.",
    };
    look.paragraph(text, 0) + "\n"
}
