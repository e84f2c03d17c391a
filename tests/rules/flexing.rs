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

#[test]
fn an_arm_stands_less_in_the_warm() {
    let sheet = arm("cycles 50", HOOK);
    assert!(finding(&sheet, "overstrained-arm").is_none());
    for (service, warm) in [("temperature 45 degC", false), ("temperature 46 degC", true), ("", false)] {
        let told = finding(&format!("{sheet}service {{ {service} }}\n"), "overstrained-arm");
        assert_eq!(told.is_some(), warm, "{service}: {told:?}");
    }
    let told = finding(&format!("{sheet}service {{ temperature 50 degC }}\n"), "overstrained-arm");
    // 65 % of 1.68 %.
    assert!(told.unwrap().message.ends_with("petg stands 1.1 % here"));
}

#[test]
fn a_thin_wall_spares_the_arm_that_grows_from_it_and_a_clamp_does_not() {
    let strain = |base: &str| {
        // Without a fillet, which would stiffen the block and the wall but not the clamp.
        let sheet = arm(&format!("{base}; cycles 50"), "depth 3.6 mm; lead-in 30 deg; return 45 deg")
            .replace("root-fillet 0.8 mm; ", "")
            .replace("width 12 mm", "width 5 mm");
        let room = finding(&sheet, "overstrained-arm").and_then(|finding| finding.margin).unwrap().room;
        1.68 - room
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
        20.0 - finding(&sheet, "stiff-arm").and_then(|finding| finding.margin).unwrap().room
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
    assert!(help.contains("so: pp, tpu-95a ("), "{help}");
}

#[test]
fn what_a_choice_passes_over_is_no_input() {
    let told = finding(&arm("count 2; closed-by fingertip", "depth 1.8 mm; lead-in 40 deg"), "stiff-arm").unwrap();
    let inputs: Vec<_> = told.inputs.iter().map(|input| input.name.as_str()).collect();
    assert!(inputs.contains(&"material.friction") && inputs.contains(&"fingertip"), "{inputs:?}");
    assert!(!inputs.contains(&"material.friction-steel") && !inputs.contains(&"palm"), "{inputs:?}");
}
