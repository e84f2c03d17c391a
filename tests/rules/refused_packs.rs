//! Packs that make no sense somewhere, also where no sheet leads: each is refused at its place.

use std::fmt::Write;

use dryfit::pack::{PackError, Project};
use dryfit::rules::Library;
use dryfit::source::LINE_ENDS;

/// A rule of a project, with lines put in place of its own by their keys; an empty line leaves one out.
fn rule(lines: &[(&str, &str)]) -> String {
    let own = [
        ("title", "a wall too low"),
        ("about", "[wall]"),
        ("holds", "{care: height >= 3 mm}"),
        ("says", "'{feature} is low'"),
        ("why", "Low walls let seedlings out."),
        ("sources", "[our own beds]"),
        ("passes", "'part p { wall w { thickness 2 mm; height 4 mm } }'"),
        ("fails", "'part p { wall w { thickness 2 mm; height 2 mm } }'"),
    ];
    let kept = own.iter().filter(|(key, _)| !lines.iter().any(|(other, _)| other == key));
    let mut text = String::from("rules:\n  low-wall:\n");
    for (key, value) in kept.chain(lines) {
        writeln!(text, "    {key}: {value}").unwrap();
    }
    text
}

fn step(formula: &str) -> String {
    rule(&[("where", &format!("{{a: '{formula}'}}"))])
}

/// A kind of block of a project, with further lines.
fn peg(lines: &str) -> String {
    let fields = "pitch: {doc: Between pegs., unit: mm}\n      faces: {doc: Where to., kind: direction}";
    format!(
        "blocks:\n  peg:\n    doc: A peg.\n    in: [part]\n    name: required\n    fields:\n      {fields}\n      {lines}\n"
    )
}

/// So many values of a wall that follow from each other, after the first.
fn chain(length: usize) -> String {
    let mut text = String::from("blocks:\n  wall:\n    derives:\n      link0: {doc: The first., is: thickness}\n");
    for n in 1..=length {
        writeln!(text, "      link{n}: {{doc: One., is: link{} + link{}}}", n - 1, n - 1).unwrap();
    }
    text
}

fn judged(value: &str) -> String {
    format!("{{value: {value}, source: our own beds, basis: judgement, sure: low}}")
}

fn load(text: &str) -> Result<Library, PackError> {
    Library::with_project(Project::of_texts([("pack.yaml".to_owned(), text.to_owned())])?)
}

/// Line, column and words of each fault, with the text that it stands at.
fn told(error: &PackError) -> String {
    let mut out = String::new();
    for fault in &error.faults {
        let source = error.sources.get(fault.at.source);
        let place = source.place(fault.at.start);
        let at = source.slice(fault.at).split(LINE_ENDS).next().unwrap_or_default();
        writeln!(out, "{}:{} `{at}`: {}", place.line, place.column, fault.message()).unwrap();
        if let Some(help) = fault.words().help {
            writeln!(out, "    {help}").unwrap();
        }
        for (at, beside) in &fault.others {
            let place = error.sources.get(at.source).place(at.start);
            writeln!(out, "    {}:{}: {beside}", place.line, place.column).unwrap();
        }
    }
    out
}

fn cases() -> Vec<(&'static str, String)> {
    let like = |derives: &str| format!("blocks:\n  wall:\n    derives:\n      {derives}\n");
    let group = |text: &str| format!("shared:\n  edges:\n    doc: The edge.\n    {text}\n");
    let chance = |of: &str, level: &str, share: &str| format!("chances: {{{of}: {{{level}: {}}}}}\n", judged(share));
    vec![
        ("follows from a block that has what it needs, and from this one not", like("strain: {like: arm}")),
        (
            "follows from a project's own block, and from another not",
            like("room: {doc: Room., is: 2 * thickness + height}") + "  edge:\n    derives:\n      room: {like: wall}\n",
        ),
        ("a derived value that no formula can say", like("two words: {doc: Two., is: 2 * height}")),
        ("a limit that no formula can say", rule(&[("limits", &format!("{{2nd: {}}}", judged("3 mm")))])),
        ("a circle of derived values", like("one: {doc: One., is: other}\n      other: {doc: Other., is: one}")),
        (
            "a circle of derived values that others lead to, told once",
            like("far: {doc: Far., is: one + other}\n      one: {doc: One., is: other + other}\n      other: {doc: Other., is: one}")
                + &rule(&[("where", "{a: one, b: other + far}")]),
        ),
        ("a derived value that is its own", like("one: {doc: One., is: one + one}") + &rule(&[("where", "{a: one}")])),
        ("two circles of derived values", like("one: {doc: One., is: one}\n      other: {doc: Other., is: other}\n      far: {doc: Far., is: one + other}")),
        ("a circle that is one in this block only", "blocks:\n  edge:\n    derives:\n      room: {doc: Room., is: 2 * beyond}\n      beyond: {doc: Beyond., is: fillet}\n  wall:\n    derives:\n      room: {like: edge}\n      beyond: {doc: Beyond., is: room}\n".into()),
        ("a longer chain of derived values than is followed", chain(18)),
        ("a group that no rule names", group("where: {room: wobble * frob(2)}")),
        ("a group that no rule names, of two dimensions", group("where: {room: 'either(thickness, 3 N)'}")),
        ("a limit of a group that no rule names", group(&format!("limits: {{least: {}}}", judged("0/0")))),
        ("a condition inside a longer formula", step("thickness + if height > 3 mm then 1 mm else 2 mm")),
        ("a condition on one side of a comparison", rule(&[("holds", "{care: 'height >= if thickness > 3 mm then 1 mm else 2 mm'}")])),
        ("a text printed", step("choose(given(height), thickness, printed(\"x\"))")),
        ("a part printed", step("given(printed(part))")),
        ("a direction printed", step("given(printed(faces))")),
        ("a number printed", step("printed(3 N)")),
        ("a number given", step("given(3 N)")),
        ("readings of a text", step("readings(\"x\")")),
        ("a word in place of one that is not given", rule(&[("about", "[hole]"), ("holds", "{care: diameter >= 3 mm}"), ("where", "{a: 'choose(either(roof, \"flatt\") == \"round\", 1, 2)'}")])),
        ("a row that its table lacks", step("table(\"iso-273\", \"M3.7\", \"medium\")")),
        ("a hazard that nothing tells of", step("choose(given(named-danger(\"gass\")), 1, 2)")),
        ("a brace that never closes", rule(&[("says", "'{feature is low'")])),
        ("a brace that never opens", rule(&[("says", "'{feature} is low}'")])),
        ("a brace inside a value", rule(&[("says", "'{height and {feature} is low'")])),
        ("words for a level at which nothing must hold", rule(&[("says", "{care: '{feature}', stop: '{feature}'}")])),
        ("help for such a level", rule(&[("help", "{note: thicken it}")])),
        ("stands in no block", peg("").replace("[part]", "[prat]")),
        ("lies along no direction", peg("height: {doc: How high., unit: mm, along: pitch}")),
        ("a flag that is none", peg("height: {doc: How high., unit: mm, unless: faces}")),
        ("a body along no direction", peg("") + "    body: {along: pitch, ahead: pitch / 2}\n"),
        ("a body for a block that exists", "blocks:\n  wall:\n    body: {along: faces, ahead: thickness / 2}\n".into()),
        ("a block's example", peg("") + "    example: 'peg tools { pich 3 mm }'\n"),
        ("an example that passes", rule(&[("passes", "'part p { wal w { thickness 2 mm } }'")])),
        ("an example that fails", rule(&[("fails", "|\n      part p {\n        wall w { thicknes 2 mm }\n      }")])),
        ("a basis", rule(&[("limits", &format!("{{least: {}}}", judged("3 mm").replace("judgement", "guess")))])),
        ("how sure", rule(&[("limits", &format!("{{least: {}}}", judged("3 mm").replace("low", "maybe")))])),
        (
            "a basis of a material",
            "materials:\n  ours:\n    like: petg\n    values:\n      friction: {value: 0.3, source: ours, basis: jugement}\n"
                .into(),
        ),
        ("a chance that raises a care", chance("care", "stop", "1 %")),
        ("a chance that raises a note", chance("note", "stop", "1 %")),
        ("a chance that is never reached", chance("stop", "note", "60 %")),
        ("a chance that leaves another without effect", chance("stop", "care", "3 %")),
        ("about no block", rule(&[("about", "[wall, ribb]")])),
        ("yields to no rule", rule(&[("yields-to", "[over-people, thin-wal]")])),
        (
            "a task about no block",
            "tasks:\n  look:\n    about: [wal]\n    at: before\n    says: look\n    source: ours\n".into(),
        ),
        (
            "a misspelt name in a rule about two kinds",
            rule(&[("about", "[wall, arm]"), ("where", "{a: 'either(thickness, lenght)'}")]),
        ),
    ]
}

#[test]
fn a_pack_that_makes_no_sense_somewhere_is_refused_at_its_place() {
    let mut out = String::new();
    for (name, text) in cases() {
        let Err(error) = load(&text) else { panic!("{name}: it loads\n{text}") };
        writeln!(out, "==== {name}\n{}", told(&error)).unwrap();
    }
    insta::with_settings!({snapshot_path => "../snapshots/rules", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("refused-packs", out);
    });
}

/// YAML 1.2.2, section 5.4: a line ends with a line feed, a carriage return, or both.
#[test]
fn whatever_ends_the_lines_of_a_pack_its_faults_stand_in_the_same_place() {
    let folded = rule(&[
        ("title", "a wall\n      too low"),
        ("says", ">\n      {feature} is\n      {heigth}\n      low"),
        ("help", "|\n      make it\n      {hihgt} high"),
        ("where", "\n      a: \"height *\n        wobble\""),
        ("titel", "a wall"),
        ("bogus", "\n      - one\n      - two"),
    ]);
    let mut texts: Vec<String> = cases().into_iter().map(|(_, text)| text).collect();
    texts.extend([folded.replace("    titel: a wall\n    bogus:\n      - one\n      - two\n", ""), folded]);
    for text in texts {
        let [feeds, both, returns] = ["\n", "\r\n", "\r"].map(|end| {
            let Err(error) = load(&text.replace('\n', end)) else { panic!("it loads\n{text}") };
            told(&error)
        });
        assert_eq!(feeds, both, "{text}");
        assert_eq!(feeds, returns, "{text}");
    }
}

/// What is next to these and makes sense.
#[test]
fn a_pack_that_makes_sense_everywhere_is_taken() {
    let sound = [
        rule(&[]),
        step("printed(2 * thickness) / readings(thickness)"),
        step("choose(given(printed(part.size)), thickness, height)"),
        step("choose(given(named-danger(\"gas\")), thickness, height)"),
        rule(&[("where", "{a: b + 1 mm, b: thickness}")]),
        rule(&[("says", "{care: '{feature} is low: {height}'}"), ("doubts", "{care: '{feature} may be low'}")]),
        chain(15) + &rule(&[("holds", "{care: link15 >= 0 mm}")]),
        format!(
            "shared:\n  edges:\n    doc: Edges.\n    limits: {{least: {}}}\n    where: {{room: height - least}}\n",
            judged("3 mm")
        ),
        peg("along: {doc: How long., unit: mm, along: faces}") + "    example: 'peg tools { pitch 3 mm }'\n",
        "blocks:\n  wall:\n    fields:\n      rise: {doc: How far it rises., unit: mm, along: faces}\n".into(),
        format!("chances: {{stop: {{note: {}}}, note: {{note: {}}}}}\n", judged("2 %"), judged("90 %")),
    ];
    for text in sound {
        if let Err(error) = load(&text) {
            panic!("{text}\n{}", told(&error));
        }
    }
}
