//! What the rules about arms make of what else the sheet says.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Finding, Library};

fn arm(fields: &str, hook: &str) -> String {
    format!(
        "machine bench\nmaterial petg\npart clip {{ up +z; arm jaw {{ points +x; bends +y; length 18 mm; \
         thickness 1.6 mm; width 12 mm; root-fillet 0.8 mm; {fields}; hook {{ {hook} }} }} }}\n"
    )
}

fn finding(sheet: &str, rule: &str) -> Option<Finding> {
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", sheet);
    inspection.findings.into_iter().find(|finding| finding.rule == rule)
}

const HOOK: &str = "depth 1.8 mm; lead-in 30 deg; return 45 deg";

/// The level of a rule's finding, if there is one.
fn level(sheet: &str, rule: &str) -> Option<String> {
    finding(sheet, rule).map(|finding| finding.level.to_string())
}

#[test]
fn warmth_weakens_a_hold_along_a_line_and_leaves_the_strain_limit_alone() {
    let sheet = arm("bears 400 N", "depth 1.8 mm; lead-in 30 deg; return 40 deg");
    let pull = |temperature: f64| {
        let sheet = format!("{sheet}service {{ temperature {temperature} degC }}\n");
        let margin = finding(&sheet, "weak-hold").and_then(|finding| finding.margin).unwrap();
        400.0 + margin.room
    };
    // From all of it at 23 degC to 65 % at 50 degC, evenly: 1 K is 1.296 %.
    assert!((pull(50.0) / pull(23.0) - 0.65).abs() < 1e-6);
    assert!((pull(45.0) / pull(23.0) - (1.0 - 0.35 * 22.0 / 27.0)).abs() < 1e-6);
    assert!((pull(10.0) - pull(23.0)).abs() < 1e-9);
    let strained = arm("cycles 50", "depth 3.6 mm; lead-in 30 deg; return 45 deg");
    let room = |sheet: &str| finding(sheet, "overstrained-arm").and_then(|finding| finding.margin).unwrap().room;
    let warm = format!("{strained}service {{ temperature 60 degC }}\n");
    assert!((room(&warm) - room(&strained)).abs() < 1e-9);
}

#[test]
fn a_limit_falls_with_the_logarithm_of_the_openings() {
    let limit = |cycles: u32| {
        let sheet = arm(&format!("cycles {cycles}"), "depth 3.9 mm; lead-in 30 deg; return 45 deg");
        let told = finding(&sheet, "overstrained-arm").unwrap();
        assert_eq!(told.level.to_string(), "care", "{}", told.message);
        let takes = told.message.split("petg takes ").nth(1).unwrap();
        takes.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    // 2.8 % once, 60 % of it from 100 openings on; at 30 a share of log 3 on the way.
    assert!((limit(10) - 2.8).abs() < 0.05 && (limit(1000) - 1.7).abs() < 0.05);
    assert!((limit(30) - (2.8 - 1.12 * 3_f64.log10())).abs() < 0.05);
}

#[test]
fn a_standing_arm_is_judged_by_its_strain() {
    let standing = |depth: &str| {
        arm("cycles 20", &format!("depth {depth} mm; lead-in 30 deg; return 45 deg")).replace("points +x", "points +z")
    };
    assert_eq!(level(&standing("0.6"), "overstrained-arm"), None);
    assert_eq!(level(&standing("1.3"), "overstrained-arm").as_deref(), Some("care"));
    assert_eq!(level(&standing("2.6"), "overstrained-arm").as_deref(), Some("stop"));
    assert_eq!(level(&standing("0.6"), "arm-across-layers").as_deref(), Some("note"));
}

#[test]
fn frost_is_asked_of_what_flexes() {
    let sheet = |coldest: &str| {
        let pp = arm("cycles 20", HOOK).replace("petg", "pp");
        format!("{pp}service {{ coldest {coldest} degC }}\n")
    };
    assert_eq!(level(&sheet("-20"), "brittle-in-cold").as_deref(), Some("care"));
    assert_eq!(level(&sheet("5"), "brittle-in-cold"), None);
    // A scale of its own: 14 degF is -10 degC.
    assert_eq!(level(&sheet("14").replace("14 degC", "14 degF"), "brittle-in-cold").as_deref(), Some("care"));
}

#[test]
fn a_thin_wall_spares_the_arm_that_grows_from_it_and_a_clamp_does_not() {
    let strain = |base: &str| {
        // Without a fillet, which would stiffen the block and the wall but not the clamp.
        let sheet = arm(&format!("{base}; cycles 50"), "depth 3.6 mm; lead-in 30 deg; return 45 deg")
            .replace("root-fillet 0.8 mm; ", "")
            .replace("width 12 mm", "width 5 mm");
        let room = finding(&sheet, "overstrained-arm").and_then(|finding| finding.margin).unwrap().room;
        -room
    };
    let (clamp, block) = (strain("base rigid"), strain("base block"));
    let (thick, thin) =
        (strain("base wall; base-thickness 8 mm"), strain("base wall; base-thickness 1.6 mm; base-reach 6 mm"));
    assert!(thin < thick && thin < block && block < clamp && thick < clamp, "{thin} {thick} {block} {clamp}");
}

#[test]
fn an_arm_on_a_wall_of_unknown_thickness_is_told_to_be_unchecked() {
    let sheet = arm("base wall; cycles 50", "depth 3.6 mm; lead-in 30 deg; return 45 deg");
    assert!(finding(&sheet, "overstrained-arm").is_none());
    assert!(finding(&sheet, "unstated-base").is_some());
}

#[test]
fn arms_that_close_together_add_up() {
    let push = |count: u32| {
        let sheet = arm(&format!("count {count}; closed-by fingertip"), "depth 1.8 mm; lead-in 40 deg");
        finding(&sheet, "stiff-arm").and_then(|finding| finding.margin).unwrap().left.value
    };
    assert!((push(4) / push(2) - 2.0).abs() < 1e-9);
    assert!(finding(&arm("count 4; closed-by tool", "depth 1.8 mm; lead-in 40 deg"), "stiff-arm").is_none());
}

#[test]
fn a_hook_that_is_asked_to_come_out_by_pulling_must() {
    let level = |hook: &str| {
        let told = finding(&arm("cycles 50", hook), "locked-hook");
        told.map(|finding| finding.level.to_string())
    };
    assert_eq!(level("depth 1 mm; lead-in 30 deg; return 80 deg; release pulled").as_deref(), Some("stop"));
    assert_eq!(level("depth 1 mm; lead-in 30 deg; return 80 deg").as_deref(), Some("care"));
    assert_eq!(level("depth 1 mm; lead-in 30 deg").as_deref(), Some("care"));
    assert_eq!(level("depth 1 mm; lead-in 30 deg; release lifted"), None);
    assert_eq!(level("depth 1 mm; lead-in 30 deg; return 45 deg"), None);
}

#[test]
fn a_hook_on_steel_slides_with_the_friction_of_steel() {
    let told = |rubs: &str| {
        finding(&arm(&format!("{rubs}; bears 200 N"), "depth 1.8 mm; lead-in 30 deg; return 40 deg"), "weak-hold")
    };
    let room = |rubs: &str| told(rubs).and_then(|finding| finding.margin).unwrap().room;
    assert!(room("rubs-on steel") < room("rubs-on plastic"));
}

#[test]
fn a_material_that_would_do_is_named() {
    let sheet = arm("cycles 50", "depth 3.6 mm; lead-in 30 deg; return 45 deg");
    let help = finding(&sheet, "overstrained-arm").and_then(|finding| finding.help).unwrap();
    assert!(help.contains("would take it: pa6, pp, tpu-95a ("), "{help}");
}

#[test]
fn what_a_choice_passes_over_is_no_input() {
    let told = finding(&arm("count 2; closed-by fingertip", "depth 1.8 mm; lead-in 40 deg"), "stiff-arm").unwrap();
    let inputs: Vec<_> = told.inputs.iter().map(|input| input.name.as_str()).collect();
    assert!(inputs.contains(&"material.friction") && inputs.contains(&"fingertip"), "{inputs:?}");
    assert!(!inputs.contains(&"material.friction-steel") && !inputs.contains(&"palm"), "{inputs:?}");
}
