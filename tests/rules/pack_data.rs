use std::collections::HashSet;
use std::path::Path;

use dryfit::pack::schema::{BASES, SURE};
use dryfit::rules::Library;

/// So many formulas may be repeated word for word.
const MOST_REPEATS: usize = 20;

/// The built-in pack's files, as YAML.
fn files(folder: &Path) -> Vec<(String, String)> {
    let mut entries: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    let mut texts = Vec::new();
    for path in entries {
        if path.is_dir() {
            texts.extend(files(&path));
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            texts.push((path.display().to_string(), std::fs::read_to_string(&path).unwrap()));
        }
    }
    texts
}

fn rules_folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/rules"))
}

#[test]
fn the_built_in_pack_passes_the_checks_that_a_projects_pack_must_pass() {
    if let Err(error) = Library::of_texts(files(rules_folder())) {
        let told: Vec<String> = error
            .faults
            .iter()
            .map(|fault| {
                let source = error.sources.get(fault.at.source);
                let place = source.place(fault.at.start);
                format!(
                    "{}:{}:{}: {} ({:?})",
                    source.name,
                    place.line,
                    place.column,
                    fault.message(),
                    fault.words().help
                )
            })
            .collect();
        panic!("{}", told.join("\n"));
    }
}

#[test]
fn the_program_carries_the_pack_of_the_yaml_files() {
    let read = Library::of_texts(files(rules_folder())).map_err(|error| error.faults).unwrap();
    let carried = Library::built_in();
    let names = |library: &Library| library.rules.iter().map(|rule| rule.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&read), names(&carried));
    let words = |library: &Library| dryfit::report::reference::words(library);
    assert_eq!(words(&read), words(&carried));
    assert_eq!(dryfit::report::reference::rules(&read), dryfit::report::reference::rules(&carried));
}

#[test]
fn the_names_of_the_rules_are_stable() {
    let names: Vec<String> = Library::built_in().rules.iter().map(|rule| rule.name.to_string()).collect();
    insta::with_settings!({snapshot_path => "../snapshots/rules", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!("all-names", names.join("\n"));
    });
}

/// What several rules work out alike belongs to the block that they are about, and what follows from several blocks alike
/// to the first of them: the others are `like` it.
#[test]
fn few_formulas_are_written_twice() {
    let packs = dryfit::pack::built_in();
    let rules = packs.iter().flat_map(|(_, pack)| &pack.rules.0).flat_map(|(_, rule)| &rule.r#where.0);
    let shared = packs.iter().flat_map(|(_, pack)| &pack.shared.0).flat_map(|(_, shared)| &shared.r#where.0);
    let tasks = packs.iter().flat_map(|(_, pack)| &pack.tasks.0).flat_map(|(_, task)| &task.r#where.0);
    let steps = rules.chain(shared).chain(tasks).map(|(name, step)| (name.value.as_str(), step.value.as_str()));
    let steps: Vec<(&str, &str)> = steps.collect();
    // The carried pack has the formulas in the place of each `like`.
    let written = Library::of_texts(files(rules_folder())).map_err(|error| error.faults).unwrap();
    let derives = written.vocabulary.blocks.iter().flat_map(|block| &block.derives);
    let derives = derives.filter(|derived| derived.like.is_none()).map(|derived| derived.formula.text.as_str());
    let derives: Vec<&str> = derives.collect();

    let again = |count: usize, distinct: HashSet<(&str, &str)>| count - distinct.len();
    let steps_again = again(steps.len(), steps.iter().copied().collect());
    let derives_again = again(derives.len(), derives.iter().map(|text| (*text, "")).collect());
    let derived_in_steps = steps.iter().filter(|(_, step)| derives.contains(step)).count();
    let told =
        format!("{steps_again} steps, {derives_again} derived fields, {derived_in_steps} steps that are derived");
    assert!(steps_again + derives_again + derived_in_steps < MOST_REPEATS, "written again word for word: {told}");
}

#[test]
fn every_number_in_the_data_says_where_it_comes_from() {
    let library = Library::built_in();
    let mut count = 0;
    for rule in &library.rules {
        for limit in &rule.limits {
            assert!(!limit.source.is_empty(), "{}.{} has no source", rule.name, limit.name);
            assert!(BASES.contains(&limit.basis.as_str()), "{}.{}: basis {}", rule.name, limit.name, limit.basis);
            count += 1;
        }
    }
    for (section, profiles) in &library.vocabulary.profiles {
        for (name, profile) in profiles {
            for (field, value) in &profile.values {
                assert!(!value.source.is_empty(), "{section} {name}.{field} has no source");
                assert!(BASES.contains(&value.basis.as_str()), "{section} {name}.{field}: basis {}", value.basis);
                assert!(SURE.contains(&value.sure.as_str()), "{section} {name}.{field}");
                count += 1;
            }
        }
    }
    for table in library.vocabulary.tables.values() {
        assert!(!table.source.is_empty(), "the table {} has no source", table.name);
        count += 1;
    }
    for (file, pack) in dryfit::pack::built_in() {
        let chances = pack.chances.0.iter().flat_map(|(_, by_level)| &by_level.0);
        for (name, judged) in chances.chain(&pack.steps.0) {
            let name = &name.value;
            assert!(!judged.source.value.is_empty(), "{file}: {name} has no source");
            assert!(BASES.contains(&judged.basis.value.as_str()), "{file}: {name}: basis {}", judged.basis.value);
            assert!(SURE.contains(&judged.sure.value.as_str()), "{file}: {name}");
            count += 1;
        }
    }
    assert!(count > 200, "only {count} numbers were looked at");
}
