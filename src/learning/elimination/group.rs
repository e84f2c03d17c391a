//! The readings of one feature on one object, which share its own part.

use super::sparse::{Sparse, add};

/// The readings of one feature on one object.
#[derive(Debug, Default)]
pub(super) struct Group {
    pub(super) rows: Vec<Row>,
    /// The variance that its rows have in common besides.
    pub(super) common: f64,
}

#[derive(Debug)]
pub(super) struct Row {
    pub(super) shared: Vec<(usize, f64)>,
    pub(super) off: f64,
    pub(super) variance: f64,
}

impl Group {
    /// With one reading, what is in common is its own.
    pub(super) fn settle(&mut self) {
        if let [row] = self.rows.as_mut_slice() {
            row.variance += self.common;
            self.common = 0.0;
        }
    }

    pub(super) fn weights(&self) -> f64 {
        self.rows.iter().map(|row| 1.0 / row.variance).sum()
    }

    /// What the variance in common takes back of a product of two weighted sums (Sherman and Morrison's formula).
    pub(super) fn taken_back(&self) -> f64 {
        self.common / (1.0 + self.common * self.weights())
    }

    /// The weighted sum of the rows of what is shared.
    pub(super) fn shared_sum(&self) -> Sparse {
        let mut sum = Sparse::new();
        for row in &self.rows {
            add(&mut sum, &row.shared, 1.0 / row.variance);
        }
        sum
    }

    pub(super) fn off_sum(&self) -> f64 {
        self.rows.iter().map(|row| row.off / row.variance).sum()
    }
}
