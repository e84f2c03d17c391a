//! Every number of the tables against the standards' figures, and the other way round: no number of
//! a table stands without one, but for those listed here.

use std::collections::BTreeSet;

use dryfit::quantity::Unit;
use dryfit::rules::Library;
use dryfit::vocabulary::{CellUnit, Table};

/// Cells that the sources at hand do not give; their tables mark them as recalled or as practice.
const WITHOUT_REFERENCE: [&str; 5] =
    ["iso-273/M1.6", "iso-273/M3.5", "iso-4762/M12/head-knurled", "fit-classes/press", "fit-classes/snug/low"];
const PRACTICE_COLUMNS: [&str; 2] = ["/jams", "/rattles"];

fn number(table: &Table, row: &str, column: &str) -> f64 {
    let found = table.number(row, column).unwrap();
    let unit = table.columns.iter().find(|(name, _)| name == column).and_then(|(_, unit)| *unit);
    match unit {
        Some(CellUnit::Unit(unit)) => unit.show(found.value),
        _ => found.value,
    }
}

#[test]
fn every_reference_value_stands_in_its_table() {
    let library = Library::built_in();
    let mut reader = csv::Reader::from_reader(include_str!("tables.csv").as_bytes());
    let mut count = 0;
    for record in reader.records() {
        let record = record.unwrap();
        let [_, name, key, column, expected, unit] = std::array::from_fn(|index| record[index].to_owned());
        let table = &library.vocabulary.tables[name.as_str()];
        let expected: f64 = expected.parse().unwrap();
        let found = number(table, &key, &column);
        assert!((found - expected).abs() < 1e-9, "{name} {key} {column}: {found}, the source has {expected} {unit}");
        if unit != "ratio" {
            let stated = table.columns.iter().find(|(known, _)| *known == column).and_then(|(_, unit)| *unit);
            assert_eq!(stated, Unit::named(&unit).map(CellUnit::Unit), "{name} {column}");
        }
        count += 1;
    }
    assert!(count > 500, "only {count} values were looked at");
}

#[test]
fn every_number_of_a_table_has_a_reference_value() {
    let mut reader = csv::Reader::from_reader(include_str!("tables.csv").as_bytes());
    let known: BTreeSet<String> = reader.records().map(|record| record.unwrap()[0].to_owned()).collect();
    for table in Library::built_in().vocabulary.tables.values() {
        for (row, cells) in table.rows.iter().enumerate().map(|(at, row)| (row, table.cells(at))) {
            for ((column, unit), cell) in table.columns.iter().zip(cells) {
                let id = format!("{}/{row}/{column}", table.name);
                let excused = WITHOUT_REFERENCE.iter().any(|cell| id.starts_with(cell))
                    || PRACTICE_COLUMNS.iter().any(|column| id.ends_with(column));
                let is_number = unit.is_some() && cell.is_some();
                assert!(!is_number || excused || known.contains(&id), "{id} has no reference value");
            }
        }
    }
}

/// ISO 286-1: a range is over its first bound, up to and including its second.
#[test]
fn ranges_hold_their_upper_bound() {
    let library = Library::built_in();
    let grades = &library.vocabulary.tables["iso-286-1-grades"];
    let mm = Unit::named("mm").unwrap();
    let it7 = |size: f64| grades.number_at(&dryfit::quantity::Quantity::of(size, mm), "it7").unwrap().value;
    for (size, expected) in [(18.0, 0.018), (18.001, 0.021), (30.0, 0.021), (30.5, 0.025)] {
        assert!((it7(size) - expected).abs() < 1e-12, "{size}");
    }
}

/// ISO 286-1 (its table of formulas, from memory): m begins at IT7 less IT6, n at 5 D^0.34 um, with D the geometric mean of
/// the range in mm; rounded there to whole um. Up to 3 mm the standard makes an exception.
#[test]
fn shafts_m_and_n_follow_the_formulas_of_the_standard() {
    let tables = &Library::built_in().vocabulary.tables;
    let (grades, deviations) = (&tables["iso-286-1-grades"], &tables["iso-286-1-deviations"]);
    let steps = [3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0, 250.0, 315.0, 400.0, 500.0];
    for range in steps.windows(2) {
        let key = format!("{} to {}", range[0], range[1]);
        let m = number(grades, &key, "it7") - number(grades, &key, "it6");
        let n = 5.0 * f64::powf(range[0] * range[1], 0.17);
        assert!((number(deviations, &key, "shaft-m") - m).abs() < 1e-9, "m at {key}");
        assert!((number(deviations, &key, "shaft-n") - n).abs() < 1.0, "n at {key}: {n}");
    }
}

/// ISO 898-1 and ISO 724: the stress area is pi/4 ((d2 + d3)/2)^2, which for the metric profile is pi/4 (d - 0.9382 P)^2;
/// printed there to three digits.
#[test]
fn stress_areas_follow_from_diameter_and_pitch() {
    let table = &Library::built_in().vocabulary.tables["iso-261"];
    for row in &table.rows {
        let (d, pitch, area) =
            (number(table, row, "diameter"), number(table, row, "pitch"), number(table, row, "stress-area"));
        let formula = std::f64::consts::FRAC_PI_4 * f64::powi(d - 0.9382 * pitch, 2);
        assert!((area / formula - 1.0).abs() < 0.004, "{row}: {area} mm2, by the formula {formula}");
    }
}
