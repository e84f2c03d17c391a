//! Every number on a page is one that the ledger works with, that the sheet or a profile states, or that the text of a task
//! has; and the limits of the table are the readings at which the ledger turns.

use std::collections::BTreeSet;
use std::path::Path;

use dryfit::checklist::{checklist, drawings, page};
use dryfit::files::Disk;
use dryfit::inspect::Analysis;
use dryfit::measures::{Measure, measures};
use dryfit::model::{Model, Value};
use dryfit::quantity::{Dimension, Quantity};
use dryfit::rules::{Library, derived, ledger};
use dryfit::workspace::Workspace;

use super::DEMOS;

/// Numbers in a text with how many digits they show after the point. Digits in a name, as in `M3`, are none.
fn numbers(text: &str) -> Vec<(f64, usize)> {
    let signs: Vec<char> = text.chars().collect();
    let (mut found, mut at) = (Vec::new(), 0);
    while at < signs.len() {
        let in_word = at > 0 && (signs[at - 1].is_alphanumeric() || "-_&#;".contains(signs[at - 1]));
        if !signs[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let end =
            (at..signs.len()).find(|end| !(signs[*end].is_ascii_digit() || signs[*end] == '.')).unwrap_or(signs.len());
        let number: String = signs[at..end].iter().collect::<String>().trim_end_matches('.').to_owned();
        let goes_on = signs.get(end).is_some_and(|sign| sign.is_alphabetic() || *sign == '-');
        if let (false, false, Ok(value)) = (in_word, goes_on, number.parse()) {
            found.push((value, number.split_once('.').map_or(0, |(_, after)| after.len())));
        }
        at = end;
    }
    found
}

/// What is written on a page, without drawings, styles and tags.
fn written(page: &str) -> String {
    let without = |text: &str, from: &str, to: &str| {
        let mut parts = text.split(from);
        let first = parts.next().unwrap().to_owned();
        parts.fold(first, |all, part| all + " " + part.split_once(to).map_or("", |(_, after)| after))
    };
    let text = without(&without(page, "<svg", "</svg>"), "<head>", "</head>");
    text.split('<').map(|part| part.split_once('>').map_or(part, |(_, after)| after)).collect::<Vec<_>>().join(" ")
}

fn push(known: &mut BTreeSet<u64>, quantity: &Quantity) {
    let shown = quantity.shown_unit().map_or(quantity.value, |unit| unit.show(quantity.value));
    for value in [shown, quantity.value, quantity.value * 100.0, 2.0 * quantity.uncertainty()] {
        known.insert(value.abs().to_bits());
    }
    // What weighs as much, by the standard acceleration of free fall (3rd CGPM, 1901).
    if quantity.dimension == Dimension::FORCE {
        known.insert((quantity.value / 9.806_65).to_bits());
    }
}

/// Everything that a page may say of a sheet: its fields, drawn and printed, what follows from them, and the ledger.
fn known(analysis: &Analysis) -> Vec<f64> {
    let model = &analysis.model;
    let mut known = BTreeSet::new();
    for (id, feature) in model.ids() {
        for field in &feature.fields {
            for value in [model.value_of(id, field), model.printed(id, field)].into_iter().flatten() {
                match value {
                    Value::Quantity(quantity) => push(&mut known, &quantity),
                    Value::Size(size) | Value::Place(size) => size.iter().for_each(|one| push(&mut known, one)),
                    other => known.extend(numbers(&other.text()).iter().map(|(number, _)| number.to_bits())),
                }
            }
        }
        for follows in &feature.block.derives {
            if let Some(quantity) = derived(model, id, &follows.name) {
                push(&mut known, &quantity);
            }
        }
        if let Some((low, high)) = model.height(id) {
            known.extend([low.to_bits(), high.to_bits()]);
        }
        known.extend(numbers(&feature.name).iter().map(|(number, _)| number.to_bits()));
    }
    for entry in ledger(analysis.library, model, None) {
        known.extend(numbers(&format!("{entry:?}")).iter().map(|(number, _)| number.to_bits()));
    }
    let basis = analysis.basis();
    let counts = [
        basis.hold,
        basis.raised,
        basis.features,
        basis.not_asked.len(),
        basis.not_asked.len() - basis.not_asked.len().min(3),
    ];
    known.extend(counts.map(|count| f64::from(u32::try_from(count).unwrap()).to_bits()));
    for finding in analysis.findings() {
        known.extend(numbers(&format!("{finding:?}")).iter().map(|(number, _)| number.to_bits()));
    }
    known.into_iter().map(f64::from_bits).collect()
}

/// What pages say of themselves: the bar of 100 mm, scales, the third layer and the like.
const OWN: [f64; 8] = [0.1, 1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 100.0];

/// Whether a number is one of these, rounded to the digits that it shows or to two that count, as sentences have them.
fn is_known(known: &[f64], (number, digits): (f64, usize)) -> bool {
    let rounded = |value: f64| format!("{value:.digits$}").parse::<f64>().unwrap();
    let rough = |value: f64| format!("{value:.1e}").parse::<f64>().unwrap();
    let same = |value: f64| (value - number).abs() < 1e-9 * number.max(1.0);
    known.iter().any(|one| same(*one) || (digits > 0 && same(rounded(*one))) || same(rough(*one)))
}

#[test]
fn every_number_on_a_page_is_known() {
    let tasks = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/bench.yaml")).unwrap();
    let tasks: Vec<f64> = numbers(&tasks).into_iter().map(|(number, _)| number).chain(OWN).collect();
    let (mut met, mut passes_by_chance) = (0, 0);
    for name in DEMOS {
        let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
        let path = Path::new("demo-data").join(format!("{name}.dryfit"));
        let workspace = Workspace::of(&disk, [&path], None).unwrap();
        let sheet = workspace.sheet(&path).unwrap();
        let analysis = sheet.analysis();
        let mut known = known(&analysis);
        // The limits of the table are held against the ledger in the test below.
        let measures = measures(analysis.library, &analysis.model);
        known.extend(measures.iter().flat_map(|measure| &measure.limits).map(|limit| limit.value));
        known.extend(tasks.iter());
        let digest = checklist(sheet.analysis(), None, None).0.head.digest;
        let (checklist, model) = checklist(analysis, None, None);
        let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
        let text = written(&page(&checklist, &drawings)).replace(&digest, "").replace(env!("CARGO_PKG_VERSION"), "");
        for number in numbers(&text) {
            assert!(is_known(&known, number), "{name}: {number:?} is from nowhere, in {text}");
            met += 1;
            // The same number a little off: how often would the test not see it?
            let off =
                format!("{:.*}", number.1, number.0 * 1.07 + 0.6 * 0.1_f64.powi(i32::try_from(number.1).unwrap()));
            passes_by_chance += usize::from(is_known(&known, (off.parse().unwrap(), number.1)));
        }
    }
    assert!(met > 400, "{met}");
    assert!(5 * passes_by_chance < 3 * met, "{passes_by_chance} of {met} wrong numbers would pass");
}

/// What the table says of a dimension is what the ledger's own functions say of it: drawn, as it prints, and how far off.
#[test]
fn a_row_has_the_ledgers_values() {
    let mut met = 0;
    for name in DEMOS {
        let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
        let path = Path::new("demo-data").join(format!("{name}.dryfit"));
        let workspace = Workspace::of(&disk, [&path], None).unwrap();
        let sheet = workspace.sheet(&path).unwrap();
        let (checklist, model) = checklist(sheet.analysis(), None, None);
        for row in checklist.parts.iter().flat_map(|part| &part.rows) {
            let (id, field) = model
                .ids()
                .flat_map(|(id, feature)| feature.fields.iter().map(move |field| (id, field)))
                .find(|(id, field)| row.path.starts_with(&model.field_path(*id, field)))
                .unwrap();
            let extent = ["x", "y", "z"].iter().position(|axis| row.path.ends_with(&format!(".{axis}")));
            let one = |value: Value| match (value, extent) {
                (Value::Quantity(quantity), _) => quantity,
                (Value::Size(size), Some(extent)) => size[extent].clone(),
                (other, _) => panic!("{}: {other:?}", row.path),
            };
            let drawn = one(model.value_of(id, field).unwrap());
            let printed = one(model.printed(id, field).unwrap());
            let shown = |value: f64| format!("{value:.2} mm");
            let wanted = [shown(drawn.value), shown(printed.value), shown(2.0 * printed.uncertainty())];
            assert_eq!([&row.drawn, &row.expected, &row.within], wanted.each_ref(), "{name}: {}", row.path);
            met += 1;
        }
    }
    assert!(met > 15, "{met}");
}

/// What a sheet's ledger says of a comparison, with a text in the place of another.
fn holds(text: &str, rule: &str, about: &str) -> Vec<bool> {
    let library = Library::built_in();
    let analysis = Analysis::of_text(&library, "p.dryfit", text);
    let entries = ledger(&library, &analysis.model, None);
    let of = entries.iter().filter(|entry| entry.rule == rule && entry.about == about);
    of.flat_map(|entry| entry.comparisons.iter().map(|comparison| comparison.holds)).collect()
}

/// The place of what a sheet writes for a measured dimension.
fn stated(model: &Model, measure: &Measure) -> Option<std::ops::Range<usize>> {
    let feature = model.feature(measure.feature);
    let written = feature.fields[measure.field].written.as_ref()?;
    let own = measure.extent.is_none() && feature.like.is_none();
    own.then(|| written.value.span.start as usize..written.value.span.end as usize)
}

/// Drawn so much larger or smaller that the print is expected at the limit, a dimension turns its rule there: a twentieth
/// of a millimetre on either side the ledger says different things.
#[test]
fn the_ledger_turns_at_the_limits_of_the_table() {
    let library = Library::built_in();
    let mut met = 0;
    for name in DEMOS {
        let text = std::fs::read_to_string(
            Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(format!("{name}.dryfit")),
        )
        .unwrap();
        let analysis = Analysis::of_text(&library, "p.dryfit", &text);
        if analysis.is_broken {
            continue;
        }
        for measure in measures(&library, &analysis.model) {
            let Some(place) = stated(&analysis.model, &measure) else { continue };
            for limit in measure.limits.iter().filter(|limit| limit.decides()) {
                let drawn = |value: f64| {
                    let put = format!("{}{value} mm{}", &text[..place.start], &text[place.end..]);
                    holds(&put, &limit.rule, &limit.about)
                };
                let turns = |at: f64| drawn(at - 0.05) != drawn(at + 0.05);
                // By what the machine adds, or as drawn where the rule goes by the drawing.
                let by_print = measure.drawn.value + limit.value - measure.expected.value;
                assert!(turns(by_print) || turns(limit.value), "{name}: {} at {limit:?}", measure.path);
                met += 1;
            }
        }
    }
    assert!(met > 12, "{met}");
}
