//! What to measure, in which order, and the readings at which verdicts change.

use std::fmt::Write;
use std::path::Path;

use dryfit::files::Disk;
use dryfit::inspect::Analysis;
use dryfit::measures::{Jaws, Measure, Side, measures};
use dryfit::rules::{Level, Library};
use dryfit::workspace::Workspace;

use super::DEMOS;

fn of_demo(name: &str) -> Vec<Measure> {
    let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
    let path = Path::new("demo-data").join(format!("{name}.dryfit"));
    let workspace = Workspace::of(&disk, [&path], None).unwrap();
    let sheet = workspace.sheet(&path).unwrap();
    let analysis = sheet.analysis();
    measures(analysis.library, &analysis.model)
}

#[test]
fn of_the_demos() {
    let mut all = String::new();
    for name in DEMOS {
        let _ = writeln!(all, "{name}");
        for measure in of_demo(name) {
            let Measure { path, drawn, expected, jaws, limits, .. } = &measure;
            let _ = writeln!(
                all,
                "  {path}: drawn {drawn}, expected {:.3} (u {:.3}), {}",
                expected.value,
                expected.uncertainty(),
                jaws.words()
            );
            for limit in limits {
                let side = if limit.side == Side::AtLeast { "at least" } else { "at most" };
                let _ = writeln!(
                    all,
                    "    {side} {:.3} (u {:.3}) or {} {} on {}: {:.1} u inside, {:.0} % of the variance",
                    limit.value,
                    limit.uncertainty,
                    limit.level,
                    limit.rule,
                    limit.about,
                    limit.distance,
                    limit.share * 100.0
                );
            }
        }
    }
    insta::with_settings!({snapshot_path => "../snapshots/checklist", prepend_module_to_snapshot => false}, {
        insta::assert_snapshot!("measures-of-the-demos", all);
    });
}

fn of_text(text: &str) -> Vec<Measure> {
    let library = Library::built_in();
    let analysis = Analysis::of_text(&library, "p.dryfit", text);
    assert!(!analysis.is_broken, "{text}");
    measures(&library, &analysis.model)
}

fn slot(bought: &str, drawn: &str) -> String {
    format!(
        "machine bench {{ inside-bias -0.1 mm; inside-spread 0.05 mm }}\nmaterial petg\nbought rail {{ lip {bought} }}\n\
         part p {{ up +z; slot mouth {{ width {drawn}; depth 9 mm; axis +z }} }}\n\
         fit \"mouth on lip\" {{ inside p.mouth.width; outside rail.lip; clearance 0.05 to 0.25 mm }}\n"
    )
}

/// Arithmetic: a clearance of c a side is reached by a slot 2 c wider than what goes in, whatever the machine does; the
/// limit is as uncertain as the mean of the readings (JCGM 100:2008, 4.2.3) and the caliper's limit over the root of 3
/// (4.3.7) with its step over that of 12.
#[test]
fn a_reading_must_leave_the_clearance_that_the_fit_states() {
    let measures = of_text(&slot("measured 8.00, 8.02, 8.04 mm", "8.5 mm"));
    let mouth = measures.iter().find(|measure| measure.path == "p.mouth.width").unwrap();
    let limit = |side: Side, level: Level| {
        mouth.limits.iter().find(|limit| (limit.side, limit.level) == (side, level)).unwrap()
    };
    assert!((limit(Side::AtLeast, Level::Care).value - 8.12).abs() < 1e-4, "{:?}", mouth.limits);
    assert!((limit(Side::AtMost, Level::Note).value - 8.52).abs() < 1e-4, "{:?}", mouth.limits);
    assert!((mouth.expected.value - 8.4).abs() < 1e-9);
    // The scatter, and a little of how much the material shrinks.
    assert!((mouth.expected.uncertainty() - 0.05).abs() < 1e-3);
    let readings = 0.02 / 3.0_f64.sqrt();
    let instrument = (0.03 / 3.0_f64.sqrt()).hypot(0.01 / 12.0_f64.sqrt());
    let found = limit(Side::AtLeast, Level::Care).uncertainty;
    assert!((found - readings.hypot(instrument)).abs() < 0.15 * found, "{found}");
    assert_eq!(mouth.jaws, Jaws::Inside);
    assert_eq!(mouth.go().0, Some(limit(Side::AtLeast, Level::Care).value));
}

/// Once a slot that reads exactly the limit is drawn on a machine that adds nothing, the rule turns there.
#[test]
fn a_rule_turns_at_the_reading() {
    let with = |width: f64| {
        let library = Library::built_in();
        let text = slot("8.02 mm", &format!("{width} mm")).replace("-0.1 mm", "0 mm");
        let analysis = Analysis::of_text(&library, "p.dryfit", &text);
        analysis
            .findings()
            .iter()
            .any(|finding| finding.rule == "jammed-fit" && finding.missed.is_some() && !finding.likely)
    };
    let found = of_text(&slot("8.02 mm", "8.3 mm"));
    let low = found.iter().find(|measure| measure.path == "p.mouth.width").unwrap().go().0.unwrap();
    assert!(with(low - 0.02) && !with(low + 0.02), "{low}");
}

#[test]
fn what_is_far_from_every_limit_needs_no_caliper() {
    let thick =
        "machine bench\nmaterial petg\npart p { up +z; size 40 x 30 x 20 mm; wall w { thickness 3 mm; faces +x } }";
    assert!(of_text(thick).is_empty());
}
