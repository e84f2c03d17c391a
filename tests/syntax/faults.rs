//! Every code of a fault, and what each reads like.

use std::collections::BTreeSet;

use dryfit::fault;
use dryfit::rules::Library;

#[test]
fn each_code_reads_like_this() {
    let one = |(code, fault): (&str, fault::Code)| {
        let words = fault.words();
        let edit = words.help.as_ref().and_then(|help| help.meant.as_ref());
        let edit = edit.map_or(String::new(), |meant| format!("\n  edit: {}", meant.in_words()));
        let help = words.help.map_or(String::new(), |help| format!("\n  help: {help}{edit}"));
        let area = format!("{fault:?}").split('(').next().unwrap_or_default().to_lowercase();
        format!("{area}: {code} [{}]\n  {}\n  at its place: {}{help}\n", fault.name(), words.message, words.label)
    };
    let all: Vec<String> = fault::all().into_iter().map(one).collect();
    insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("faults", all.join("\n"));
    });
}

#[test]
fn each_code_is_explained_by_a_rule() {
    let library = Library::built_in();
    let names: BTreeSet<&str> = fault::all().iter().map(|(_, code)| code.name()).collect();
    // A formula that does not hold for a value is told by the rule that has it.
    let explained = |name: &&&str| library.rule(name).is_some() || **name == "outside-formula";
    let unexplained: Vec<&&str> = names.iter().filter(|name| !explained(name)).collect();
    assert!(unexplained.is_empty(), "{unexplained:?}");
}
