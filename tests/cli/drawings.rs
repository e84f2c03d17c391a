//! What people bring from drawings, spreadsheets and other habits: each is told what is written here.

use crate::bench::Bench;

/// A line in the braces of a part, and what its message says of it.
const IN_A_PART: [(&str, &str); 34] = [
    ("hole a { diameter Ø5 H7 }", "write `diameter 5 mm H7`"),
    ("hole a { Ø5 H7 }", "its value the number alone: `diameter 5 mm`"),
    ("hole a { dia 5 mm }", "a diameter is the field `diameter`"),
    ("R3", "`root-fillet 3 mm` of an arm"),
    ("edge a { fillet R3 }", "write `fillet 3 mm`"),
    ("2x45°", "a chamfer is its width alone"),
    ("edge a { chamfer 2x45° }", "write the one number: `chamfer 2 mm`"),
    ("4x Ø3.2 thru", "how many there are is the field `count`"),
    ("hole a { diameter 4x 3.2 mm }", "write `diameter 3.2 mm`; how many there are is the field `count`: `count 4`"),
    ("40x20x10mm", "a size has its field before it: `size 40"),
    ("hole a { diameter 3.4 mm; csk 90° }", "is a `countersink`"),
    ("hole a { diameter 4.5 mm; screw M4x0.7 { length 12 mm } }", "write `screw M4`; only a pitch"),
    ("hole a { diameter 4.5 mm; screw M4 x 0.7 { length 12 mm } }", "write `screw M4`; only a pitch"),
    ("hole a { diameter 4.5 mm; screw M4x0.7x20 }", "write `screw M4 { length 20 mm }`"),
    ("hole a { diameter 4.5 mm; screw M4 x 20 mm }", "write `screw M4 { length 20 mm }`"),
    ("hole a { diameter 6.6 mm; screw 1/4-20 UNC { length 20 mm } }", "threads have metric sizes here"),
    ("hole a { diameter 3 mm; screw #4-40 { length 20 mm } }", "`#` begins a comment: the `}` after it is not read"),
    ("wall a { thickness 5±0.1 }", "did you mean `5 ± 0.1 mm`?"),
    ("wall a { thickness 5 mm +0.2 mm }", "write `5 mm +0.2/-0 mm`"),
    ("wall a { thickness 5 mm -0.2 }", "write `5 mm +0/-0.2 mm`"),
    ("hole a { diameter 10,5 mm }", "write a point: `10.5`"),
    ("hole a { diameter 5 mm; position 3, 4 }", "where it is: `at 12, 8, 0 mm`"),
    ("nut M3 { across-flats 5.7 mm }", "`M3` is read as its name, which comes before its size: `nut trap M3 { … }`"),
    ("pin a { diameter 4 mm; length 5 mm }", "how far it reaches is its `height`"),
    ("clamp a { takes 20 mm; thickness 2 mm; width 9 mm; pitch 20 mm }", "the clamp `a` is missing `wrap`"),
    ("face a { leans 20 deg }", "the face `a` is missing `faces`"),
    ("wall w thickness 2 mm", "put `thickness` inside braces: `wall w { thickness … }`"),
    ("wall w { thickness slack mm }", "a name has its unit where it gets its value, not here: `let slack = 2 mm`"),
    ("hole h { diameter q }", "give it a value with `let`"),
    ("arm a { points +x; bends bends }", "the part's own directions are `+x`"),
    ("slot hold: width 3 mm", "a block is written in braces"),
    ("slot hold (width 3 mm)", "blocks are written in braces"),
    ("hole h { diameter measured 8.02, 8.05, mm }", "take it out: `8.05 mm`"),
    ("hole h { diameter 4 mm; at 3, 4, p.size.z }", "write it after each number: `3 mm, 4 mm, p.size.z`"),
];

#[test]
fn words_of_drawings_lead_to_what_is_written_here() {
    let bench = Bench::new();
    for (line, says) in IN_A_PART {
        let sheet = format!(
            "machine bench\nmaterial petg\nlet slack = 1\npart p {{\n  up +z\n  size 40 x 20 x 10 mm\n  {line}\n}}\n"
        );
        bench.write("drawn.dryfit", &sheet);
        let told = bench.run(&["inspect", "--report", "json", "drawn.dryfit"]).out;
        let run: serde_json::Value = serde_json::from_str(&told).unwrap();
        let findings = run["sheets"][0]["findings"].as_array().unwrap();
        let text = |finding: &serde_json::Value, key: &str| finding[key].as_str().unwrap_or_default().to_owned();
        let said: Vec<String> =
            findings.iter().map(|finding| text(finding, "message") + "; " + &text(finding, "help")).collect();
        assert!(said.iter().any(|said| said.contains(says)), "{line}: {said:#?}");
    }
}

/// A form for the bench is filled in as a table is.
#[test]
fn slips_in_notes_are_answered() {
    let bench = Bench::new();
    bench.write("clip.dryfit", "machine bench\nmaterial petg\npart clip { up +z; size 40 x 20 x 10 mm; slot mouth { width 3.5 mm; axis +z } }\n");
    for (line, says) in [
        ("came clip.mouth.width from 3.5 mm measured 3.26 3.30 mm", "put a comma and a space between readings"),
        ("clip.mouth.width 3.26 mm", "`came clip.mouth.width from … measured …`"),
        ("came clip.mouth from 3.5 mm measured 3.26 mm", "name one of its dimensions: `clip.mouth.width`"),
        ("fits", "how two went together: `went \"mouth on lip\" together`"),
        ("broke clip.jaw", "what became of an arm is a `trial`"),
    ] {
        let notes =
            format!("notes \"clip.dryfit\"\nprinted \"1\" {{\n  machine bench\n  material petg\n  {line}\n}}\n");
        bench.write("clip.notes", &notes);
        let told = bench.run(&["inspect", "--report", "plain", "clip.notes"]).out;
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            told.contains(says) && told.matches(" stop: ").count() + usize::from(told.starts_with("stop: ")) == 1,
            "{line}: {told}"
        );
    }
}

/// What stops before it came to a name is no reason to call that unused.
#[test]
fn names_in_a_value_at_fault_are_used() {
    let bench = Bench::new();
    bench.write(
        "clip.dryfit",
        "bought rail { lip 3 mm }\nlet slack = 0.3 mm\npart clip { slot s { width rail + slack } }\n",
    );
    let told = bench.run(&["inspect", "--report", "lines", "clip.dryfit"]).out;
    assert!(told.contains("[wrong-kind]") && !told.contains("[unused-value]"), "{told}");
}

#[test]
fn words_at_the_top_of_a_sheet_lead_on_too() {
    let bench = Bench::new();
    for (line, says) in [
        ("part q { size 40mmx20mmx10mm }", "put spaces around the `x` of a size"),
        ("bought b { d measured 22,1; 22,0; 22,2 mm }", "write decimals with a point"),
        ("demand p.size.x less than 50 mm", "write `<` here"),
        ("machine mine", "`machine mine like bench { … }`"),
        ("nozzle 0.6 mm", "`nozzle` goes in the braces of `machine`"),
        ("let my slack = 3 mm", "write `let my-slack = …`"),
        ("part 2nd { size 3 x 3 x 3 mm }", "a name begins with a letter"),
        ("stack \"a\" { gap p.s.width - 2 mm; min 0.1 mm }", "the limits of a gap are `least` and `most`"),
        ("fit \"a\" { hole p.s.width }", "the hole's or slot's dimension is `inside`"),
        ("slide \"a\" { inside p; outside p; along +z }", "write `p.s`"),
        ("service { sunlight yes }", "`service { outdoors yes }`"),
        ("fit \"a\" { inside p.s.width; outside 2.6 mm; class sliding }", "or say how sure it is: `2.6 mm ± 0.1 mm`"),
    ] {
        let sheet = format!(
            "material petg\npart p {{ up +z; size 40 x 20 x 10 mm; slot s {{ width 3 mm; axis +z }} }}\n{line}\n"
        );
        bench.write("top.dryfit", &sheet);
        let told = bench.run(&["inspect", "--report", "plain", "top.dryfit"]).out;
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains(says), "{line}: {told}");
    }
}

/// What follows from the first fault of a line is not told besides.
#[test]
fn readings_between_semicolons_are_one_fault() {
    let bench = Bench::new();
    bench.write("readings.dryfit", "bought b { d measured 22,1; 22,0; 22,2 mm }\n");
    let told = bench.run(&["inspect", "--report", "lines", "readings.dryfit"]).out;
    assert_eq!(told.lines().filter(|line| line.contains(": stop: ")).count(), 1, "{told}");
}

#[test]
fn a_table_of_readings_is_told_where_they_go() {
    let bench = Bench::new();
    for (name, table) in [("r.csv", "name,r1,r2\ntube,22.1,22.0\n"), ("r.tsv", "tube\t22,1\t22,0\n")] {
        bench.write(name, table);
        let told = bench.run(&["inspect", name]);
        assert!(told.code == 2 && told.err.contains("its readings go into a sheet"), "{}", told.all());
    }
}

#[test]
fn every_word_has_its_explanation_in_json() {
    let bench = Bench::new();
    for (word, rules) in [("arm", 0), ("thin-wall", 1), ("skirt", 0), ("Ø", 0)] {
        let told = bench.run(&["why", "--report", "json", word]);
        if word == "Ø" {
            assert!(told.code == 2 && told.out.is_empty(), "{}", told.all());
            continue;
        }
        let json: serde_json::Value = serde_json::from_str(&told.out).unwrap();
        assert_eq!(json["rules"].as_array().unwrap().len(), rules, "{word}");
        assert!(json["text"].as_str().unwrap().contains(word), "{word}");
    }
    let command = bench.run(&["why", "window"]);
    assert!(command.code == 2 && command.err.contains("`window` is a command"), "{}", command.all());
}
