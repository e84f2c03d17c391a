//! The linear algebra of the deviations: features and objects are eliminated one by one, since none touches another, so that one
//! Cholesky decomposition is left of what they share: bias, scale, jobs and jaws. Work grows with the readings, and with the
//! cube of the jobs. Variances are in units of the profile's own variance.

mod group;
mod shared;
mod sparse;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use super::deviations::{Deviation, Prior};
use super::matrix::Matrix;
use group::{Group, Row};
use shared::Shared;
use sparse::{Sparse, add, dot, listed};

/// No reading is exact: its variance is at least this share of the machine's.
const LEAST_VARIANCE: f64 = 1e-9;

/// A linear target: its mean above the prior's, and its variance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub mean: f64,
    pub variance: f64,
}

impl Part {
    pub(super) fn and(self, variance: f64) -> Self {
        Self { variance: self.variance + variance, ..self }
    }
}

/// What is known of one feature: the weight of its readings, how they hang together with what is shared, their weighted sum.
#[derive(Debug, Default)]
struct Eliminated {
    weight: f64,
    tied: Vec<(usize, f64)>,
    sum: f64,
}

#[derive(Debug)]
pub(super) struct Elimination {
    shared: Shared,
    means: Vec<f64>,
    covariance: Matrix,
    features: BTreeMap<usize, Eliminated>,
    groups: BTreeMap<(usize, usize), Group>,
    /// Of each reading the group and the row in it.
    places: Vec<((usize, usize), usize)>,
    feature_share: f64,
    job_share: f64,
    object_share: f64,
    pub squares: f64,
}

impl Elimination {
    pub(super) fn new(prior: &Prior, readings: &[Deviation], jaws: &[f64]) -> Self {
        let shared = Shared::new(prior, readings, jaws);
        let (unit, object_share) = (prior.spread * prior.spread, prior.shares.object().max(0.0));
        let (mut groups, mut places) = (BTreeMap::<_, Group>::new(), Vec::new());
        for reading in readings {
            let key = (reading.feature, reading.object);
            let group = groups.entry(key).or_default();
            group.common = object_share;
            places.push((key, group.rows.len()));
            let variance = (reading.variance / unit).max(LEAST_VARIANCE);
            group.rows.push(Row { shared: shared.row(reading), off: reading.value - prior.bias, variance });
        }
        groups.values_mut().for_each(Group::settle);
        let inverses: Vec<f64> = shared.variances.iter().map(|variance| 1.0 / variance).collect();
        let mut elimination = Self {
            means: vec![0.0; inverses.len()],
            covariance: Matrix::diagonal(&inverses),
            shared,
            features: BTreeMap::new(),
            groups,
            places,
            feature_share: prior.shares.feature,
            job_share: prior.shares.job,
            object_share,
            squares: 0.0,
        };
        elimination.solve();
        elimination
    }

    fn solve(&mut self) {
        let mut sums = vec![0.0; self.means.len()];
        let mut of_features: BTreeMap<usize, Sparse> = BTreeMap::new();
        for ((feature, _), group) in &self.groups {
            let (tied, off, back) = (group.shared_sum(), group.off_sum(), group.taken_back());
            for row in &group.rows {
                self.covariance.add_product(&row.shared, &row.shared, 1.0 / row.variance);
                self.squares += row.off * row.off / row.variance;
                for (number, value) in &row.shared {
                    sums[*number] += value * row.off / row.variance;
                }
            }
            let list = listed(&tied);
            self.covariance.add_product(&list, &list, -back);
            for (number, value) in &list {
                sums[*number] -= back * value * off;
            }
            self.squares -= back * off * off;
            let left = 1.0 - back * group.weights();
            let eliminated = self.features.entry(*feature).or_default();
            eliminated.weight += group.weights() * left;
            eliminated.sum += off * left;
            add(of_features.entry(*feature).or_default(), &list, left);
        }
        for (feature, eliminated) in &mut self.features {
            eliminated.tied = of_features.get(feature).map(listed).unwrap_or_default();
            if self.feature_share <= 0.0 {
                continue;
            }
            eliminated.weight += 1.0 / self.feature_share;
            self.covariance.add_product(&eliminated.tied, &eliminated.tied, -1.0 / eliminated.weight);
            let share = eliminated.sum / eliminated.weight;
            for (number, value) in &eliminated.tied {
                sums[*number] -= value * share;
            }
            self.squares -= eliminated.sum * share;
        }
        let covariance = self.covariance.inverse();
        self.means = covariance.times(&sums);
        self.covariance = covariance;
        self.squares -= sums.iter().zip(&self.means).map(|(sum, mean)| sum * mean).sum::<f64>();
    }

    /// A target of what is shared, with a multiple of a feature's own part.
    fn target(&self, shared: &[(usize, f64)], feature: usize, multiple: f64) -> Part {
        let Some(known) = self.features.get(&feature).filter(|_| self.feature_share > 0.0) else {
            let own = self.feature_share * multiple * multiple;
            return Part { mean: dot(shared, &self.means), variance: self.covariance.form(shared) + own };
        };
        let mean = dot(shared, &self.means) + multiple * (known.sum - dot(&known.tied, &self.means)) / known.weight;
        let mut moved: Sparse = shared.iter().copied().collect();
        add(&mut moved, &known.tied, -multiple / known.weight);
        Part { mean, variance: self.covariance.form(&listed(&moved)) + multiple * multiple / known.weight }
    }

    pub(super) fn bias(&self, length: f64) -> Part {
        let shared = self.shared.machine(length);
        Part { mean: dot(&shared, &self.means), variance: self.covariance.form(&shared) }
    }

    pub(super) fn scale(&self) -> Part {
        let shared: Vec<(usize, f64)> = self.shared.scale.map(|number| (number, 1.0)).into_iter().collect();
        Part { mean: dot(&shared, &self.means), variance: self.covariance.form(&shared) }
    }

    pub(super) fn next(&self, feature: usize, length: f64) -> Part {
        self.target(&self.shared.machine(length), feature, 1.0).and(self.job_share + self.object_share)
    }

    pub(super) fn here(&self, feature: usize, job: usize, object: usize, length: f64) -> Part {
        let mut shared: Sparse = self.shared.machine(length).into_iter().collect();
        let number = self.shared.jobs.get(&job);
        add(&mut shared, &number.map(|number| (*number, 1.0)).into_iter().collect::<Vec<_>>(), 1.0);
        let strange_job = if number.is_some() { 0.0 } else { self.job_share };
        let Some(group) = self.groups.get(&(feature, object)) else {
            return self.target(&listed(&shared), feature, 1.0).and(strange_job + self.object_share);
        };
        // What the object's own part takes of each reading's deviation from all else.
        let own = |row: &Row| match group.rows.len() {
            1 => self.object_share / row.variance,
            _ => group.taken_back() / row.variance,
        };
        let mut taken = 0.0;
        let mut known = 0.0;
        for row in &group.rows {
            taken += own(row);
            known += own(row) * row.off;
            add(&mut shared, &row.shared, -own(row));
        }
        let part = self.target(&listed(&shared), feature, 1.0 - taken);
        Part { mean: part.mean + known, variance: part.variance + self.object_share * (1.0 - taken) }
    }

    /// A reading's deviation from all others times its precision, and that precision: its element of the inverse's product with
    /// the deviations, and of the inverse's diagonal.
    pub(super) fn left_out(&self, index: usize) -> Option<(f64, f64)> {
        let (key, at) = self.places.get(index)?;
        let (group, feature) = (self.groups.get(key)?, key.0);
        let (row, back) = (group.rows.get(*at)?, group.taken_back());
        let weight = 1.0 / row.variance;
        let (own, among) = (weight, back * weight);
        let mut shared = Sparse::new();
        add(&mut shared, &row.shared, own);
        add(&mut shared, &listed(&group.shared_sum()), -among);
        let of_feature = own - among * group.weights();
        let off = own * row.off - among * group.off_sum();
        let precision = own - among * weight;
        let known = self.target(&listed(&shared), feature, of_feature);
        Some((off - known.mean, precision - known.variance))
    }
}
