//! Mends: proven changes, applied.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod budget;
mod commands;
mod damage;
mod generated;
mod handbook;
mod offers;
mod permits;
mod properties;
mod sheets;
mod writing;

use dryfit::mend::{Advice, Alone, Sheet, advise};
use dryfit::rules::{Finding, Library};

/// The findings of a text with the advice for each.
fn advice(library: &Library, text: &str) -> Vec<(Finding, Option<Advice>)> {
    let sheet = Alone { library };
    let before = sheet.findings(text);
    let advice = advise(&sheet, text, &before);
    before.into_iter().zip(advice).collect()
}

/// A library of which only some rules are left.
fn only(rules: &[&str]) -> Library {
    let mut library = Library::built_in();
    library.rules.retain(|rule| rules.contains(&rule.name.as_str()) || rule.reading.is_some());
    library
}
