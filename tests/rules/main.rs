//! Every rule's own examples: the passing sheet raises nothing of it, the failing one does.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

mod beyond;
mod boxes;
mod cautions;
mod dangers;
mod digits;
mod every_formula;
mod examples;
mod findings;
mod fits;
mod flexing;
mod formula_kinds;
mod inches;
mod inserts;
mod loads;
mod lying;
mod pack_data;
mod places;
mod printed;
mod probe;
mod refused_packs;
mod slots;
mod stacks;
mod tables;
mod tolerance_class;
mod worked_examples;
mod worked_examples_fits;
mod worked_examples_geometry;
mod worked_examples_strength;

/// The plain report on a sheet.
fn told(sheet: &str) -> String {
    dryfit::report::plain(&dryfit::inspect::inspect_text(&dryfit::rules::Library::built_in(), "example.dryfit", sheet))
}

/// The level of a rule's finding on a sheet, if there is one.
fn level_of(sheet: &str, rule: &str) -> Option<String> {
    let inspection = dryfit::inspect::inspect_text(&dryfit::rules::Library::built_in(), "example.dryfit", sheet);
    inspection.findings.into_iter().find(|finding| finding.rule == rule).map(|finding| finding.level.to_string())
}
