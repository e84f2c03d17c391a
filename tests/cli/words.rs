//! `why` and `dimensions`.

use serde_json::Value;

use crate::bench::{Bench, finished, snapshot};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data/");

#[test]
fn any_word_of_the_language_is_explained() {
    let bench = Bench::new();
    let told = |word: &str| {
        let mut command = bench.command(&["why", word]);
        let outcome = finished(command.env("COLUMNS", "80"), "");
        assert_eq!(outcome.code, 0, "{word}: {}", outcome.all());
        outcome.out
    };
    for (word, what) in [
        ("slot", "slot (block): "),
        ("root-fillet", "root-fillet (field of arm): "),
        ("pla", "pla (material): "),
        ("bench", "bench (machine): "),
        ("in", "in (unit): a length (mm); 1 in is 25.4 mm"),
        ("max", "max (function): "),
        ("care", "care: "),
        ("sliding", "sliding: A fit that moves"),
        ("H7", "H7: a tolerance class"),
        ("M3", "M3 (row of the table"),
        ("leans", "leans (follows from the fields of arm, beam, tie): "),
    ] {
        assert!(told(word).starts_with(what), "{word}: {}", told(word));
    }
    let both = told("hole");
    assert!(both.starts_with("hole (block): ") && both.contains("\nhole (field of boss): "), "{both}");
    snapshot(
        "why-words",
        ["slot", "return", "stop", "degF", "arm-strain", "use"].map(|word| told(word) + "\n").concat(),
    );
}

/// A word of habit is told what is written here; any other one where its matter is told of.
#[test]
fn a_word_from_elsewhere_leads_on() {
    let bench = Bench::new();
    let habit = finished(&mut bench.command(&["why", "thou"]), "");
    assert_eq!((habit.code, habit.out.starts_with("thou: thousandths of an inch")), (0, true), "{}", habit.all());
    for (word, speaks) in [("tubes", "clamp"), ("rattle", "rattling-fit"), ("crack", "cracked-hinge")] {
        let matter = finished(&mut bench.command(&["why", word]), "");
        assert!(matter.code == 2 && matter.err.contains("these speak of it: "), "{}", matter.all());
        assert!(matter.err.contains(speaks), "{}", matter.all());
    }
}

/// Every word that a sheet can hold and every word of a verdict: keywords of the grammar and choices of fields.
#[test]
fn no_word_of_the_language_is_left_out() {
    let library = dryfit::rules::Library::built_in();
    let keywords = "measured between by at least most to tilted toward like let if then else and or not yes no with \
                    go no-go stop care note margin mend permit finding";
    let choices =
        library.vocabulary.blocks.iter().flat_map(|block| &block.fields).flat_map(|field| match &field.kind {
            dryfit::vocabulary::FieldKind::Word(words) => words.iter().map(ToString::to_string).collect::<Vec<_>>(),
            _ => Vec::new(),
        });
    let look = dryfit::report::Look::of_width(80);
    for word in keywords.split_whitespace().map(str::to_owned).chain(choices) {
        assert!(dryfit::report::why(&library, &word, look).is_ok(), "{word}");
    }
}

#[test]
fn an_explanation_fits_its_terminal_and_ends_with_the_formulas() {
    let bench = Bench::new();
    let mut command = bench.command(&["why", "overstrained-arm"]);
    let told = finished(command.env("COLUMNS", "60"), "").out;
    // Sheets and formulas' names stay whole.
    let prose = told.split("A sheet that passes").next().unwrap();
    assert!(prose.lines().all(|line| line.chars().count() <= 60), "{prose}");
    let order = ["What to do", "permit overstrained-arm on", "limits: {", "Sources", "What must hold"];
    let places: Vec<usize> = order.iter().map(|part| told.find(part).unwrap_or_else(|| panic!("no {part}"))).collect();
    assert!(places.is_sorted(), "{told}");
}

#[test]
fn dimensions_are_what_a_modeller_draws() {
    let bench = Bench::with(&[("a.dryfit", &std::fs::read_to_string(format!("{DEMO}vent-latch.dryfit")).unwrap())]);
    snapshot("dimensions", bench.run(&["dimensions", "a.dryfit"]).out);
    let csv = bench.run(&["dimensions", "--csv", "a.dryfit"]).out;
    // 8.06 mm is the mean of 8.06, 8.02 and 8.10 mm; 0.2 mm the slack.
    assert!(csv.contains("latch.channel,slot,width,8.26,mm,frame.bar + slack\r\n"), "{csv}");
    let json: Value = serde_json::from_str(&bench.run(&["dimensions", "--report", "json", "a.dryfit"]).out).unwrap();
    assert_eq!(json["shape"], "dryfit-dimensions/1");
    let all = json["dimensions"].as_array().unwrap();
    assert_eq!(all.len() + 1, csv.lines().count());
    let channel = all.iter().find(|one| one["feature"] == "latch.channel" && one["field"] == "width").unwrap();
    assert_eq!(channel["value"].as_f64(), Some(8.26));
    assert!(all.iter().all(|one| one["feature"] != "frame"), "what is bought is not drawn");
}

#[test]
fn dimensions_are_in_the_authors_unit() {
    let sheet = "machine bench\nmaterial petg\npart p { up +z; size 2 x 1 x 0.5 in; wall w { thickness 0.1 in; height 0.5 in; faces +x } }\n";
    let csv = Bench::with(&[("a.dryfit", sheet)]).run(&["dimensions", "--csv", "a.dryfit"]).out;
    assert!(csv.contains("p,part,size.x,2,in,\r\n") && csv.contains("p.w,wall,thickness,0.1,in,\r\n"), "{csv}");
}
