//! Tolerance stacks against a worked example.

use super::told;
use dryfit::inspect::inspect_text;
use dryfit::rules::Library;

use crate::probe::millimetres;

/// Shigley's Mechanical Engineering Design, chapter 1, the shouldered screw with three cylinders (from memory):
/// a = 1.750 ± 0.003 in, b = 0.750 ± 0.001 in, c = 0.120 ± 0.005 in, d = 0.875 ± 0.001 in;
/// gap a - b - c - d = 0.005 ± 0.010 in, so from -0.005 to 0.015 in. The root-sum-square ± 0.006 in is computed from it:
/// sqrt(0.003^2 + 0.001^2 + 0.005^2 + 0.001^2).
const SCREW: &str = r#"
let a = 1.750 in ± 0.003 in
let b = 0.750 in ± 0.001 in
let c = 0.120 in ± 0.005 in
let d = 0.875 in ± 0.001 in
stack "screw gap" { gap a - b - c - d; least 0 in; most 0.02 in }
"#;

#[test]
fn the_shouldered_screw_has_the_textbooks_gap() {
    for tolerances in ["two-sigma", "three-sigma"] {
        let found = told(&format!("sheet \"Screw\" tolerances {tolerances}{SCREW}"));
        let expected = "0.0050 in as made, -0.0050 in to 0.0150 in at worst, ± 0.0060 in by root-sum-square";
        assert!(found.contains(expected), "{found}");
    }
}

/// Standard deviation 0.003 in (two sigma) or 0.002 in (three): the gap closes beyond 1.67 or 2.5 of them, which 4.8 % or
/// 0.6 % of a normal distribution are (tables of the normal distribution).
#[test]
fn the_chance_of_no_gap_is_the_normal_distributions() {
    assert!(told(&format!("sheet \"Screw\" tolerances two-sigma{SCREW}")).contains("; 4.8 % of them are too small"));
    assert!(told(&format!("sheet \"Screw\" tolerances three-sigma{SCREW}")).contains("; 0.62 % of them are too small"));
}

#[test]
fn a_stack_within_its_worst_case_raises_nothing() {
    let wide = SCREW.replace("least 0 in", "least -0.006 in");
    let found = told(&format!("sheet \"Screw\"{wide}"));
    assert!(!found.contains("stack-limit"), "{found}");
}

/// At worst the gap is 0.005 - 0.010 in, and below `least`: that is so of the drawing, and no matter of chance. The chance
/// of leaving the limits is told in words: 0.009 in below the middle is three standard deviations, 0.13 % of a normal
/// distribution (its tables).
#[test]
fn the_worst_case_is_no_matter_of_chance() {
    let sheet = format!("sheet \"Screw\"{}", SCREW.replace("least 0 in", "least -0.004 in"));
    let inspection = inspect_text(&Library::built_in(), "stack.dryfit", &sheet);
    let found = inspection.findings.iter().find(|finding| finding.rule == "stack-limit").unwrap();
    let margin = found.margin.as_ref().unwrap();
    assert!((margin.room + 0.001).abs() < 1e-9, "{margin:?}");
    assert_eq!(margin.chance, None);
    assert!(found.message.contains("; 0.13 % of them are too small"), "{}", found.message);
}

/// A pack may weigh the worst case against what is uncertain itself. It is 0.1 mm, wherever the inputs of the other side
/// are put: 2.05 mm less the thickness falls below it unless that is one standard deviation thinner than drawn, which
/// 84.134 % of a normal distribution are not (its tables).
#[test]
fn the_worst_case_stays_while_chances_are_worked_out() {
    let formula = "chance-of-failing(worst-case(thickness) <= 2.05 mm - thickness)";
    let found = millimetres("wall", formula, "part box { wall back { thickness 2 mm ± 0.1 mm } }");
    assert!((found - 84.134).abs() < 1e-2, "{found} %");
}

/// Logic: `and` holds where both do, `or` where either does, also where one of them is certain and just at its limit.
#[test]
fn a_certain_comparison_at_its_limit_decides() {
    let bought = "bought a { x 10 mm ± 0.2 mm; least 1 mm }\n";
    for (asked, holds) in [
        ("a.least > 1 mm and a.x < 11 mm", false),
        ("a.x < 11 mm and a.least > 1 mm", false),
        ("a.least >= 1 mm and a.x < 11 mm", true),
        ("a.least > 1 mm or a.x < 11 mm", true),
        ("a.x > 11 mm or a.least >= 1 mm", true),
        ("a.x > 11 mm or a.least > 1 mm", false),
    ] {
        let found = told(&format!("{bought}demand {asked} \"test\""));
        assert_eq!(!found.contains("broken-demand"), holds, "{asked}: {found}");
    }
}
