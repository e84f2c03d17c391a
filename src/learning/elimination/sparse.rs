//! Vectors of which most numbers are zero.

use std::collections::BTreeMap;

pub(super) type Sparse = BTreeMap<usize, f64>;

pub(super) fn add(sum: &mut Sparse, vector: &[(usize, f64)], factor: f64) {
    for (number, value) in vector {
        *sum.entry(*number).or_insert(0.0) += factor * value;
    }
}

pub(super) fn listed(sparse: &Sparse) -> Vec<(usize, f64)> {
    sparse.iter().map(|(number, value)| (*number, *value)).collect()
}

pub(super) fn dot(vector: &[(usize, f64)], means: &[f64]) -> f64 {
    vector.iter().map(|(number, value)| value * means[*number]).sum()
}
