//! Words of danger in titles and names: asked about where they are for something, and not where they only look like it.

use dryfit::inspect::inspect_text;
use dryfit::rules::Library;

/// The cautions on a sheet that says little else.
fn asked(library: &Library, sheet: &str) -> Vec<String> {
    let found = inspect_text(library, "example.dryfit", sheet).findings;
    let cautions = found.into_iter().filter(|finding| library.rule(&finding.rule).is_some_and(|rule| rule.caution));
    cautions.map(|finding| finding.rule).collect()
}

fn titled(title: &str) -> String {
    format!("sheet \"{title}\"\nmachine bench\nmaterial petg\npart p {{ up +z; wall w {{ thickness 2.1 mm }} }}\n")
}

#[test]
fn titles_of_dangerous_things_are_asked_about() {
    let library = Library::built_in();
    for (title, rule) in [
        ("Cover for a 230V terminal", "unanswered-mains"),
        ("Blende für Steckdosen", "unanswered-mains"),
        ("Knob for gas taps", "unanswered-gas"),
        ("Adapter für eine Gasflasche", "unanswered-gas"),
        ("Plug for a pressure vessel", "unanswered-pressure"),
        ("Toys", "unanswered-children"),
        ("The baby's rattle", "unanswered-children"),
        ("Halter am Kinderwagen", "unanswered-children"),
        ("Rung for a ladder", "unanswered-person"),
        ("Klettergriff", "unanswered-person"),
        ("Step for the shed door", "unanswered-person"),
        ("Button of a lift", "unanswered-person"),
        ("Visor of a helmet", "unanswered-protection"),
        ("Bremshebel", "unanswered-protection"),
        ("Latch of the garden gate", "unanswered-protection"),
        ("Box for medicine", "unanswered-medicine"),
        ("Scoop for dog food", "unanswered-food"),
        ("Ausstecher", "unanswered-food"),
        ("Holder for candles", "unanswered-heat"),
        ("Lid of a kettle", "unanswered-hot-liquid"),
        ("Hook for an overhead lamp", "unanswered-overhead"),
        ("Hook for a ceiling lamp", "unanswered-overhead"),
        ("Handle for a coffee mug", "unanswered-hot-liquid"),
        ("Bracket above a radiator", "unanswered-heat"),
        ("Lampenschirm", "unanswered-heat"),
        ("Doll", "unanswered-children"),
        ("Foot of a stool", "unanswered-person"),
        ("Grip for a handlebar", "unanswered-protection"),
        ("Cover of a circuit breaker", "unanswered-mains"),
        ("Rest for a walking frame", "unanswered-medicine"),
        ("Knife rest for a bread board", "unanswered-food"),
    ] {
        assert_eq!(asked(&library, &titled(title)), [rule], "{title}");
    }
}

#[test]
fn words_that_only_look_like_danger_are_let_pass() {
    let library = Library::built_in();
    for title in [
        "Mouth of a funnel",
        "Box with a lift-off lid",
        "Gasket for a lid",
        "Grille for a fan",
        "A new kind of trinket box",
        "Foot for a chair leg",
        "Stepped washer",
        "Clip for a mouse cable",
        "Cover of a 12 V fan",
        "Shelf bracket",
        "Anti-rattle clip",
        "Drawer that must not rattle",
        "Stirrup for a pipe",
        "Foot of a coffee table",
        "Box for four lighter springs",
    ] {
        assert_eq!(asked(&library, &titled(title)), [""; 0], "{title}");
    }
}

/// A step, a lift or a gate as a shape in a part is no ladder, lift or gate; a mains lead is one wherever it is named.
#[test]
fn names_of_shapes_count_less_than_titles() {
    let library = Library::built_in();
    let sheet = |part: &str| format!("machine bench\nmaterial petg\n{part}\n");
    let named = |name: &str| sheet(&format!("part p {{ up +z; wall {name} {{ thickness 2.1 mm }} }}"));
    assert_eq!(asked(&library, &named("step")), [""; 0]);
    assert_eq!(asked(&library, &named("mains-inlet")), ["unanswered-mains"]);
    let part = sheet("part step { up +z; wall w { thickness 2.1 mm } }");
    assert_eq!(asked(&library, &part), ["unanswered-person"]);
    let bought = sheet("bought baby-bottle { neck 40 mm }\npart p { up +z; wall w { thickness 2.1 mm } }");
    assert_eq!(asked(&library, &bought), ["unanswered-children"]);
}

#[test]
fn an_answer_ends_the_question_and_yes_raises_the_caution_itself() {
    let library = Library::built_in();
    let sheet = titled("Cover for a 230 V terminal");
    assert_eq!(asked(&library, &format!("{sheet}service {{ mains no }}\n")), [""; 0]);
    assert_eq!(asked(&library, &format!("{sheet}service {{ mains yes }}\n")), ["mains-voltage"]);
    assert_eq!(asked(&library, &format!("{sheet}service {{ wet yes }}\n")), ["unanswered-mains"]);
    let boiler = titled("Cap of a boiler");
    assert_eq!(asked(&library, &format!("{boiler}service {{ pressure 0 kPa }}\n")), [""; 0]);
    assert_eq!(asked(&library, &format!("{boiler}service {{ pressure 20 kPa }}\n")), ["under-pressure"]);
    let permit = "permit unanswered-mains on sheet \"the cover of the meter's box, outside; nothing live behind it\"\n";
    // The sheet goes by its title as well.
    for permit in [permit.into(), permit.replace("on sheet", "on \"Cover for a 230 V terminal\"")] {
        let found = inspect_text(&library, "example.dryfit", &format!("{sheet}{permit}")).findings;
        assert!(found.iter().any(|one| one.rule == "unanswered-mains" && one.acknowledged.is_some()), "{permit}");
    }
}

#[test]
fn a_load_as_heavy_as_a_person_is_asked_about() {
    let library = Library::built_in();
    let part = |load: &str| {
        let strap = format!("tie s {{ points +x; width 40 mm; thickness 20 mm; load {{ {load} }} }}");
        format!("machine bench\nmaterial petg\npart p {{ up +z; {strap} }}\n")
    };
    assert_eq!(asked(&library, &part("force 199 N")), [""; 0]);
    assert_eq!(asked(&library, &part("force 200 N")), ["person-sized-load"]);
    assert_eq!(asked(&library, &part("force 200 N; over-people no")), [""; 0]);
    assert_eq!(asked(&library, &(part("force 200 N") + "service { holds-people no }\n")), [""; 0]);
}
