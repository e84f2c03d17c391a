//! What must not change the answer, and which way it must move: over generated parts.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

use std::collections::BTreeSet;
use std::sync::OnceLock;

use dryfit::inspect::inspect_text;
use dryfit::rules::{Finding, Level, Library};
use proptest::prelude::*;

fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(Library::built_in)
}

fn findings(sheet: &str) -> Vec<Finding> {
    inspect_text(library(), "generated.dryfit", sheet).findings
}

/// Which rule says what of which feature.
fn told(findings: &[Finding]) -> BTreeSet<(String, String, Level)> {
    findings.iter().map(|finding| (finding.rule.clone(), finding.about.clone(), finding.level)).collect()
}

/// A part with one of most things, its dimensions in mm, drawn in axes of the given order.
#[derive(Debug, Clone)]
struct Drawn {
    thickness: f64,
    length: f64,
    width: f64,
    depth: f64,
    hole: f64,
    gap: f64,
    span: f64,
    lean: f64,
}

prop_compose! {
    fn drawn()(
        thickness in 0.5..4.0_f64, length in 10.0..30.0_f64, width in 4.0..14.0_f64, depth in 0.4..2.5_f64,
        hole in 1.0..8.0_f64, gap in 0.2..3.0_f64, span in 2.0..15.0_f64, lean in 5.0..85.0_f64,
    ) -> Drawn {
        Drawn { thickness, length, width, depth, hole, gap, span, lean }
    }
}

impl Drawn {
    /// The sheet with its axes renamed: `axes[0]` stands for what is x as drawn, and so on.
    fn sheet(&self, axes: [&str; 3], unit: &str) -> String {
        let scale = if unit == "in" { 1.0 / 25.4 } else { 1.0 };
        let length = |mm: f64| format!("{} {unit}", mm * scale);
        let Self { thickness, length: arm, width, depth, hole, gap, span, lean } = *self;
        let [x, y, z] = axes;
        let mut size = ["", "", ""].map(String::from);
        for (axis, mm) in axes.iter().zip([60.0, 40.0, 30.0]) {
            size["xyz".find(axis).unwrap()] = format!("{}", mm * scale);
        }
        format!(
            "sheet \"Generated\"\nmachine bench\nmaterial petg\n\
             part p {{\n  up +{z}\n  size {} {unit}\n\
             wall w {{ thickness {t}; height {h}; faces +{x} }}\n\
             wall floor {{ thickness {t}; faces +{z} }}\n\
             arm a {{ points +{x}; bends +{y}; length {a}; thickness {t}; width {b}; root-fillet {r}; cycles 20\n\
             hook {{ depth {d}; lead-in 30 deg }} }}\n\
             hole h {{ diameter {o}; axis +{z} }}\n\
             slot s {{ width {g}; across +{x} }}\n\
             bridge b {{ span {s} }}\n\
             face f {{ faces -{z} tilted {lean} deg toward +{x} }}\n}}\n",
            size.join(" x "),
            t = length(thickness),
            h = length(12.0),
            a = length(arm),
            b = length(width),
            r = length(0.5 * thickness),
            d = length(depth),
            o = length(hole),
            g = length(gap),
            s = length(span),
        )
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Nothing depends on how the model happened to be drawn.
    #[test]
    fn turning_the_whole_part_changes_nothing(part in drawn()) {
        let straight = told(&findings(&part.sheet(["x", "y", "z"], "mm")));
        for axes in [["y", "z", "x"], ["z", "x", "y"], ["y", "x", "z"]] {
            prop_assert_eq!(&straight, &told(&findings(&part.sheet(axes, "mm"))), "drawn in {:?}", axes);
        }
    }

    #[test]
    fn inches_equal_millimetres(part in drawn()) {
        let metric = told(&findings(&part.sheet(["x", "y", "z"], "mm")));
        let imperial = told(&findings(&part.sheet(["x", "y", "z"], "in")));
        prop_assert_eq!(metric, imperial);
    }

    /// A sheet means the same however its lines end, and every place in it stays where it is.
    #[test]
    fn however_lines_end_all_stays_in_its_place(part in drawn(), broken in any::<bool>()) {
        let mut sheet = part.sheet(["x", "y", "z"], "mm").replace("hole h", "# Ø of the pin\nhole h");
        if broken {
            sheet = sheet.replace("slot s", "slott s").replace("up +z", "up \"z");
        }
        let told = |ending: &str| -> Vec<_> {
            let inspection = inspect_text(library(), "generated.dryfit", &sheet.replace('\n', ending));
            let place = |finding: &Finding| inspection.sources.get(finding.at.source).place(finding.at.start);
            inspection.findings.iter().map(|f| (f.rule.clone(), f.about.clone(), f.message.clone(), place(f))).collect()
        };
        let fed = told("\n");
        prop_assert!(fed.iter().any(|(_, _, _, place)| place.line > 1), "{:?}", fed);
        prop_assert_eq!(&fed, &told("\r\n"));
        prop_assert_eq!(&fed, &told("\r"));
    }

    /// A machine that does everything better never adds a finding of the rules that ask it.
    #[test]
    fn a_looser_limit_never_adds_a_finding(part in drawn()) {
        let sheet = part.sheet(["x", "y", "z"], "mm");
        let better = sheet.replace(
            "machine bench",
            "machine bench { overhang 80 deg; bridge-clean 20 mm; bridge-most 40 mm; hole-least 0.5 mm; gap-least 0.1 mm }",
        );
        let asked = ["steep-underside", "long-bridge", "small-hole", "fused-gap"];
        let of = |sheet: &str| -> BTreeSet<_> {
            told(&findings(sheet)).into_iter().filter(|(rule, ..)| asked.contains(&rule.as_str())).collect()
        };
        let (before, after) = (of(&sheet), of(&better));
        prop_assert!(after.iter().all(|(rule, about, _)| before.iter().any(|(r, a, _)| r == rule && a == about)));
    }

    /// The strain of an arm with twice the thickness is larger, with twice the length smaller.
    #[test]
    fn thicker_strains_more_and_longer_less(part in drawn()) {
        let strain = |part: &Drawn| {
            let sheet = part.sheet(["x", "y", "z"], "mm").replace("material petg", "material petg { yield-strain 0.001 % }");
            let all = findings(&sheet);
            let margin = all.iter().find(|finding| finding.rule == "overstrained-arm").and_then(|f| f.margin.clone());
            margin.map(|margin| -margin.room)
        };
        let longer = Drawn { length: 1.5 * part.length, ..part.clone() };
        let thinner = Drawn { thickness: 0.5 * part.thickness, ..part.clone() };
        if let (Some(own), Some(longer), Some(thinner)) = (strain(&part), strain(&longer), strain(&thinner)) {
            prop_assert!(longer < own, "longer {longer} against {own}");
            prop_assert!(thinner < own, "thinner {thinner} against {own}");
        }
    }

    /// A wider gap never jams more, and never rattles less.
    #[test]
    fn a_wider_gap_never_jams_more(narrow in 8.0..9.0_f64, wider in 0.01..1.0_f64) {
        let levels = |width: f64| {
            let sheet = format!(
                "machine bench\nmaterial petg\nbought bar {{ w measured 8.02, 8.05, 8.01 mm }}\n\
                 part p {{ up +z; slot s {{ width {width} mm; across +x }} }}\n\
                 fit \"bar in slot\" {{ inside p.s.width; outside bar.w; class sliding }}\n"
            );
            let all = findings(&sheet);
            let level = |rule: &str| all.iter().find(|finding| finding.rule == rule).map(|finding| finding.level);
            (level("jammed-fit"), level("rattling-fit"))
        };
        let ((jams, rattles), (jams_wider, rattles_wider)) = (levels(narrow), levels(narrow + wider));
        prop_assert!(jams_wider <= jams, "jams {jams:?}, wider {jams_wider:?}");
        prop_assert!(rattles_wider >= rattles, "rattles {rattles:?}, wider {rattles_wider:?}");
    }
}
