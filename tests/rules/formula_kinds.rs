//! Every formula's kind is worked out before a sheet is read: a rule with a name, function or unit that makes no sense
//! anywhere in it is refused, at that place.

use dryfit::pack::PackError;
use dryfit::rules::Library;

const HEAD: &str = "rules:\n  low-wall:\n    title: a wall too low\n    about: [wall]\n    why: Low walls let seedlings out.\n    sources: [our own beds]\n    passes: part p { wall w { thickness 2 mm; height 4 mm } }\n    fails: part p { wall w { thickness 2 mm; height 2 mm } }\n";

fn with_project(text: &str) -> Result<Library, PackError> {
    Library::with_project(dryfit::pack::Project::of_texts([("pack.yaml".to_owned(), text.to_owned())])?)
}

/// Line, column and words of each fault of a rule with these lines.
fn faults(lines: &str) -> Vec<String> {
    let Err(error) = with_project(&format!("{HEAD}{lines}")) else { return Vec::new() };
    let told = |fault: &dryfit::fault::Fault| {
        let place = error.sources.get(fault.at.source).place(fault.at.start);
        let help = fault.words().help.map_or(String::new(), |help| format!(" ({help})"));
        format!("{}:{}: {}{help}", place.line, place.column, fault.message())
    };
    error.faults.iter().map(told).collect()
}

#[test]
fn a_branch_that_a_sheet_may_never_reach_is_looked_at_all_the_same() {
    let rule = |step: &str| {
        faults(&format!(
            "    where:\n      a: {step}\n    holds: {{care: thickness >= 1 mm}}\n    says: '{{feature}} is thin'\n"
        ))
    };
    assert!(rule("choose(given(height), thickness, height)").is_empty());
    let found = rule("choose(given(height), thickness, frobnicate(thicknes))");
    assert_eq!(
        found,
        ["10:43: there is no function `frobnicate`", "10:54: unknown name `thicknes` (did you mean `thickness`?)"]
    );
    let found = rule("either(thickness, 3 N)");
    assert_eq!(found, ["10:28: `either` gives values of one kind: this is a force (N), not a length (mm)"]);
    let found = rule("choose(thickness > 100 m, 1 N, 2 mm)");
    assert_eq!(found, ["10:41: `choose` gives values of one kind: this is a length (mm), not a force (N)"]);
    let found = rule("a + thickness");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("10:10: the step `a` depends on itself"), "{found:?}");
    let found = rule("material.width");
    assert!(found[0].starts_with("10:19: the block `material` has nothing called `width`"), "{found:?}");
    let found = rule("cycles * 1 mm");
    assert!(found[0].starts_with("10:10: `cycles` is never given here"), "{found:?}");
    let found = rule("material.heat-limit + 20 degC");
    assert!(found[0].contains("point on a scale"), "{found:?}");
    assert!(rule("material.heat-limit + 20 K").is_empty());
    let found = rule("choose(thickness > 1 mm, table(\"iso-261\", \"M3\", \"diametre\"), 1 mm)");
    assert!(
        found[0].starts_with("10:58: the table iso-261 has no column `diametre` (did you mean `diameter`?)"),
        "{found:?}"
    );
    let found = rule("choose(material.sunlight == \"por\", 1, 2)");
    assert!(found[0].starts_with("10:38: it is never `por`: it is one of poor, fair, good"), "{found:?}");
}

#[test]
fn what_rules_share_is_named_and_given_once() {
    let rule = |shares: &str, step: &str| {
        let shared = "shared:\n  edges:\n    doc: the edge\n    limits: {least: {value: 1 mm, source: ours, basis: judgement, sure: low}}\n    where: {room: height - least}\n";
        let lines = format!(
            "    shares: [{shares}]\n    where: {{{step}: thickness}}\n    holds: {{care: room >= least}}\n    says: '{{feature}}'\n"
        );
        let Err(error) = with_project(&format!("{HEAD}{lines}{shared}")) else { return Vec::new() };
        error
            .faults
            .iter()
            .map(|fault| (fault.message(), fault.words().help.map(|help| help.to_string()).unwrap_or_default()))
            .collect()
    };
    let said = |message: &str, help: &str| (message.to_owned(), help.to_owned());
    assert_eq!(rule("edges", "thick"), []);
    assert_eq!(rule("edgse", "thick")[0], said("nothing shared is named `edgse`", "did you mean `edges`?"));
    assert_eq!(
        rule("edges", "room")[0],
        said("`low-wall` and the shared `edges` both have a `room`", "rename the rule's own")
    );
}

#[test]
fn a_source_is_named_or_written_out() {
    let limit = |source: &str| {
        let text = format!(
            "{HEAD}    limits: {{least: {{value: 3 mm, source: '{source}', basis: judgement, sure: low}}}}\n    holds: {{care: height >= least}}\n    says: '{{feature}}'\nsources: {{bench-notes: our notes of the second winter}}\n"
        );
        with_project(&text).map(|library| library.rule("low-wall").unwrap().limits[0].source.to_string())
    };
    assert_eq!(limit("bench-notes").unwrap(), "our notes of the second winter");
    assert_eq!(limit("bench-notes, page 3").unwrap(), "our notes of the second winter, page 3");
    assert_eq!(limit("snap-guide, p. 22").unwrap(), "Snap-Fit Joints for Plastics, a design guide, p. 22");
    assert_eq!(limit("measured").unwrap(), "measured");
    let faults = limit("bench-nots").unwrap_err().faults;
    assert_eq!(
        (faults[0].message().as_str(), faults[0].words().help.as_ref().map(|help| help.words.as_str())),
        ("no source is named `bench-nots`", Some("did you mean `bench-notes`?"))
    );
}

#[test]
fn a_choice_and_named_values_are_looked_at_as_well() {
    let rule = |step: &str| {
        faults(&format!(
            "    where:\n      a: '{step}'\n    holds: {{care: thickness >= 1 mm}}\n    says: '{{feature}}'\n"
        ))
    };
    assert_eq!(rule("if given(height) then thickness else height / 2"), [""; 0]);
    assert_eq!(rule("2 * (if thickness > 1 mm then thickness else 1 mm)"), [""; 0]);
    let found = rule("if thickness > 1 mm then 1 N else 2 mm");
    assert_eq!(found, ["10:45: `if` gives values of one kind: this is a length (mm), not a force (N)"]);
    let found = rule("if thickness then 1 N else 2 N");
    assert!(found[0].starts_with("10:14: expected a comparison, or yes or no"), "{found:?}");
    assert_eq!(rule("hinge-strain(angle: 30 deg, thickness: thickness, length: 2 mm)"), [""; 0]);
    let found = rule("hinge-strain(angel: 30 deg, thickness: thickness, length: 2 mm)");
    assert!(found[0].starts_with("10:24: `hinge-strain` takes no such value"), "{found:?}");
    let found = rule("hinge-strain(thickness, 2 mm, thickness: 1 mm)");
    assert!(found[0].contains("`thickness` of `hinge-strain` is given twice"), "{found:?}");
    let found = rule("hinge-strain(thickness, angle: 3 deg)");
    assert!(found[0].contains("missing: length"), "{found:?}");
    let found = rule("beam-stress(9 mm, 2 mm, 2 mm, 2 GPa, \"restin\", \"end\", 9 mm, 3 N)");
    assert!(
        found[0].contains("`ends` of `beam-stress` is one of resting, cantilever, clamped; this is restin"),
        "{found:?}"
    );
}

const DERIVING: &str = "blocks:\n  wall:\n    derives:\n";

#[test]
fn what_follows_from_fields_is_looked_at_where_its_block_is() {
    let rule = |derives: &str, holds: &str| {
        let text =
            format!("{DERIVING}      {derives}\n{HEAD}    holds: {{care: {holds}}}\n    says: '{{feature}} is thin'\n");
        with_project(&text)
            .map_or_else(|error| error.faults.iter().map(dryfit::fault::Fault::message).collect(), |_| Vec::new())
    };
    let slender = "slenderness: {doc: How slender it is., is: height / thickness}";
    assert_eq!(rule(slender, "slenderness >= 2"), [""; 0]);
    assert_eq!(rule(slender, "slenderness >= 2 mm"), ["a bare number and a length (mm) do not go together"]);
    let found = rule("slenderness: {doc: How slender it is., is: heigth / thickness}", "thickness >= 1 mm");
    assert_eq!(found, ["unknown name `heigth`"]);
    let found = rule("slenderness: {doc: How slender it is., is: slenderness + 1}", "thickness >= 1 mm");
    assert_eq!(found, ["`slenderness` depends on itself"]);
    let found = rule("height: {doc: Its height., is: thickness}", "thickness >= 1 mm");
    assert_eq!(found, ["`wall` has a `height` already"]);
}

#[test]
fn a_message_is_looked_at_in_every_branch() {
    let rule = |says: &str| faults(&format!("    holds: {{care: thickness >= 1 mm}}\n    says: '{says}'\n"));
    assert_eq!(rule("{feature} is {thickness} thick"), [""; 0]);
    let found = rule("{feature} {choose(thickness > 0 mm, a, wobble)}");
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].starts_with("10:48: unknown name `a`"), "{found:?}");
    assert!(found[1].starts_with("10:51: unknown name `wobble`"), "{found:?}");
    let found = rule("{feature} {thickness:N}");
    assert_eq!(found, ["10:23: `thickness` cannot be shown in `N`"]);
}
