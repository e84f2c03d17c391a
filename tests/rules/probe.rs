//! What a formula of a rule comes to on a sheet.

use dryfit::inspect::inspect_text;
use dryfit::pack::Project;
use dryfit::report;
use dryfit::rules::Library;

/// The value of a formula, in millimetres, on the first feature of a kind.
pub fn millimetres(about: &str, formula: &str, sheet: &str) -> f64 {
    let rule = format!(
        "rules:\n  probe:\n    title: probe\n    about: [{about}]\n    holds:\n      stop: \"1 < 0\"\n    \
         says: \"value {{{formula}:.6}} end\"\n    why: probe\n    sources: [probe]\n    passes: let probe = 1\n    fails: let probe = 1\n"
    );
    let project = Project::of_texts([("probe.yaml".to_owned(), rule)]).map_err(|error| error.faults).unwrap();
    let library = Library::with_project(project).map_err(|error| error.faults).unwrap();
    let inspection = inspect_text(&library, "probe.dryfit", sheet);
    let found = inspection.findings.iter().find(|finding| finding.rule == "probe");
    let message = found.map_or_else(|| report::plain(&inspection), |finding| finding.message.to_string());
    let value = message.split(' ').nth(1).and_then(|value| value.parse().ok());
    value.unwrap_or_else(|| panic!("{formula} on {sheet}: {message}"))
}

/// Whether a formula comes to a number of millimetres, to a ten-thousandth.
pub fn assert_millimetres(about: &str, formula: &str, sheet: &str, expected: f64) {
    let found = millimetres(about, formula, sheet);
    assert!((found - expected).abs() < 1e-4, "{formula} on {sheet}: {found}, expected {expected}");
}
