//! What a finding's sentence says.

use super::told;

/// JCGM 100:2008: a tolerance of 0.2 mm by two standard deviations leaves 0.1 mm of room to one, and a
/// normal distribution has 16 % beyond one (tables of the normal distribution).
#[test]
fn a_demand_in_doubt_is_not_called_broken() {
    let found = told("bought a { x 1 mm ± 0.2 mm }\ndemand a.x < 1.1 mm \"it passes\"\n");
    assert!(
        found.contains("may come out not to hold: it passes; within the limit on the mean, but 16 % will miss it"),
        "{found}"
    );
    let found = told("bought a { x 1.2 mm ± 0.2 mm }\ndemand a.x < 1.1 mm \"it passes\"\n");
    assert!(found.contains("this demand does not hold: it passes"), "{found}");
}

/// What a writer calls something is no word of the rules: a `let`, a title or a part called like a field.
#[test]
fn names_of_the_sheet_are_no_words_of_the_rules() {
    let part = "part q {\n  up +z\n  size 30 x 30 x 20 mm\n  wall w { thickness 40 mm; height 10 mm; faces +y }\n  \
                wall v { thickness 2.1 mm; height 10 mm; faces +x }\n  hole h { diameter 5 mm; depth 5 mm; axis +z }\n}\n";
    let plain = format!("machine bench\nmaterial petg\n{part}");
    let named = format!(
        "machine bench\nmaterial petg\nlet width = 3 mm\nlet diameter = 90 mm\nlet height = 100 mm\n{part}\
         stack \"depth\" {{ gap q.size.x - 28 mm; least 1 mm; most 3 mm }}\n\
         demand width + diameter < height \"they are used\"\n"
    );
    let library = dryfit::rules::Library::built_in();
    let found = |text: &str| {
        let findings = dryfit::inspect::inspect_text(&library, "q.dryfit", text).findings;
        findings.into_iter().map(|finding| (finding.rule, finding.about, finding.message)).collect::<Vec<_>>()
    };
    assert_eq!(found(&named), found(&plain));
    assert!(found(&plain).iter().any(|(rule, about, _)| rule == "wider-than-part" && about == "q.w"));
}

/// What a snap says that its hook bears need not be said of the hook.
#[test]
fn a_fact_that_a_relation_gives_is_not_asked_of_what_it_names() {
    let sheet = |snap: &str| {
        let text = format!(
            "machine bench\nmaterial petg\n\
             part lid {{ up +z; arm latch {{ points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; hook {{ depth 1 mm; lead-in 30 deg; return 45 deg }} }} \
             arm other like latch }}\n\
             part box {{ up +z; slot notch {{ width 3.2 mm; length 9 mm; depth 2 mm; axis +y }} }}\n\
             snap \"lid on box\" {{ hook lid.latch; behind box.notch{snap} }}\n"
        );
        let inspection = dryfit::inspect::inspect_text(&dryfit::rules::Library::built_in(), "example.dryfit", &text);
        let asked = inspection.basis.not_asked.into_iter().filter(|asked| asked.fact == "bears");
        asked.map(|asked| asked.feature).collect::<Vec<_>>()
    };
    assert_eq!(sheet(""), ["lid.latch", "lid.other"]);
    assert_eq!(sheet("; bears 5 N"), ["lid.other"]);
}
