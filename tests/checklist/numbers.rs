//! Every number on a page is traced to where it comes from (`traced`), and the limits of the table are the readings at which the
//! ledger turns.

use std::path::Path;

use dryfit::checklist::{checklist, drawings, page};
use dryfit::files::Disk;
use dryfit::inspect::Analysis;
use dryfit::measures::{Measure, measures};
use dryfit::model::{Model, Value};
use dryfit::rules::Library;
use dryfit::workspace::Workspace;

use super::DEMOS;
use super::traced::{Line, Traced, lines, mistaken, numbers};

/// How many numbers of a sheet's page were traced; how many of them, wrong by one in the last digit, were not found out; and in how
/// many lines a number is from nowhere.
fn traced(name: &str) -> (usize, usize, usize) {
    let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
    let path = Path::new("demo-data").join(format!("{name}.dryfit"));
    let workspace = Workspace::of(&disk, [&path], None).unwrap();
    let sheet = workspace.sheet(&path).unwrap();
    let (checklist, model) = checklist(sheet.analysis(), None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    let page = page(&checklist, &drawings);
    let analysis = sheet.analysis();
    let traced = Traced::of(&analysis, &checklist, &sheet.text);
    let (mut met, mut missed, mut nowhere, mut entry) = (0, 0, 0, 0);
    for line in lines(&page) {
        let Line { kind, text, .. } = &line;
        entry = if text.contains("No.") { 0 } else { entry + usize::from(kind == "tr") };
        if !traced.is_traced(&line, entry) {
            println!("{name}: from nowhere: {kind} {text:?}");
            nowhere += 1;
        }
        for at in numbers(text).into_iter().filter(|_| !text.contains(&checklist.head.digest)) {
            let wrong = Line { kind: kind.clone(), text: mistaken(text, &at), picture: line.picture.clone() };
            met += 1;
            if traced.is_traced(&wrong, entry) {
                println!("{name}: not found out: {:?}", wrong.text);
                missed += 1;
            }
        }
    }
    (met, missed, nowhere)
}

/// Every number of a page has its own origin, and one that is wrong by one in its last digit has none.
#[test]
fn every_number_on_a_page_is_known() {
    let all = DEMOS.map(traced);
    let sum = |of: fn(&(usize, usize, usize)) -> usize| all.iter().map(of).sum::<usize>();
    let (met, missed, nowhere) = (sum(|one| one.0), sum(|one| one.1), sum(|one| one.2));
    println!("{missed} of {met} wrong numbers would pass");
    assert_eq!(nowhere, 0, "so many lines have a number from nowhere");
    assert!(met > 600, "{met}");
    assert!(25 * missed < met, "{missed} of {met} wrong numbers would pass");
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
    let entries = analysis.ledger(None);
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
