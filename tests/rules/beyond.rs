//! Beyond the range where a formula holds nothing is judged more mildly than at its edge.

use std::collections::HashMap;
use std::fmt::Write as _;

use dryfit::inspect::inspect_text;
use dryfit::rules::{Finding, Level, Library};

/// Hooks and lengths in hundredths of a millimetre, on both sides of either edge of the formula's range.
const HOOKS: [u32; 11] = [5, 50, 100, 120, 200, 300, 500, 510, 700, 900, 1200];
const LENGTHS: [u32; 12] = [200, 270, 275, 280, 400, 600, 1000, 1020, 1400, 2000, 2500, 3000];
const THICKNESS: f64 = 1.8;

fn pairs() -> impl Iterator<Item = (u32, u32)> {
    HOOKS.iter().flat_map(|hook| LENGTHS.iter().map(move |length| (*hook, *length)))
}

/// What is found on arms of each hook and length.
fn findings(base: &str) -> Vec<Finding> {
    let mut sheet = "machine bench\nmaterial petg\npart holder {\n  up +z\n".to_owned();
    for (hook, length) in pairs() {
        let mm = |hundredths: u32| f64::from(hundredths) / 100.0;
        let _ = writeln!(
            sheet,
            "  arm a-{hook}-{length} {{ points +x; bends +y; length {} mm; thickness {THICKNESS} mm; width 8 mm; \
             root-fillet 0.9 mm; base {base}; cycles 20; hook {{ depth {} mm; lead-in 30 deg; return 45 deg }} }}",
            mm(length),
            mm(hook)
        );
    }
    sheet.push_str("}\n");
    inspect_text(&Library::built_in(), "example.dryfit", &sheet).findings
}

/// How an arm of each hook and length stands with a rule; what could not be checked is a care.
fn levels(findings: &[Finding], rule: &str) -> HashMap<(u32, u32), Option<Level>> {
    let level = |(hook, length): (u32, u32)| {
        let about = format!("holder.a-{hook}-{length}");
        let of_rule = |finding: &&Finding| {
            let is_unchecked =
                finding.unchecked.as_ref().is_some_and(|unchecked| unchecked.rules.iter().any(|name| name == rule));
            finding.about == about && (finding.rule == rule || is_unchecked)
        };
        findings.iter().filter(of_rule).map(|finding| finding.level).max()
    };
    pairs().map(|pair| (pair, level(pair))).collect()
}

#[test]
fn an_arm_bent_further_or_made_shorter_is_never_judged_more_mildly() {
    for base in ["rigid", "block", "wall; base-thickness 0.5 mm"] {
        let findings = findings(base);
        for rule in ["overstrained-arm", "stiff-arm", "tired-arm"] {
            let levels = levels(&findings, rule);
            for length in LENGTHS {
                for two in HOOKS.windows(2) {
                    let (less, more) = (levels[&(two[0], length)], levels[&(two[1], length)]);
                    assert!(
                        less <= more,
                        "{rule}, {base}, {length}: {less:?} at a hook of {}, {more:?} at {}",
                        two[0],
                        two[1]
                    );
                }
            }
            for hook in HOOKS {
                for two in LENGTHS.windows(2) {
                    let (short, long) = (levels[&(hook, two[0])], levels[&(hook, two[1])]);
                    assert!(
                        short >= long,
                        "{rule}, {base}, {hook}: {short:?} at a length of {}, {long:?} at {}",
                        two[0],
                        two[1]
                    );
                }
            }
        }
    }
}

/// The plain cantilever with a load at its tip (Roark's Formulas for Stress and Strain, beams, left end free and right end
/// fixed; from memory): the strain at its root is `1.5 t y / L^2`.
fn handbook((hook, length): (u32, u32)) -> f64 {
    let (hook, length) = (f64::from(hook) / 100.0, f64::from(length) / 100.0);
    1.5 * THICKNESS * hook / (length * length)
}

#[test]
fn the_verdict_on_a_clamped_arm_follows_the_handbook() {
    let levels = levels(&findings("rigid"), "overstrained-arm");
    // Shear takes up to 27 % off the plain formula at a length of 1.5 thicknesses, a bend by half the length adds 14 %.
    for (one, level) in &levels {
        for (other, worse) in &levels {
            if handbook(*other) > 1.6 * handbook(*one) {
                assert!(worse >= level, "{one:?}: {level:?}, {other:?}: {worse:?}");
            }
        }
        // PETG yields at 4.5 % on the mean.
        if handbook(*one) > 1.6 * 0.045 {
            assert_eq!(*level, Some(Level::Stop), "{one:?}");
        }
    }
}

fn arm(fields: &str, hook: &str) -> String {
    format!(
        "machine bench\nmaterial petg\npart holder {{ up +z; arm latch {{ points +x; bends +y; thickness 1.8 mm; width 8 mm; \
         cycles 5; {fields}; hook {{ lead-in 30 deg; return 45 deg; {hook} }} }} }}\n"
    )
}

fn told(sheet: &str, rule: &str) -> String {
    let findings = inspect_text(&Library::built_in(), "example.dryfit", sheet).findings;
    let told = findings.iter().find(|finding| finding.rule == rule);
    told.map_or("nothing".to_owned(), |finding| format!("{}: {}", finding.level, dryfit::report::message(finding)))
}

fn snapshot(name: &str, told: &[String]) {
    insta::with_settings!({snapshot_path => "../snapshots/beyond", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, told.join("\n"));
    });
}

#[test]
fn what_fails_beyond_the_range_says_where_it_ends() {
    let strain = |fields: &str, hook: &str| told(&arm(fields, hook), "overstrained-arm");
    let both = [
        strain("length 10 mm; base rigid; root-fillet 0.9 mm", "depth 5 mm"),
        strain("length 10 mm; base rigid; root-fillet 0.9 mm", "depth 5.1 mm"),
        strain("length 2.8 mm; base rigid; root-fillet 0.9 mm", "depth 1.2 mm"),
        strain("length 2.75 mm; base rigid; root-fillet 0.9 mm", "depth 1.2 mm"),
        strain("length 6 mm; base wall; base-thickness 0.7 mm", "depth 2.5 mm"),
        strain("length 6 mm; base wall; base-thickness 0.5 mm", "depth 2.5 mm"),
        strain("length 6 mm; base wall; base-thickness 2 mm; base-reach 2 mm", "depth 2.5 mm"),
        strain("length 6 mm; root-fillet 3 mm", "depth 2.5 mm"),
        strain("length 6 mm; root-fillet 5 mm", "depth 2.5 mm"),
        strain("length 6 mm; root-fillet 9 mm", "depth 2.5 mm"),
        strain("length 10 mm; tip-thickness 0.1 mm", "depth 4.9 mm"),
    ];
    snapshot("fails", &both);
}

#[test]
fn what_holds_beyond_the_range_could_not_be_checked() {
    let strain = |fields: &str, hook: &str| told(&arm(fields, hook), "overstrained-arm");
    let both = [
        strain("length 2.8 mm; base rigid; root-fillet 0.9 mm", "depth 0.05 mm"),
        strain("length 2.75 mm; base rigid; root-fillet 0.9 mm", "depth 0.05 mm"),
        strain("length 6 mm; root-fillet 5 mm", "depth 0.1 mm"),
    ];
    snapshot("holds", &both);
}

/// With nothing left around its hole a press fit is no better than with next to nothing.
#[test]
fn a_hub_without_a_rim_bursts_like_a_thin_one() {
    let burst = |around: &str| {
        told(
            &format!(
                "machine bench\nmaterial petg\nbought pin {{ outside measured 10.1, 10.11, 10.1 mm }}\n\
                 part hub {{ up +z; size 40 x 40 x 20 mm; hole seat {{ diameter 10 mm; depth 12 mm; axis +z }} }}\n\
                 fit \"pin in hub\" {{ inside hub.seat.diameter; outside pin.outside; class press; around {around} }}\n"
            ),
            "burst-fit",
        )
    };
    snapshot("rim", &["14 mm", "10.01 mm", "9.9 mm", "9 mm", "2 mm"].map(burst));
}
