//! One mistake in a good sheet gives one message, which says what was expected and the way out.

use std::fmt::Write;
use std::sync::OnceLock;

use dryfit::inspect::inspect_text;
use dryfit::report::plain;
use dryfit::rules::{Finding, Library};
use dryfit::syntax::edit::{Edit, apply, exchange};

/// A sheet on which nothing is found.
const GOOD: &str = r#"sheet "Seed tray latch" revision "A"
machine bench
material petg

bought rail {
  lip    measured 3.02, 2.98, 3.05 mm
  throat between 14.6 mm and 15.0 mm
}

let slack = 0.55 mm

part latch {
  up   +y
  size 60 x 20 x 25 mm

  wall back { thickness 2.5 mm; height 20 mm; faces +x }
  slot mouth { width rail.lip + slack; depth 8 mm; axis -z }
  hole pivot { diameter 4.2 mm; depth 5 mm; axis +y }

  arm finger {
    points      +z
    bends       +x
    length      15 mm
    thickness   1.6 mm
    width       10 mm
    root-fillet 1 mm
    cycles      100
    hook { depth 1.2 mm; lead-in 30 deg; return 45 deg }
  }

  beam shelf {
    points +x
    length 40 mm
    width  12 mm
    height 8 mm
    ends   cantilever
    load { force 5 N; at end }
  }
}

fit "mouth on lip" {
  inside  latch.mouth.width
  outside rail.lip
  class   sliding
}

demand latch.size.z > 20 mm "reaches over the rail"
"#;

/// What stands in the good sheet, and what a newcomer wrote there.
const MISTAKES: &[(&str, &str)] = &[
    ("up   +y\n", "up   y+\n"),
    ("inside  latch.mouth.width", "inside  latch.mouth"),
    // Braces.
    (
        "    hook { depth 1.2 mm; lead-in 30 deg; return 45 deg }\n  }\n",
        "    hook { depth 1.2 mm; lead-in 30 deg; return 45 deg }\n",
    ),
    ("return 45 deg }\n", "return 45 deg\n"),
    ("at end }\n  }\n}\n", "at end }\n  }\n"),
    ("at end }\n  }\n", "at end }\n"),
    ("15.0 mm\n}\n", "15.0 mm\n"),
    ("axis +y }\n", "axis +y } }\n"),
    ("45 deg }\n  }\n", "45 deg }\n  }\n  }\n"),
    ("arm finger {\n", "arm finger\n"),
    ("arm finger {\n", "arm finger\n  {\n"),
    ("arm finger {\n", "arm finger (\n"),
    // Names and quotes.
    ("fit \"mouth on lip\" {", "fit mouth on lip {"),
    ("sheet \"Seed tray latch\"", "sheet Seed tray latch"),
    ("sheet \"Seed tray latch\" revision \"A\"", "sheet Greenhouse clip"),
    ("sheet \"Seed tray latch\"", "sheet “Seed tray latch”"),
    ("sheet \"Seed tray latch\"", "sheet 'Seed tray latch'"),
    ("\"reaches over the rail\"", "reaches over the rail"),
    ("\"reaches over the rail\"", "\"reaches over the rail"),
    ("part latch {", "part \"latch\" {"),
    ("wall back {", "wall back plate {"),
    ("wall back {", "wall {"),
    ("wall back {", "wall mouth {"),
    // Words.
    ("material petg", "material pteg"),
    ("material petg", "material PETG"),
    ("material petg", "materiel petg"),
    ("machine bench", "machine: bench"),
    ("machine bench", "Machine bench"),
    ("part latch {", "Part latch {"),
    ("thickness 2.5 mm;", "thicknes 2.5 mm;"),
    ("thickness 2.5 mm;", "thick 2.5 mm;"),
    ("thickness 2.5 mm;", "gauge 2.5 mm;"),
    ("up   +y", "pu +y"),
    ("length      15 mm", "lenght 15 mm"),
    ("root-fillet 1 mm", "root_fillet 1 mm"),
    ("class   sliding", "class   loose"),
    ("class   sliding", "class   Sliding"),
    ("class   sliding", "class   \"sliding\""),
    ("cycles      100", "cycles \"many\""),
    ("cycles      100", "cycles many"),
    ("cycles      100", "cycles 100 times"),
    ("cycles      100", "nozzle 0.4 mm"),
    ("at end }", "at the end }"),
    ("inside  latch.mouth.width", "inside  latch.moth.width"),
    ("inside  latch.mouth.width", "inside  mouth.width"),
    ("inside  latch.mouth.width", "inside  latch mouth width"),
    // Blocks and fields.
    ("load { force 5 N; at end }", "load 5 N"),
    ("load { force 5 N; at end }", "load = 5 N"),
    ("hook { depth 1.2 mm; lead-in 30 deg; return 45 deg }", "hook depth 1.2 mm, lead-in 30 deg"),
    ("hook { depth 1.2 mm; lead-in 30 deg; return 45 deg }", "hook { 1.2 mm }"),
    ("length      15 mm", "length { 15 mm }"),
    ("length      15 mm", "length"),
    ("length      15 mm", "length      15 mm\n    length 18 mm"),
    ("cycles      100\n", "cycles      100\n    slot rest { width 2 mm }\n"),
    ("let slack = 0.55 mm", "let slack 0.55 mm"),
    ("let slack = 0.55 mm", "let slack: 0.55 mm"),
    ("let slack = 0.55 mm", "let slack == 0.55 mm"),
    ("let slack = 0.55 mm", "slack = 0.55 mm"),
    ("let slack = 0.55 mm\n\npart latch {\n", "part latch {\n  let slack = 0.55 mm\n"),
    ("thickness 2.5 mm;", "thickness = 2.5 mm;"),
    ("thickness 2.5 mm;", "thickness: 2.5 mm;"),
    ("thickness 2.5 mm;", "thickness 2.5 mm,"),
    // Numbers and units.
    ("thickness 2.5 mm;", "thickness 2,5 mm;"),
    ("thickness 2.5 mm;", "thickness 2.5;"),
    ("thickness 2.5 mm;", "thickness 2.5 mmm;"),
    ("thickness 2.5 mm;", "thickness 2.5 Mm;"),
    ("thickness 2.5 mm;", "thickness 2.5 MM;"),
    ("thickness 2.5 mm;", "thickness 2.5 millimetres;"),
    ("thickness 2.5 mm;", "thickness 2.5 m m;"),
    ("thickness 2.5 mm;", "thickness mm 2.5;"),
    ("thickness 2.5 mm;", "thickness 2.5 N;"),
    ("throat between 14.6 mm and 15.0 mm", "throat 14.6 mm - 15.0 mm"),
    ("throat between 14.6 mm and 15.0 mm", "throat at lest 14.6 mm"),
    ("class   sliding", "clearence 0.05 to 0.4 mm"),
    ("thickness 2.5 mm;", "thickness 1/8\";"),
    ("thickness 2.5 mm;", "thickness \"2.5 mm\";"),
    ("thickness 2.5 mm;", "thickness 2.5 mm + 1;"),
    ("thickness 2.5 mm;", "thickness -2.5 mm;"),
    ("thickness 2.5 mm;", "thickness 0.1 mm ± 5 mm;"),
    ("thickness 2.5 mm;", "thickness 2.5 mm +0.1/-2.6 mm;"),
    ("thickness 2.5 mm;", "thickness 0.1 in ± 0.2 in;"),
    ("thickness 2.5 mm;", "thickness between -1 mm and 5 mm;"),
    ("thickness 2.5 mm;", "thickness measured 2.5, 2.4 mm;"),
    ("hole pivot {", "hole pivot as mouth {"),
    ("hole pivot {", "hole pivot { takes measured 2.5, 2.4 mm ± 3 mm;"),
    ("lead-in 30 deg", "lead-in 85 deg ± 10 deg"),
    ("lead-in 30 deg", "lead-in between 20 deg and 100 deg"),
    ("diameter 4.2 mm", "diameter ø4 mm"),
    ("diameter 4.2 mm", "diameter ⌀4 mm"),
    ("diameter 4.2 mm", "diameter D4.2"),
    ("size 60 x 20 x 25 mm", "size 60 x 20 x 25"),
    ("size 60 x 20 x 25 mm", "size 60, 20, 25 mm"),
    ("size 60 x 20 x 25 mm", "size 60 20 25 mm"),
    ("size 60 x 20 x 25 mm", "size 60 x 20 mm"),
    ("size 60 x 20 x 25 mm", "size 60 * 20 * 25 mm"),
    ("measured 3.02, 2.98, 3.05 mm", "measured 3.1 3.2 mm"),
    ("measured 3.02, 2.98, 3.05 mm", "measured 3.02, 2.98, 3.05"),
    ("measured 3.02, 2.98, 3.05 mm", "measured 3,02 mm"),
    ("measured 3.02, 2.98, 3.05 mm", "3.02, 2.98, 3.05 mm"),
    ("between 14.6 mm and 15.0 mm", "between 14.6 and 15.0"),
    ("between 14.6 mm and 15.0 mm", "14.6 - 15.0 mm"),
    ("between 14.6 mm and 15.0 mm", "between 14.6, 15.0 mm"),
    ("let slack = 0.55 mm", "let slack = 0.55"),
    ("lead-in 30 deg", "lead-in 30"),
    // Directions.
    ("faces +x }", "faces x }"),
    ("faces +x }", "faces +X }"),
    ("faces +x }", "faces left }"),
    ("faces +x }", "faces +x +y }"),
    ("faces +x }", "faces \"+x\" }"),
    ("points      +z", "points down"),
    ("points      +z", "points backwards"),
    ("points      +z", "points 45 deg"),
    // Comments.
    ("cycles      100\n", "cycles      100\n    ; opened every morning\n"),
    ("cycles      100\n", "cycles      100\n    // opened every morning\n"),
    ("cycles      100\n", "cycles      100 // opened every morning\n"),
    ("cycles      100\n", "cycles      100\n    -- opened every morning\n"),
    ("cycles      100\n", "cycles      100\n    opened every morning\n"),
    // What drawings and other trades write.
    ("thickness 2.5 mm; height 20 mm", "thickness 100 thou; height 20 mm"),
    ("depth 5 mm; axis +y }", "depth thru; axis +y }"),
    ("length      15 mm", "length      min 15 mm"),
    ("length      15 mm", "length      15 mm max"),
    ("length      15 mm", "length      2-1/2 in"),
    ("size 60 x 20 x 25 mm", "size 2-1/2 in x 1 in x 1 in"),
    ("length      15 mm", "length      15 mm +0.1 -0.05"),
    ("length      15 mm", "length      15 (+0.1/-0.05) mm"),
    ("length      15 mm", "length      15 ± 0.1"),
    ("root-fillet 1 mm", "fillet 1 mm"),
    ("bends       +x", "bends       –x"),
    ("throat between 14.6 mm and 15.0 mm", "throat 14.6 .. 15.0 mm"),
    ("throat between 14.6 mm and 15.0 mm", "throat about 14.8 mm"),
    ("throat between 14.6 mm and 15.0 mm", "throat ⌀14.8 mm"),
    // Signs of comparisons and conditions.
    ("latch.size.z > 20 mm", "latch.size.z = 25 mm"),
    ("latch.size.z > 20 mm", "latch.size.z > = 20 mm"),
    ("latch.size.z > 20 mm", "latch.size.z => 20 mm"),
    ("let slack = 0.55 mm", "let slack = if latch.size.z > 1 mm then 0.55 mm"),
    ("length      15 mm", "length      (if slack > 1 mm then 15 mm)"),
    ("length      15 mm", "length      if slack = 1 mm then 15 mm else 16 mm"),
    ("length      15 mm", "length      if slack > 1 mm then 15 mm"),
    ("length      15 mm", "length      14 mm + if slack > 1 mm then 1 mm else 2 mm"),
    ("length      15 mm", "length      14 mm if slack > 1 mm then 1 mm else 2 mm"),
    ("let slack = 0.55 mm", "let slack = 0.5 mm + if 2 mm > 1 mm then 0.05 mm else 0.1 mm"),
    ("demand latch.size.z > 20 mm", "demand latch.size.z > if slack > 1 mm then 20 mm else 10 mm"),
    ("demand latch.size.z > 20 mm \"reaches over the rail\"", "latch.size.z > 20 mm"),
    ("demand latch.size.z > 20 mm \"reaches over the rail\"", "assert latch.size.z > 20 mm"),
    (
        "demand latch.size.z > 20 mm \"reaches over the rail\"",
        "permit thin-wall on latch.back \"it holds\" until 2027-03-31",
    ),
    ("machine bench", "A latch for trays\nmachine bench"),
    ("at end }", "at 12 }"),
    // The unit that is offered is the one of what is beside it.
    ("length      15 mm\n    thickness   1.6 mm", "length      1.5 cm\n    thickness   0.16"),
];

fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(Library::built_in)
}

#[test]
fn nothing_is_found_on_the_good_sheet() {
    let inspection = inspect_text(library(), "a.dryfit", GOOD);
    assert!(inspection.findings.is_empty(), "{}", plain(&inspection));
}

/// A tolerance, a limit or bounds may reach as far as a field's own bound, and anywhere where there is none.
#[test]
fn what_stays_within_a_fields_bounds_is_taken() {
    let wall = |thickness: &str| format!("part latch {{ wall back {{ thickness {thickness}; height 20 mm }} }}\n");
    let walls = ["1 mm ± 1 mm", "2.5 mm +0.1/-0.0 mm", "between 0 mm and 5 mm"];
    let bought =
        "bought rail { offset 0 mm ± 0.2 mm; step between -0.1 mm and 0.1 mm; rise measured 0.01 mm ± 0.05 mm }\n";
    let taken = "part latch { hole pivot { diameter 4.2 mm; takes measured 2.5, 2.4 mm ± 0.1 mm } }\n";
    for sheet in walls.map(wall).iter().map(String::as_str).chain([bought, taken]) {
        let inspection = inspect_text(library(), "a.dryfit", sheet);
        assert!(inspection.findings.iter().all(|finding| finding.rule != "impossible-value"), "{}", plain(&inspection));
    }
}

#[test]
fn one_mistake_gives_one_message() {
    let mut told = String::new();
    let mut several = Vec::new();
    for (good, bad) in MISTAKES {
        assert!(GOOD.contains(good), "{good}");
        let inspection = inspect_text(library(), "a.dryfit", &GOOD.replacen(good, bad, 1));
        let text = plain(&inspection);
        if inspection.findings.len() != 1 || inspection.findings[0].help.is_none() {
            several.push(format!("==== {}\n{text}", bad.trim_end()));
        }
        let text = text.rsplit_once("\na.dryfit: ").map_or(text.as_str(), |(findings, _)| findings);
        writeln!(told, "==== {}\n{text}", bad.trim_end()).unwrap();
    }
    snapshot("one-mistake", &told);
    assert!(several.is_empty(), "{} of {}\n{}", several.len(), MISTAKES.len(), several.join("\n"));
}

/// A copy has the line of its original, and what is wrong with that line is told once.
#[test]
fn a_fault_is_told_once_however_many_copies_have_its_line() {
    let text = "part p {\n  hole a { diameter 3.4; axis +z }\n  hole b like a { axis +x }\n  hole c like b\n}\n\
                part q like p { up +z }\n";
    let inspection = inspect_text(library(), "a.dryfit", text);
    let told = inspection.findings.iter().filter(|finding| finding.rule == "missing-unit").count();
    assert_eq!(told, 1, "{}", plain(&inspection));
}

/// A caution that a name calls for points at that name.
#[test]
fn a_caution_points_at_the_word_that_calls_for_it() {
    let text = "sheet \"Pedal\"\nmachine bench\nmaterial petg\npart pedal {\n  up +z\n  wall brake { thickness 2.1 mm; height 9 mm; faces +x }\n}\n";
    let inspection = inspect_text(library(), "a.dryfit", text);
    let found = inspection.findings.iter().find(|finding| finding.rule == "unanswered-protection");
    let at = found.map(|finding| &text[finding.at.range()]);
    assert_eq!(at, Some("brake"), "{}", plain(&inspection));
}

/// Sheets whose braces are right stay as they are, however they are indented; where the indentation
/// tells nothing, the block that is open at the end is named.
#[test]
fn indentation_only_speaks_where_braces_are_wrong() {
    let right = [
        "part p {\n      wall w { thickness 2 mm }\n  hole h {\ndiameter 3 mm\n  }\n      }\n",
        "part p {\nup +z\nwall w {\nthickness 2 mm\n}\n}\n",
        "part p { wall w {\n  thickness 2 mm } }\n",
    ];
    for text in right {
        assert!(faults(text).is_empty(), "{text}\n{:?}", faults(text));
    }
    let wrong = [
        ("flat", "part p {\nup +z\nwall w {\nthickness 2 mm\n}\n", "`part p` is never closed", 1),
        ("flat, none closed", "part p {\nup +z\nwall w {\nthickness 2 mm\n", "`part p` is never closed", 2),
        (
            "tabs",
            "part p {\n\twall w {\n\t\tthickness 2 mm\n\thole h { diameter 3 mm }\n}\n",
            "`wall w` is never closed",
            1,
        ),
        (
            "line ends of another kind",
            "part p {\r\n  wall w {\r\n    thickness 2 mm\r\n  hole h { diameter 3 mm }\r\n}\r\n",
            "`wall w` is never closed",
            1,
        ),
        (
            "behind a comment",
            "part p {\n  wall w {\n    thickness 2 mm # } thin\n  # }\n  hole h { diameter 3 mm }\n}\n",
            "`wall w` is never closed",
            1,
        ),
        (
            "two",
            "part p {\n  wall w {\n    thickness 2 mm\n  hole h {\n    diameter 3 mm\n}\npart q { up +z }\n",
            "`wall w` is never closed",
            2,
        ),
        ("one too many at the end", "part p {\n  up +z\n}\n}\n", "this closing brace belongs to no block", 1),
        ("one too many, flat", "part p {\nup +z\n}\n}\npart q { }\n", "this closing brace belongs to no block", 1),
        ("none opened", "part p {\n  wall w\n    thickness 2 mm\n  }\n}\n", "`wall w` opens no brace", 1),
    ];
    for (name, text, message, count) in wrong {
        let faults = faults(text);
        assert!(faults[0].message().starts_with(message), "{name}: {faults:?}");
        assert_eq!(faults.len(), count, "{name}: {faults:?}");
        for fault in faults {
            assert!(text.get(fault.at.range()).is_some_and(|at| !at.is_empty()), "{name}: {fault:?}");
        }
    }
}

fn faults(text: &str) -> Vec<dryfit::fault::Fault> {
    let (_, faults) = crate::shape::read(text);
    faults
}

/// Places behind a brace that was put right are still those of the file.
#[test]
fn places_stay_where_braces_are_put_right() {
    let text = GOOD.replace("deg }\n  }\n\n  beam", "deg }\n\n  beam").replace("class   sliding", "class   loose");
    let inspection = inspect_text(library(), "a.dryfit", &text);
    let at = |finding: &dryfit::rules::Finding| text[finding.at.range()].to_owned();
    let places: Vec<String> = inspection.findings.iter().map(at).collect();
    assert_eq!(places, ["{", "loose"], "{}", plain(&inspection));
}

fn snapshot(name: &str, text: &str) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/snapshots/syntax");
    insta::with_settings!({ snapshot_path => folder, prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!(name, text);
    });
}

/// A bought thing has dimensions by whatever name; what its words mean elsewhere does not matter.
#[test]
fn a_bought_thing_may_have_a_rib_and_an_edge() {
    let text = "bought tray { rib measured 1.62, 1.58, 1.6 mm; edge 2 mm; hole between 3 mm and 3.2 mm }\n\
                demand tray.rib < tray.edge + tray.hole \"they pass\"\n";
    let inspection = inspect_text(library(), "a.dryfit", text);
    assert!(inspection.findings.is_empty(), "{}", plain(&inspection));
    // A block in it is still out of place.
    let inspection = inspect_text(library(), "a.dryfit", "bought tray { wall back { thickness 2 mm } }\n");
    assert_eq!(inspection.findings[0].rule, "misplaced-word");
}

/// Where the way out is one, it can be taken at once, and leaves nothing to say of the line.
#[test]
fn the_one_way_out_is_an_edit() {
    let library = Library::built_in();
    for (good, wrong) in [
        ("width rail.lip + slack;", "width rail.lip + slck;"),
        ("thickness 2.5 mm;", "thickness 2,5 mm;"),
        ("thickness 2.5 mm;", "thickness 2, 5 mm;"),
        ("inside  latch.mouth.width", "inside  mouth.width"),
        ("thickness 2.5 mm;", "thickness \"2.5 mm\";"),
        ("thickness 2.5 mm;", "thickness 2.5 m m;"),
        ("thickness 2.5 mm;", "thickness = 2.5 mm;"),
        ("thickness 2.5 mm;", "thickness: 2.5 mm;"),
        ("thickness 2.5 mm;", "thickness=2.5 mm;"),
        ("\"A\"\n", "\"A\"\npermit thin-wall on latch.back \"why\" until 2030-01-01\n"),
    ] {
        let text = GOOD.replacen(good, wrong, 1);
        let found = inspect_text(&library, "latch.dryfit", &text).findings;
        let edit = |finding: &Finding| exchange(&text, finding.at, finding.meant.as_ref()?);
        let edits: Vec<Edit> = found.iter().filter_map(edit).collect();
        assert_eq!(edits.len(), 1, "{wrong}: {found:?}");
        let mended = apply(&text, &edits);
        let meant = wrong.replace("2030-01-01", "\"2030-01-01\"");
        let meant = if meant == wrong { GOOD.to_owned() } else { GOOD.replacen(good, &meant, 1) };
        assert_eq!(mended, meant, "{wrong}");
    }
}
