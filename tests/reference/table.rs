//! Reading the tables of reference values.

use std::collections::BTreeMap;

/// A value of `mechanics.csv` or `computed.csv`.
pub struct Row {
    pub id: String,
    pub quantity: String,
    pub inputs: BTreeMap<String, String>,
    pub expected: f64,
    pub tolerance: f64,
    /// Half a unit of the last printed digit.
    rounding: f64,
}

pub fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<Row> = reader.records().map(|record| row(&record.unwrap())).collect();
    assert!(!rows.is_empty(), "an empty table checks nothing");
    rows
}

fn row(record: &csv::StringRecord) -> Row {
    let inputs = record[2].split(';').filter_map(|word| word.split_once('='));
    Row {
        id: record[0].to_string(),
        quantity: record[1].to_string(),
        inputs: inputs.map(|(k, v)| (k.to_string(), v.to_string())).collect(),
        expected: record[3].parse().unwrap(),
        tolerance: record[4].parse().unwrap(),
        rounding: rounding(&record[3]),
    }
}

/// Half a unit of the last printed digit.
pub fn rounding(number: &str) -> f64 {
    let (digits, power) = number.split_once(['e', 'E']).unwrap_or((number, "0"));
    let decimals = digits.split_once('.').map_or(0, |(_, after)| after.len());
    let power = power.parse::<i32>().unwrap() - i32::try_from(decimals).unwrap();
    0.5 * 10.0_f64.powi(power)
}

impl Row {
    pub fn number(&self, name: &str) -> f64 {
        let text = self.inputs.get(name).unwrap_or_else(|| panic!("{}: no {name}", self.id));
        text.parse().unwrap()
    }

    pub fn word(&self, name: &str) -> &str {
        &self.inputs[name]
    }

    /// Relative error of `found`, less what the printed digits leave open.
    pub fn error(&self, found: f64) -> f64 {
        let error = (found - self.expected).abs();
        assert!(error.is_finite(), "{}: {found}", self.id);
        (error - self.rounding).max(0.0) / self.expected.abs().max(1e-300)
    }

    pub fn assert_within(&self, found: f64, tolerance: f64) {
        let error = self.error(found);
        assert!(
            error <= tolerance,
            "{}: found {found}, expected {} within {tolerance}, off by {error:.2e}",
            self.id,
            self.expected
        );
    }
}

/// Largest error of each quantity, for the record that the tests print.
#[derive(Default)]
pub struct Worst(BTreeMap<String, (f64, String)>);

impl Worst {
    pub fn note(&mut self, row: &Row, quantity: &str, found: f64) {
        let error = row.error(found);
        let worst = self.0.entry(quantity.to_string()).or_default();
        if error >= worst.0 {
            *worst = (error, row.id.clone());
        }
    }

    pub fn print(&self, table: &str) {
        for (quantity, (error, id)) in &self.0 {
            println!("{table}: {quantity}: largest error {:.4} % ({id})", 100.0 * error);
        }
    }
}
