//! Every formula of the built-in pack with one name, number or word of it exchanged: each such pack is refused where that is.

use std::ops::Range;

use dryfit::fault::Fault;
use dryfit::origin::Origin;
use dryfit::pack::schema::{RawBlock, RawRule, Text, ask_parts};
use dryfit::pack::{Formula, Words, braced};
use dryfit::rules::Library;
use dryfit::source::SourceId;
use dryfit::syntax::tree::{Expr, ExprKind};

/// Texts get places so far apart that a fault tells which it is in.
const APART: usize = 10_000;

/// How formulas stand in a text.
#[derive(Clone, Copy)]
enum Holds {
    Formula,
    /// In braces.
    Message,
    /// A field, and perhaps where it is asked for.
    Ask,
}

impl Holds {
    fn formulas(self, text: &str) -> Vec<Range<usize>> {
        match self {
            Self::Formula => std::iter::once(0..text.len()).collect(),
            Self::Message => braced(text).map(|value| value.formula).collect(),
            Self::Ask => {
                let (fact, only) = ask_parts(text);
                std::iter::once(fact).chain(only).collect()
            }
        }
    }
}

/// What of a pack has formulas.
trait Formulas: Clone {
    fn texts(&mut self) -> Vec<(Holds, &mut Text)>;
    fn faults(&self, library: &Library, name: &Text) -> Vec<Fault>;
}

impl Formulas for RawRule {
    fn texts(&mut self) -> Vec<(Holds, &mut Text)> {
        let steps = self.r#where.0.iter_mut().map(|(_, step)| step);
        let holds = self.holds.0.iter_mut().map(|(_, holds)| holds);
        let formulas = self.when.iter_mut().chain(steps).chain(holds).chain(&mut self.aim).chain(&mut self.change);
        let messages = [&mut self.says, &mut self.doubts, &mut self.help].into_iter();
        let messages = messages.flat_map(|by_level| by_level.0.iter_mut().map(|(_, text)| text));
        let asks = self.asks.iter_mut().map(|text| (Holds::Ask, text));
        let formulas = formulas.map(|text| (Holds::Formula, text));
        formulas.chain(messages.map(|text| (Holds::Message, text))).chain(asks).collect()
    }

    fn faults(&self, library: &Library, name: &Text) -> Vec<Fault> {
        library.faults_of(name, self)
    }
}

impl Formulas for RawBlock {
    fn texts(&mut self) -> Vec<(Holds, &mut Text)> {
        let fields = self.fields.0.iter_mut().map(|(_, field)| field);
        let fields = fields.flat_map(|field| {
            let bounds = [&mut field.above, &mut field.at_least, &mut field.at_most];
            [&mut field.default, &mut field.step, &mut field.step_up].into_iter().chain(bounds).flatten()
        });
        let body = self.body.iter_mut().flat_map(|body| {
            let sizes = [&mut body.ahead, &mut body.behind, &mut body.inward];
            sizes.into_iter().chain([&mut body.thick, &mut body.wide, &mut body.round]).flatten()
        });
        let detail = self.detail.iter_mut().flat_map(|detail| &mut detail.of);
        let derives = self.derives.0.iter_mut().map(|(_, derived)| &mut derived.is);
        fields.chain(body).chain(detail).chain(derives).map(|text| (Holds::Formula, text)).collect()
    }

    fn faults(&self, library: &Library, name: &Text) -> Vec<Fault> {
        library.faults_of_block(name, self)
    }
}

/// A rule or block with one part of one text exchanged.
struct Mutant<T> {
    whole: T,
    /// Where the new part is.
    at: Range<usize>,
    /// As it was, with the formula that it was in.
    was: String,
}

impl<T: Formulas> Mutant<T> {
    fn new(whole: &T, index: usize, part: &Range<usize>, new: &str) -> Self {
        let mut whole = whole.clone();
        let (mut at, mut was) = (0..0, String::new());
        for (number, (_, text)) in whole.texts().into_iter().enumerate() {
            let start = (number + 1) * APART;
            if number == index {
                let old = text.value.to_string();
                was = format!("{} in {old}", &old[part.clone()]);
                at = start + part.start..start + part.start + new.len();
                text.value = words(format!("{}{new}{}", &old[..part.start], &old[part.end..]));
            }
            text.at = Some((u32::try_from(start).unwrap(), u32::try_from(text.value.len()).unwrap()));
        }
        Self { whole, at, was }
    }

    /// Whether a fault is told at the part that was exchanged.
    fn is_told_at(&self, faults: &[Fault]) -> bool {
        let is_at = |range: Range<usize>| range.start <= self.at.start && self.at.end <= range.end;
        faults.iter().any(|fault| is_at(fault.at.range()) || fault.others.iter().any(|(at, _)| is_at(at.range())))
    }

    /// Whether a fault is told in any of the texts.
    fn is_told(faults: &[Fault]) -> bool {
        faults.iter().any(|fault| fault.at.range().start >= APART)
    }
}

/// What to put in place of a part of a formula, and where.
type Change = fn(&Expr) -> Vec<(Range<usize>, String)>;

fn words(text: String) -> Words {
    serde_json::from_value(serde_json::Value::String(text)).unwrap()
}

/// Every mutant.
fn mutants<T: Formulas>(whole: &T, change: Change) -> Vec<Mutant<T>> {
    let mut all = Vec::new();
    for (index, (holds, text)) in whole.clone().texts().into_iter().enumerate() {
        for formula in holds.formulas(&text.value) {
            let part = Formula::part(words(text.value[formula.clone()].to_owned()), SourceId(0), Origin::default());
            let mut changes = Vec::new();
            part.expr().unwrap().walk(&mut |part| changes.extend(change(part)));
            for (range, new) in changes {
                let range = formula.start + range.start..formula.start + range.end;
                all.push(Mutant::new(whole, index, &range, &new));
            }
        }
    }
    all
}

/// What is left of the faults of all mutants after `look`, which says what is amiss with one; and how many there were.
fn each(change: Change, amiss: fn(bool, bool) -> bool) -> (usize, Vec<String>) {
    let (library, packs) = (Library::built_in(), dryfit::pack::built_in());
    let mut found = (0, Vec::new());
    let shared = |name: &Text| packs.iter().find_map(|(_, pack)| pack.shared.get(&name.value)).unwrap().clone();
    for (_, pack) in &packs {
        let rules =
            pack.rules.0.iter().filter(|(_, rule)| rule.reading.is_none()).map(|(name, rule)| (name, rule.clone()));
        for (name, mut rule) in rules.chain(pack.tasks.0.iter().map(|(name, task)| (name, task.as_rule()))) {
            for group in std::mem::take(&mut rule.shares) {
                let group = shared(&group);
                rule.limits.0.extend(group.limits.0);
                rule.r#where.0.extend(group.r#where.0);
            }
            of_one(&library, name, &rule, change, amiss, &mut found);
        }
        for (name, block) in &pack.blocks.0 {
            of_one(&library, name, block, change, amiss, &mut found);
        }
    }
    found
}

fn of_one<T: Formulas>(
    library: &Library,
    name: &Text,
    whole: &T,
    change: Change,
    amiss: fn(bool, bool) -> bool,
    (count, found): &mut (usize, Vec<String>),
) {
    for mutant in mutants(whole, change) {
        let faults = mutant.whole.faults(library, name);
        *count += 1;
        if amiss(mutant.is_told_at(&faults), Mutant::<T>::is_told(&faults)) {
            found.push(format!("{}: {}", name.value, mutant.was));
        }
    }
}

fn names(part: &Expr) -> Vec<(Range<usize>, String)> {
    match &part.kind {
        ExprKind::Path(path) => path.names.iter().map(|name| (name.span.range(), "qqq".to_owned())).collect(),
        ExprKind::Call { name, .. } => vec![(name.span.range(), "qqq".to_owned())],
        _ => Vec::new(),
    }
}

fn numbers(part: &Expr) -> Vec<(Range<usize>, String)> {
    match part.kind {
        ExprKind::Number { value, .. } => vec![(part.span.range(), format!("{value} ppm/K"))],
        _ => Vec::new(),
    }
}

fn quoted(part: &Expr) -> Vec<(Range<usize>, String)> {
    match part.kind {
        ExprKind::Text(_) => vec![(part.span.range(), "\"qqq\"".to_owned())],
        _ => Vec::new(),
    }
}

fn snapshot(name: &str, (count, found): &(usize, Vec<String>)) {
    insta::with_settings!({snapshot_path => "../snapshots/rules", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, format!("{} of {count}\n{}", found.len(), found.join("\n")));
    });
}

#[test]
fn an_unknown_name_anywhere_is_refused_where_it_stands() {
    let (count, found) = each(names, |there, _| !there);
    assert_eq!(found, [""; 0], "of {count}");
    assert!(count > 2500, "only {count} names were tried");
}

/// Where a number only makes the whole formula one of another dimension, that is told where the formula is used.
#[test]
fn a_number_of_another_dimension_anywhere_is_refused() {
    let found = each(numbers, |_, told| !told);
    assert!(found.0 > 300, "only {} numbers were tried", found.0);
    snapshot("free-numbers", &found);
}

/// What a sentence only says can be any word; so can what is handed on to one.
#[test]
fn an_unknown_word_in_quotes_is_refused_where_something_is_decided_by_it() {
    let (count, mut found) = each(quoted, |_, told| !told);
    assert!(count > 300, "only {count} words were tried");
    found.retain(|told| !told.contains('{'));
    snapshot("free-words", &(count, found));
}
