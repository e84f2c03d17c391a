//! What several rules are to have in common, where no rule has it yet.

use std::collections::BTreeSet;

use super::{Inference, Place, Report, limits};
use crate::fault::{Code, Fault, FormulaFault};
use crate::model::{NoImports, bind};
use crate::pack::{BUILT_IN, PackFile, Words};
use crate::rules::body::Shared;
use crate::rules::library::Library;
use crate::rules::rule::Rule;
use crate::source::Sources;
use crate::syntax::tree::Body;

/// Every fault in the groups that no rule or task names: the others are looked at in the rules that do.
pub(in crate::rules) fn unshared(library: &Library, files: &[PackFile], sources: &Sources) -> Vec<Fault> {
    let rules = files.iter().flat_map(|file| &file.pack.rules.0).flat_map(|(_, rule)| &rule.shares);
    let tasks = files.iter().flat_map(|file| &file.pack.tasks.0).flat_map(|(_, task)| &task.shares);
    let named: BTreeSet<&Words> = rules.chain(tasks).map(|name| &name.value).collect();
    let groups = files.iter().flat_map(|file| file.pack.shared.0.iter().map(move |group| (file.id, group)));
    let groups = groups.filter(|(_, (name, _))| !named.contains(&name.value));
    groups
        .flat_map(|(id, (_, raw))| alone(library, Shared::read(&raw.limits, &raw.r#where, id, Some(sources.get(id)))))
        .collect()
}

/// The faults of a group by itself: it must make sense for one kind of block at least. They are told of the kind that has
/// most of what it names.
fn alone(library: &Library, group: Shared) -> Vec<Fault> {
    let vocabulary = &library.vocabulary;
    let rule = Rule::of_shared(group);
    let on = |block| {
        let report = Report::default();
        for place in Place::all(vocabulary, block) {
            let inference = Inference::new(place, Some(&rule), &report);
            for (_, step) in &rule.steps {
                inference.formula(step);
            }
        }
        let faults = report.finish();
        let missing = faults.iter().filter(|fault| is_missing(fault)).count();
        (missing, faults)
    };
    let of_sheets = vocabulary.blocks.iter().filter(|block| !block.in_notes);
    let nearest = of_sheets.map(on).min_by_key(|(missing, faults)| (*missing, faults.len()));
    let (_, mut faults) = nearest.unwrap_or_default();
    let nothing = bind(vocabulary, Body::default(), BUILT_IN, &NoImports);
    limits(&nothing, &rule, &mut faults);
    faults
}

/// Whether a fault is that a kind of block lacks what others have.
fn is_missing(fault: &Fault) -> bool {
    matches!(fault.code, Code::Formula(FormulaFault::NeverGiven { .. } | FormulaFault::NothingCalled { .. }))
}
