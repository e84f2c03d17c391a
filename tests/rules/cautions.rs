//! Cautions: they stay whatever a sheet or a project says, and none of them calls anything safe.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Finding, Level, Library};

/// The findings of a rule on a sheet.
fn findings(library: &Library, rule: &str, sheet: &str) -> Vec<Finding> {
    let found = inspect_text(library, "example.dryfit", sheet).findings;
    found.into_iter().filter(|finding| finding.rule == rule).collect()
}

#[test]
fn every_caution_is_raised_with_care_and_defers_to_local_codes() {
    let library = Library::built_in();
    let cautions: Vec<_> = library.rules.iter().filter(|rule| rule.caution).collect();
    assert!(cautions.len() >= 9, "only {} cautions", cautions.len());
    for rule in cautions {
        let raised = findings(&library, &rule.name, &rule.fails);
        assert!(raised.iter().all(|finding| finding.level == Level::Care), "{}", rule.name);
        let help = raised[0].help.clone().unwrap_or_default();
        assert!(help.contains("local"), "{} does not defer to local codes: {help}", rule.name);
    }
}

#[test]
fn a_permit_acknowledges_a_caution_and_does_not_take_it_away() {
    let sheet = "service { mains yes }
                 permit mains-voltage on service \"only the lead of a bought lamp, outside\"";
    let raised = findings(&Library::built_in(), "mains-voltage", sheet);
    assert_eq!(raised.len(), 1);
    assert_eq!(raised[0].permitted, None);
    assert!(raised[0].acknowledged.as_ref().is_some_and(|answer| answer.reason.starts_with("only the lead")));
}

#[test]
fn a_caution_stays_when_a_project_switches_it_off() {
    let mut library = Library::built_in();
    for rule in &mut library.rules {
        rule.most = None;
    }
    assert_eq!(findings(&library, "mains-voltage", "service { mains yes }").len(), 1);
    assert_eq!(
        findings(&library, "too-warm", "service { temperature 90 degC }\nmaterial pla\npart p { up +z }").len(),
        0
    );
}

#[test]
fn no_finding_of_any_rule_calls_a_part_safe() {
    let library = Library::built_in();
    for rule in &library.rules {
        for finding in inspect_text(&library, "example.dryfit", &rule.fails).findings {
            let said = format!("{} {}", finding.message, finding.help.unwrap_or_default()).to_lowercase();
            let words = said.split(|c: char| !c.is_alphabetic());
            let safe = words.filter(|word| ["safe", "safely", "harmless"].contains(word)).count();
            assert_eq!(safe, 0, "{}: {said}", rule.name);
        }
    }
}
