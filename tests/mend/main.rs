//! Mends: proven changes, applied.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod along;
mod budget;
mod commands;
mod damage;
mod generated;
mod handbook;
mod offers;
mod packs;
mod permits;
mod properties;
mod sheets;
mod steps;
mod writing;

use dryfit::mend::{Advice, Alone, Mend, Sheet, advise};
use dryfit::rules::{Finding, Library};

/// The findings of a text with the advice for each.
fn advice(library: &Library, text: &str) -> Vec<(Finding, Option<Advice>)> {
    let sheet = Alone { library };
    let before = sheet.findings(text);
    let advice = advise(&sheet, text, &before);
    before.into_iter().zip(advice).collect()
}

/// The mends of the first finding of a rule.
fn mends_of(library: &Library, text: &str, rule: &str) -> Vec<Mend> {
    let found = advice(library, text).into_iter().find(|(finding, _)| finding.rule == rule);
    found.and_then(|(_, advice)| advice).map(|advice| advice.mends).expect(text)
}

/// A library of which only some rules are left.
fn only(rules: &[&str]) -> Library {
    let mut library = Library::built_in();
    library.rules.retain(|rule| rules.contains(&rule.name.as_str()) || rule.reading.is_some());
    library
}
