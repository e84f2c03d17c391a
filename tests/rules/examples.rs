use dryfit::inspect::inspect_text;
use dryfit::report;
use dryfit::rules::{Basis, Library};

/// Its failing example is a pack, not a sheet; `tests/packs` shows it.
const OF_PACKS: &str = "broken-pack";

#[test]
fn every_passing_example_raises_nothing_of_its_rule() {
    let library = Library::built_in();
    for rule in &library.rules {
        let inspection = inspect_text(&library, "example.dryfit", &rule.passes);
        let own: Vec<_> = inspection.findings.iter().filter(|finding| finding.rule == rule.name).collect();
        assert!(own.is_empty(), "{}: {}", rule.name, report::plain(&inspection));
        let unreadable: Vec<_> = inspection
            .findings
            .iter()
            .filter(|finding| library.rule(&finding.rule).is_none_or(|rule| rule.reading.is_some()))
            .collect();
        assert!(unreadable.is_empty(), "{}: {}", rule.name, report::plain(&inspection));
    }
}

#[test]
fn every_failing_example_raises_its_rule_and_reads_well() {
    let library = Library::built_in();
    for rule in library.rules.iter().filter(|rule| rule.name != OF_PACKS) {
        let inspection = inspect_text(&library, "example.dryfit", &rule.fails);
        let mut own = inspection;
        own.findings.retain(|finding| finding.rule == rule.name);
        assert!(!own.findings.is_empty(), "{} is not raised by its failing example", rule.name);
        assert!(
            own.findings.iter().all(|finding| finding.label != "not checked"),
            "{}: {}",
            rule.name,
            report::plain(&own)
        );
        insta::with_settings!({snapshot_path => "../snapshots/rules", prepend_module_to_snapshot => false, omit_expression => true}, {
            // How much else was checked changes with every rule that is added.
            own.basis = Basis::default();
            own.basis.features = 1;
            let told = report::plain(&own).replace("; 0 checks hold on 1 feature", "");
            insta::assert_snapshot!(rule.name.to_string(), told);
        });
    }
}
