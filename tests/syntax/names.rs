//! Names that people give: a feature is named after what it takes, a value after where it goes. Each of these sheets
//! works, or its message says which other thing the name hides.

use dryfit::inspect::inspect_text;
use dryfit::report::plain;
use dryfit::rules::Library;

/// What stands above the features: the machine and the material.
const HEAD: &str = "machine bench\nmaterial petg\n";

/// Sheets in which every name means what its author meant, with a demand on what it comes to.
const WORKS: &[&str] = &[
    "bought magnet { diameter 6 mm }\npart p { up +z; size 20 x 20 x 8 mm; hole magnet { diameter magnet.diameter + 0.3 mm; axis +z } }\ndemand p.magnet.diameter == 6.3 mm \"fits\"",
    "let wall = 2 mm\npart p { up +z; size 20 x 20 x 8 mm; wall side { thickness wall } }\ndemand p.side.thickness == 2 mm \"as drawn\"",
    "let gap = 0.4 mm\npart p { up +z; size 20 x 20 x 8 mm; slot gap { width 3 mm + gap } }\ndemand p.gap.width == 3.4 mm \"as drawn\"",
    "let width = 3 mm\npart p { up +z; size 20 x 20 x 8 mm; slot s { width width } }\ndemand p.s.width == 3 mm \"as drawn\"",
    "let depth = 4 mm\npart p { up +z; size 20 x 20 x 8 mm; slot s { width 3 mm; depth depth + 1 mm } }\ndemand p.s.depth == 5 mm \"as drawn\"",
    "let height = 5 mm\npart p { up +z; size 20 x 20 x 8 mm; wall side { thickness height / 2 } }\ndemand p.side.thickness == 2.5 mm \"half of it\"",
    "bought pin { diameter 3 mm }\npart p { up +z; size 20 x 20 x 8 mm; pin pin { diameter pin.diameter; height 6 mm; axis +z } }\ndemand p.pin.diameter == 3 mm \"alike\"",
    "bought slot { width 8 mm }\npart p { up +z; size 20 x 20 x 8 mm; wall w { thickness slot.width / 4 } }\ndemand p.w.thickness == 2 mm \"a quarter\"",
    "bought hole { diameter 5 mm }\npart p { up +z; size 20 x 20 x 12 mm; boss b { diameter 10 mm; hole hole.diameter; height 6 mm; axis +z } }\ndemand p.b.hole == 5 mm \"alike\"",
    "bought screw { diameter 3 mm }\npart p { up +z; size 20 x 20 x 12 mm; boss b { diameter 8 mm; hole screw.diameter - 0.4 mm; height 6 mm; axis +z; screw M3 { kind thread-forming; length 8 mm; grip 2 mm } } }\ndemand p.b.hole == 2.6 mm \"bites\"",
    "bought part { width 12 mm }\npart p { up +z; size 20 x 20 x 8 mm; slot s { width part.width } }\ndemand p.s.width == 12 mm \"alike\"",
    "let part = 12 mm\npart p { up +z; size 20 x 20 x 8 mm; slot s { width part } }\ndemand p.s.width == 12 mm \"alike\"",
    "let arm = 18 mm\npart p { up +z; size 40 x 20 x 8 mm; arm a { points +x; bends +y; length arm; thickness 1.6 mm; width 8 mm; root-fillet 0.9 mm; hook { depth 1 mm; lead-in 30 deg } } }\ndemand p.a.length == 18 mm \"alike\"",
    "let hook = 1 mm\npart p { up +z; size 40 x 20 x 8 mm; arm a { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.9 mm; hook { depth hook; lead-in 30 deg } } }\ndemand p.a.hook.depth == 1 mm \"alike\"",
    "let beam = 30 mm\npart p { up +z; size 40 x 20 x 10 mm; beam beam { points +x; length beam; width 8 mm; height 8 mm; ends cantilever; load { force 5 N } } }\ndemand p.beam.length == 30 mm \"alike\"",
    "let lid = 2 mm\npart box { up +z; size 20 x 20 x 8 mm; wall lid { thickness lid } }\ndemand box.lid.thickness == 2 mm \"alike\"",
    "part p { up +z; size 20 x 20 x 8 mm; wall a { thickness 2 mm; height 6 mm }; wall b { thickness a.thickness; height height-of-b } }\nlet height-of-b = 6 mm\ndemand p.b.thickness == 2 mm \"alike\"",
    "part p { up +z; size 20 x 20 x 8 mm; wall w { thickness p.size.z / 4 } }\ndemand p.w.thickness == 2 mm \"a quarter\"",
    "part p { up +z; size 20 x 20 x 8 mm; wall w { thickness part.size.z / 4 } }\ndemand p.w.thickness == 2 mm \"a quarter\"",
    "part p { up +z; size 20 x 20 x 8 mm; wall w { thickness 5 * machine.line } }\ndemand p.w.thickness == 2.1 mm \"five lines\"",
    "bought size { length 9 mm }\npart p { up +z; size 20 x 20 x 8 mm; slot s { width size.length } }\ndemand p.s.width == 9 mm \"alike\"",
    "part p { up +z; size 20 x 20 x 8 mm; slot s { width size.x / 2 } }\ndemand p.s.width == 10 mm \"half\"",
    "let revision = 2 mm\npart p { up +z; size 20 x 20 x 8 mm; wall w { thickness revision } }\ndemand p.w.thickness == 2 mm \"alike\"",
    "bought cable { width 3 mm; height 2 mm }\npart p { up +z; size 20 x 20 x 8 mm; slot cable { width cable.width + 0.4 mm; depth cable.height + 1 mm } }\ndemand p.cable.depth == 3 mm \"alike\"",
    "bought rod { diameter 4 mm }\npart p { up +z; size 20 x 20 x 8 mm; hole a { diameter rod.diameter + 0.4 mm; axis +z }; hole rod like a { depth 5 mm } }\ndemand p.rod.diameter == 4.4 mm \"alike\"",
    "let length = 8 mm\npart p { up +z; size 40 x 20 x 12 mm; slot a { width 3 mm; length length }; slot b like a { width 4 mm } }\ndemand p.b.length == 8 mm \"alike\"",
    "part p { up +z; size 40 x 20 x 8 mm; wall part { thickness 2 mm; height 6 mm } }",
    "bought magnet { diameter 6 mm; thickness 3 mm }\npart p { up +z; size 20 x 20 x 8 mm; hole magnet { diameter 6.3 mm; axis +z }; wall floor { thickness magnet.thickness } }\ndemand p.floor.thickness == 3 mm \"alike\"",
];

/// Sheets in which a name is hidden, and what the message names.
const SAYS: &[(&str, &[&str])] = &[
    // A nearer field of the kind that is not wanted.
    (
        "let lead-in = 1 mm\npart p { up +z; size 40 x 20 x 8 mm; arm a { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; hook { lead-in 30 deg; depth lead-in } } }",
        &["`depth` is a length", "`lead-in` does not mean this `let`: a nearer one hides it"],
    ),
    // Nothing else has the name.
    (
        "part p { up +z; size 20 x 20 x 8 mm; hole magnet { diameter magnet.diameter + 0.3 mm } }",
        &["`magnet.diameter` is the value that this line gives", "such as `bought magnet { … }`"],
    ),
    (
        "part p { up +z; size 20 x 20 x 8 mm; slot s { width width } }",
        &["`width` is the value that this line gives", "nothing else here is called `width`"],
    ),
    // A feature where a length is wanted.
    (
        "part p { up +z; size 20 x 20 x 8 mm; wall side { thickness 2 mm }; slot s { width side } }",
        &["`width` takes a length", "`p.side.thickness`"],
    ),
    // Two things at the top of the sheet.
    (
        "let lid = 2 mm\npart lid { up +z; size 20 x 20 x 8 mm; wall top { thickness lid } }",
        &["an earlier `let` is called `lid` too", "first a `let` here"],
    ),
    // The nearer of two that both could be meant, which leads round in a circle.
    (
        "let width = 3 mm\npart p { up +z; size 20 x 20 x 8 mm; slot s { width depth; depth width } }",
        &["depends on itself", "`width` does not mean this `let`: a nearer one hides it"],
    ),
];

fn library() -> Library {
    Library::built_in()
}

#[test]
fn a_name_means_what_its_author_meant() {
    let library = library();
    let reading = ["unknown-name", "value-cycle", "wrong-kind", "wrong-unit", "missing-field", "broken-demand"];
    for sheet in WORKS {
        let text = plain(&inspect_text(&library, "names.dryfit", &format!("{HEAD}{sheet}\n")));
        let faults: Vec<&str> =
            text.lines().filter(|line| reading.iter().any(|name| line.ends_with(&format!("[{name}]")))).collect();
        assert!(faults.is_empty(), "{sheet}\n{text}");
    }
}

#[test]
fn what_is_hidden_is_named() {
    let library = library();
    for (sheet, words) in SAYS {
        let text = plain(&inspect_text(&library, "names.dryfit", &format!("{HEAD}{sheet}\n")));
        for word in *words {
            assert!(text.contains(word), "no {word:?} for\n{sheet}\n{text}");
        }
    }
}

/// A word, a field and a rule by their names of before: each still means what it meant, and is told once.
#[test]
fn old_words_are_read_and_told() {
    let sheet = "machine bench { skirt 5 mm }\nmaterial pp\n\
        part cap { up +z; size 30 x 30 x 20 mm; snap-ring rim { diameter 24 mm; undercut 0.8 mm; gives outer; free-diameter 27 mm; lead-in 25 deg; axis +z } }\n\
        part box { up +z; size 30 x 30 x 2 mm; hinge lid { thickness 0.4 mm; length 3 mm; angle 90 deg; crosses +x; faces +z } }\n\
        permit stiff-snap-ring on cap.rim \"pressed down with both palms\"\n";
    let text = plain(&inspect_text(&library(), "names.dryfit", sheet));
    for (old, new) in [("skirt", "bed-margin"), ("snap-ring", "ring-snap"), ("hinge", "living-hinge")] {
        let told = text.matches(&format!("note: `{old}` is called `{new}` now [old-word]")).count();
        assert_eq!(told, 1, "{old}\n{text}");
    }
    assert!(text.contains("the rule `stiff-snap-ring` is called `stiff-ring-snap` now"), "{text}");
    assert!(!text.contains("[unknown"), "{text}");
}
