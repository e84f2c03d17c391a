//! The form, and what is wrong with notes.

use crate::bench::{Bench, CLIP};

fn faults(notes: &str) -> String {
    let bench = Bench::with(&[("clip.dryfit", CLIP), ("clip.notes", notes)]);
    bench.run(&["inspect", "--report", "plain", "clip.notes"]).out
}

#[test]
fn the_form_is_right_before_and_after_it_is_filled_in() {
    let bench = Bench::with(&[("clip.dryfit", CLIP)]);
    let outcome = bench.run(&["--today", "2027-02-11", "notes", "clip.dryfit"]);
    assert_eq!(outcome.code, 0, "{}", outcome.err);
    let form = bench.read("clip.notes");
    for line in [
        "notes \"clip.dryfit\"",
        "  revision \"A\"",
        "  plate    \"1\"; on \"2027-02-11\"",
        "  # came clip.mouth.width from 3.3 mm measured    mm",
        "  # trial clip.jaw { held 1 mm; length 20 mm; thickness 1.6 mm }",
        "  # went \"mouth on edge\" together",
    ] {
        assert!(form.lines().any(|found| found.starts_with(line)), "{line} is not in\n{form}");
    }
    assert_eq!(bench.run(&["inspect", "clip.notes"]).code, 0);
    let tidy = bench.run(&["format", "--check", "clip.notes"]);
    assert_eq!(tidy.code, 0, "{}{}", tidy.out, tidy.err);
    // It stays as it is, whatever was filled in.
    assert_eq!(bench.run(&["notes", "clip.dryfit"]).code, 2);
    bench.write(
        "clip.notes",
        &form
            .replace("\n  # ", "\n  ")
            .replace("measured    mm", "measured 3.1, 3.12 mm")
            .replace("measured    N", "measured 38 N"),
    );
    let filled = bench.run(&["inspect", "--report", "plain", "clip.notes"]);
    assert_eq!(filled.code, 0, "{}", filled.out);
}

#[test]
fn faults_stand_where_they_are_and_say_the_way_out() {
    let note = |line: &str| format!("notes \"clip.dryfit\"\nprinted \"1\" {{\n  revision \"A\"\n  {line}\n}}\n");
    for (line, says) in [
        ("came clip.mouht.width from 3.3 mm measured 3.1 mm", "mouth"),
        ("came clip.mouth.width from 3.3 mm measured 3.1 N", "4:"),
        ("came clip.mouth.width from 3.3 measured 3.1 mm", "`measured` is no unit"),
        ("came clip.mouth.width from 3.4 mm measured 3.1 mm", "revision A draws `clip.mouth.width` as 3.3 mm"),
        ("came rail.edge from 3 mm measured 3.1 mm", "again"),
        ("on \"2027-02-30\"", "2027-02-11"),
        ("trial clip.jaw { held 2 mm; cracked 1.5 mm }", "one arm"),
        ("trial clip.jaw { }", "held"),
        ("went \"mouth on edge\" too-tite", "too-tight"),
        ("went \"mouth on egde\" rattles", "mouth on edge"),
        ("came clip.mouth.width from 3.3 mm measured 3.1 mm by calliper", "caliper"),
    ] {
        let found = faults(&note(line));
        assert!(found.contains(says), "{line}: {says} is not in\n{found}");
        assert!(found.contains("clip.notes:"), "{line}: {found}");
    }
}

#[test]
fn the_sheets_own_findings_are_not_told_of_its_notes() {
    let thin = CLIP.replace("thickness 2.52 mm", "thickness 0.3 mm");
    let bench = Bench::with(&[("clip.dryfit", &thin), ("clip.notes", "notes \"clip.dryfit\"\n")]);
    assert_eq!(bench.run(&["inspect", "clip.dryfit"]).code, 1);
    let notes = bench.run(&["inspect", "clip.notes"]);
    assert_eq!(notes.code, 0, "{}", notes.out);
}
