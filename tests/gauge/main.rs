//! Gauge pieces: solids against solid geometry, sizes against the sheet, files against what stood there. `meshes.py` beside this file
//! reads the meshes with two independent readers and measures their sections.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use dryfit::gauge::{Gauge, Kind, Refusal, gauge, stl, three_mf};
use dryfit::inspect::Analysis;
use dryfit::report::{gauge_page, gauge_steps};
use dryfit::rules::{Level, Library};

const KINDS: [Kind; 7] = [Kind::Frames, Kind::Holes, Kind::Comb, Kind::Arcs, Kind::Arm, Kind::Bridges, Kind::Ramp];

/// A clip of the invented greenhouse on a machine, of a material, with an arm drawn in one way up.
fn clip(machine: &str, material: &str, up: &str) -> String {
    format!(
        "machine {machine}\nmaterial {material}\nbought rail {{ lip measured 3.02, 2.98, 3.05 mm; rod 6.02 mm }}\n\
         part clip {{\n up {up}\n slot mouth {{ width 3.3 mm; depth 9 mm; axis +z }}\n hole eye {{ diameter 6.4 mm; axis +z }}\n \
         arm jaw {{ points +x; bends +y; length 22 mm; thickness 1.6 mm; tip-thickness 1.2 mm; width 8 mm; root-fillet 0.8 mm\n \
         hook {{ depth 1.2 mm; lead-in 30 deg; return 45 deg }} }}\n}}\n\
         fit \"mouth on lip\" {{ inside clip.mouth.width; outside rail.lip; class sliding }}\n\
         fit \"eye on rod\" {{ inside clip.eye.diameter; outside rail.rod; class sliding }}\n"
    )
}

fn made(text: &str, kind: Kind, on: Option<&str>) -> Result<Gauge, Refusal> {
    let library = Library::built_in();
    let analysis = Analysis::of_text(&library, "clip", text);
    assert!(!analysis.is_broken);
    gauge(kind, &library, &analysis.model, on)
}

fn volume(gauge: &Gauge, body: &str) -> f64 {
    gauge.bodies.iter().find(|one| one.name == body).unwrap().solid.volume()
}

/// Every kind, on every machine, of every material, every way up: a solid is only made closed and right side out; bodies keep apart, and
/// no stop is left in the piece's own sheet, which names the same bodies.
#[test]
fn every_piece_is_sound_and_its_sheet_reads() {
    let library = Library::built_in();
    for (machine, material, up) in [
        ("bench", "petg", "+z"),
        ("bench", "pla", "+x"),
        ("bench-coarse", "pp", "-x"),
        ("enclosed", "abs", "+y"),
        ("bench { line 0.9 mm; layer 0.1 mm; hole-least 5 mm }", "pc", "-y"),
    ] {
        for kind in KINDS {
            let made = made(&clip(machine, material, up), kind, None)
                .unwrap_or_else(|why| panic!("{machine}, {kind:?}: {why}"));
            let boxes: Vec<_> = made.bodies.iter().map(|body| body.solid.extents()).collect();
            for (at, (low, high)) in boxes.iter().enumerate() {
                assert!(low[2].abs() < 1e-9, "{kind:?} lies on the bed");
                let apart = |other: &([f64; 3], [f64; 3])| {
                    (0..2).any(|axis| other.1[axis] < low[axis] || high[axis] < other.0[axis])
                };
                assert!(boxes[at + 1..].iter().all(apart), "{kind:?}: bodies meet");
            }
            let analysis = Analysis::of_text(&library, "gauge", &made.sheet);
            assert!(!analysis.is_broken, "{}", made.sheet);
            let open =
                analysis.findings().iter().find(|finding| finding.permitted.is_none() && finding.level >= Level::Care);
            assert!(open.is_none(), "{kind:?} on {machine}: {:?}\n{}", open.map(|open| &open.rule), made.sheet);
            for body in &made.bodies {
                assert!(made.sheet.contains(&format!("part {} {{", body.name)), "{}", body.name);
            }
            assert!(!made.rows.is_empty() || !made.seen.is_empty());
        }
    }
}

/// Areas times heights (solid geometry); circles as polygons of 64 corners on them, area n/2 r² sin(2 pi / n).
#[test]
fn volumes_are_those_of_solid_geometry() {
    let text = clip("bench", "petg", "+z");
    let frames = made(&text, Kind::Frames, None).unwrap();
    let area = 72.0 * 6.0 + 2.0 * 6.0 * 12.0 + 2.0 * 10.0 * 6.0;
    assert!((volume(&frames, "along-x") - 5.0 * area).abs() < 1e-6);
    assert!((volume(&frames, "along-y") - 5.0 * area).abs() < 1e-6);
    let holes = made(&text, Kind::Holes, None).unwrap();
    let circle = |diameter: f64| 8.0 * diameter.powi(2) * (std::f64::consts::TAU / 64.0).sin();
    let circles: f64 = [3.0, 5.0, 8.0, 12.0].into_iter().map(circle).sum();
    // Corners lie on the ten-thousandth of a millimetre.
    assert!((volume(&holes, "plate") - 5.0 * (64.0 * 16.0 - circles)).abs() < 0.02);
    assert!((volume(&holes, "pins") - (2.0 * 64.0 * 16.0 + 8.0 * circles)).abs() < 0.02);
    let ramp = made(&text, Kind::Ramp, None).unwrap();
    assert!((volume(&ramp, "board") - 150.0 * 40.0 * 3.0).abs() < 1e-6);
}

/// The comb goes around the fit's own width, by the machine's spread of gaps, and the fit can be named.
#[test]
fn a_comb_follows_its_fit() {
    let text = clip("bench", "petg", "+z");
    let widths = |on: Option<&str>| {
        let mut drawn: Vec<f64> = made(&text, Kind::Comb, on).unwrap().rows.iter().map(|row| row.drawn).collect();
        drawn.sort_by(f64::total_cmp);
        drawn
    };
    let slots = widths(None);
    assert!((slots[slots.len() / 2] - 3.3).abs() < 1e-9 && slots.len() % 2 == 1, "{slots:?}");
    assert!(slots.windows(2).all(|two| (two[1] - two[0] - 0.07).abs() < 1e-9), "{slots:?}");
    let holes = widths(Some("eye on rod"));
    assert!((holes[holes.len() / 2] - 6.4).abs() < 1e-9, "{holes:?}");
    let why = made(&text, Kind::Comb, Some("mouth on lid")).unwrap_err().to_string();
    assert!(why.contains("mouth on lip"), "{why}");
}

/// A strip of thickness t around a radius R is strained by t / (2 R + t) (geometry of bending with the middle left as long as it
/// was), and the arcs go in even ratio from half to twice their median.
#[test]
fn arcs_strain_as_they_say() {
    let made = made(&clip("bench", "petg", "+z"), Kind::Arcs, None).unwrap();
    let thick = made.rows[0].drawn;
    assert!((thick - 1.68).abs() < 1e-9);
    let steps = gauge_steps(&made);
    let told = steps.iter().find(|step| step.starts_with("Strains of a strip")).unwrap();
    let numbers: Vec<f64> = told
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter_map(|word| word.trim_matches('.').parse().ok())
        .skip(1)
        .collect();
    let arcs: Vec<(f64, f64)> = numbers.chunks(3).map(|one| (one[1] / 100.0, one[2])).collect();
    assert_eq!(arcs.len(), 7);
    for (strain, radius) in &arcs {
        assert!((thick / (2.0 * radius + thick) / strain - 1.0).abs() < 0.005, "{strain} at {radius}");
    }
    assert!((arcs[6].0 / arcs[0].0 - 4.0).abs() < 0.03);
}

/// The steps open the sheet's own arm by 0.9 to 1.4 times what it needs.
#[test]
fn steps_follow_the_arm() {
    let made = made(&clip("bench", "petg", "+z"), Kind::Arm, Some("clip.jaw")).unwrap();
    let free = made.rows.iter().find(|row| row.path == "fork.under.width").unwrap().drawn;
    let mut openings: Vec<f64> =
        made.rows.iter().filter(|row| row.path.starts_with("wedge.")).map(|row| row.drawn - free).collect();
    openings.sort_by(f64::total_cmp);
    for (opening, share) in openings.iter().zip([0.9, 1.0, 1.1, 1.25, 1.4]) {
        assert!((opening - 1.2 * share).abs() < 0.0051, "{opening} is not {share} of 1.2");
    }
    let why = made_of_nothing();
    assert!(why.contains("no `arm`"), "{why}");
}

fn made_of_nothing() -> String {
    made("machine bench\nmaterial petg\npart p { up +z }\n", Kind::Arm, None).unwrap_err().to_string()
}

#[test]
fn what_cannot_be_made_is_said_with_a_way_out() {
    let small = "bench { volume 60 x 60 x 60 mm }";
    let why = made(&clip(small, "petg", "+z"), Kind::Frames, None).unwrap_err().to_string();
    assert!(why.contains("50 x 50 x 60 mm") && why.contains("another machine"), "{why}");
    let why = made("material petg\n", Kind::Frames, None).unwrap_err().to_string();
    assert!(why.contains("machine bench"), "{why}");
    let why = made(&clip("bench", "tpu-95a", "+z"), Kind::Arcs, None).unwrap_err().to_string();
    assert!(why.contains("farther than any arc"), "{why}");
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    for kind in KINDS {
        let [a, b] = [(); 2].map(|()| made(&clip("bench", "petg", "+z"), kind, None).unwrap());
        assert!(three_mf(&a.bodies) == three_mf(&b.bodies) && stl(&a.bodies) == stl(&b.bodies) && a.sheet == b.sheet);
        let page = gauge_page(&a, "clip");
        assert_eq!(page, gauge_page(&b, "clip"));
        assert!(
            page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>") && !page.contains("<script")
        );
        let size = stl(&a.bodies).len();
        let triangles: usize = a.bodies.iter().map(|body| body.solid.triangles().len()).sum();
        assert_eq!(size, 84 + 50 * triangles);
    }
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dryfit")).current_dir(folder).arg("gauge").args(arguments).output().unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// All files or none, beside the sheet, over nothing, and by names that hold nothing of a hostile one.
#[test]
fn files_are_written_whole_and_over_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    fs::write(here.join("clip.dryfit"), clip("bench", "petg", "+z")).unwrap();
    let output = run(here, &["comb", "--for", "clip.dryfit"]);
    assert!(output.status.success(), "{output:?}");
    let written = [
        "clip-gauge-comb.3mf",
        "clip-gauge-comb.dryfit",
        "clip-gauge-comb.html",
        "clip-gauge-comb.notes",
        "clip-gauge-comb.stl",
        "clip.dryfit",
    ];
    assert_eq!(names(here), written);
    let form = fs::read_to_string(here.join("clip-gauge-comb.notes")).unwrap();
    assert!(
        form.starts_with("notes \"clip-gauge-comb.dryfit\"") && form.contains("# went \"3.3 mm\" together"),
        "{form}"
    );
    // Filled in, it reads like any notes.
    let filled =
        form.replace("  # came", "  came").replace("measured    mm", "measured 3.2 mm").replace("  # went", "  went");
    fs::write(here.join("clip-gauge-comb.notes"), filled).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_dryfit"))
        .current_dir(here)
        .args(["inspect", "clip-gauge-comb.notes"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    fs::write(here.join("clip-gauge-comb.3mf"), "mine").unwrap();
    fs::remove_file(here.join("clip-gauge-comb.stl")).unwrap();
    let output = run(here, &["comb", "--for", "clip.dryfit"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("stays as it is"), "{output:?}");
    assert_eq!(fs::read_to_string(here.join("clip-gauge-comb.3mf")).unwrap(), "mine");
    assert_eq!(names(here).len(), 5, "nothing was written");
    let hostile = "a\"><script>\u{202e}.dryfit";
    let text = clip("bench", "petg", "+z").replace("mouth on lip", "<b>& \u{202e}mouth");
    fs::write(here.join(hostile), text).unwrap();
    let output = run(here, &["comb", "--for", hostile]);
    assert!(output.status.success(), "{output:?}");
    let page = fs::read_to_string(here.join("gauge-comb.html")).unwrap();
    assert!(!page.contains("<b>") && !page.contains("<script") && !page.contains('\u{202e}'), "{page}");
    assert_eq!(run(here, &["frames", "nowhere"]).status.code(), Some(2));
    assert_eq!(run(here, &["frames", "--for", "clip.dryfit", "--on", "clip.jaw"]).status.code(), Some(2));
}
