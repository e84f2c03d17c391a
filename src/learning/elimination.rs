//! The linear algebra of the deviations: features and objects are eliminated one by one, since none touches another, so that one
//! Cholesky decomposition is left of what they share: bias, scale, jobs and jaws. Work grows with the readings, and with the
//! cube of the jobs. Variances are in units of the profile's own variance.

use std::collections::BTreeMap;

use super::deviations::{Deviation, Prior};
use super::matrix::Matrix;

/// No reading is exact: its variance is at least this share of the machine's.
const LEAST_VARIANCE: f64 = 1e-9;

type Sparse = BTreeMap<usize, f64>;

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

/// The numbers of what readings share, where it varies.
#[derive(Debug, Default)]
struct Shared {
    variances: Vec<f64>,
    bias: Option<usize>,
    scale: Option<usize>,
    jobs: BTreeMap<usize, usize>,
    jaws: BTreeMap<usize, usize>,
}

/// The readings of one feature on one object.
#[derive(Debug, Default)]
struct Group {
    rows: Vec<Row>,
    /// The variance that its rows have in common besides.
    common: f64,
}

#[derive(Debug)]
struct Row {
    shared: Vec<(usize, f64)>,
    off: f64,
    variance: f64,
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
    pub ln_determinant: f64,
}

impl Shared {
    fn new(prior: &Prior, readings: &[Deviation], jaws: &[f64]) -> Self {
        let unit = prior.spread * prior.spread;
        let mut shared = Self::default();
        shared.bias = shared.add(prior.bias_u.powi(2) / unit);
        shared.scale = shared.add(prior.scale_u.powi(2) / unit);
        for reading in readings {
            if !shared.jobs.contains_key(&reading.job)
                && let Some(number) = shared.add(prior.shares.job)
            {
                shared.jobs.insert(reading.job, number);
            }
            let Some(pair) = reading.jaws.filter(|pair| !shared.jaws.contains_key(pair)) else { continue };
            let u = jaws.get(pair).copied().unwrap_or(0.0);
            if let Some(number) = shared.add(u * u / unit) {
                shared.jaws.insert(pair, number);
            }
        }
        shared
    }

    /// A number for what varies; none for what does not.
    fn add(&mut self, variance: f64) -> Option<usize> {
        let number = self.variances.len();
        (variance > 0.0).then(|| {
            self.variances.push(variance);
            number
        })
    }

    fn machine(&self, length: f64) -> Vec<(usize, f64)> {
        let bias = self.bias.map(|number| (number, 1.0));
        let scale = self.scale.filter(|_| length != 0.0).map(|number| (number, length));
        bias.into_iter().chain(scale).collect()
    }

    fn row(&self, reading: &Deviation) -> Vec<(usize, f64)> {
        let mut row = self.machine(reading.length);
        row.extend(self.jobs.get(&reading.job).map(|number| (*number, 1.0)));
        row.extend(reading.jaws.and_then(|pair| self.jaws.get(&pair)).map(|number| (*number, 1.0)));
        row
    }
}

impl Group {
    /// With one reading, what is in common is its own.
    fn settle(&mut self) {
        if let [row] = self.rows.as_mut_slice() {
            row.variance += self.common;
            self.common = 0.0;
        }
    }

    fn weights(&self) -> f64 {
        self.rows.iter().map(|row| 1.0 / row.variance).sum()
    }

    /// What the variance in common takes back of a product of two weighted sums (Sherman and Morrison's formula).
    fn taken_back(&self) -> f64 {
        self.common / (1.0 + self.common * self.weights())
    }

    /// The weighted sum of the rows of what is shared.
    fn shared_sum(&self) -> Sparse {
        let mut sum = Sparse::new();
        for row in &self.rows {
            add(&mut sum, &row.shared, 1.0 / row.variance);
        }
        sum
    }

    fn off_sum(&self) -> f64 {
        self.rows.iter().map(|row| row.off / row.variance).sum()
    }

    fn ln_determinant(&self) -> f64 {
        let own: f64 = self.rows.iter().map(|row| row.variance.ln()).sum();
        own + (self.common * self.weights()).ln_1p()
    }
}

fn add(sum: &mut Sparse, vector: &[(usize, f64)], factor: f64) {
    for (number, value) in vector {
        *sum.entry(*number).or_insert(0.0) += factor * value;
    }
}

fn listed(sparse: &Sparse) -> Vec<(usize, f64)> {
    sparse.iter().map(|(number, value)| (*number, *value)).collect()
}

fn dot(vector: &[(usize, f64)], means: &[f64]) -> f64 {
    vector.iter().map(|(number, value)| value * means[*number]).sum()
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
        let own: f64 = groups.values().map(Group::ln_determinant).sum();
        let ln_determinant = own + shared.variances.iter().map(|variance| variance.ln()).sum::<f64>();
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
            ln_determinant,
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
            self.ln_determinant += (self.feature_share * eliminated.weight).ln_1p();
            eliminated.weight += 1.0 / self.feature_share;
            self.covariance.add_product(&eliminated.tied, &eliminated.tied, -1.0 / eliminated.weight);
            let share = eliminated.sum / eliminated.weight;
            for (number, value) in &eliminated.tied {
                sums[*number] -= value * share;
            }
            self.squares -= eliminated.sum * share;
        }
        let (covariance, ln_determinant) = self.covariance.inverse();
        self.means = covariance.times(&sums);
        self.covariance = covariance;
        self.squares -= sums.iter().zip(&self.means).map(|(sum, mean)| sum * mean).sum::<f64>();
        self.ln_determinant += ln_determinant;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learning::deviations::{Learnt, SHARES, Shares};

    const JAWS: [f64; 2] = [0.017, 0.002];

    fn readings() -> Vec<Deviation> {
        // One feature read twice on one object with other jaws, copies on one plate, features alone and again.
        let places = [(0, 0, 0, 0), (0, 0, 0, 1), (0, 0, 1, 0), (1, 0, 1, 0), (1, 1, 2, 1), (2, 1, 2, 0), (0, 2, 3, 0)];
        let values = [-0.13, -0.11, -0.18, -0.05, -0.02, -0.3, -0.16];
        let reading = |((feature, job, object, jaws), value)| Deviation {
            feature,
            job,
            object,
            jaws: Some(jaws),
            length: 4.0 + 11.0 * value,
            value,
            variance: 1e-4 * (1.0 - value),
        };
        places.into_iter().zip(values).map(reading).collect()
    }

    /// The covariance matrix as the page of the model writes it, whole.
    fn covariance(prior: &Prior, readings: &[Deviation]) -> Matrix {
        let unit = prior.spread * prior.spread;
        let mut matrix = Matrix::diagonal(&vec![0.0; readings.len()]);
        let share = |holds: bool, share: f64| if holds { share } else { 0.0 };
        for (i, a) in readings.iter().enumerate() {
            for (j, b) in readings.iter().enumerate() {
                let machine = prior.bias_u.powi(2) / unit + prior.scale_u.powi(2) / unit * a.length * b.length;
                let parts = share(a.feature == b.feature, prior.shares.feature)
                    + share(a.job == b.job, prior.shares.job)
                    + share(a.feature == b.feature && a.object == b.object, prior.shares.object())
                    + share(a.jaws == b.jaws, JAWS[a.jaws.unwrap_or(0)].powi(2) / unit)
                    + share(i == j, a.variance / unit);
                matrix.add_product(&[(i, 1.0)], &[(j, 1.0)], machine + parts);
            }
        }
        matrix
    }

    #[test]
    fn it_is_the_whole_covariance_matrix_inverted() {
        for shares in [SHARES, Shares { feature: 0.0, job: 0.5 }, Shares { feature: 0.7, job: 0.0 }] {
            let prior = Prior { bias: -0.1, bias_u: 0.05, spread: 0.07, scale_u: 0.002, freedom: 6.0, shares };
            let readings = readings();
            let (inverse, ln_determinant) = covariance(&prior, &readings).inverse();
            let off: Vec<f64> = readings.iter().map(|reading| reading.value - prior.bias).collect();
            let weighted = inverse.times(&off);
            let squares: f64 = off.iter().zip(&weighted).map(|(off, weighted)| off * weighted).sum();
            let ours = Elimination::new(&prior, &readings, &JAWS);
            assert!((ours.squares - squares).abs() < 1e-12, "{} and {squares}", ours.squares);
            assert!((ours.ln_determinant - ln_determinant).abs() < 1e-9);
            for (index, known) in weighted.iter().enumerate() {
                let (found, precision) = ours.left_out(index).unwrap_or((f64::NAN, f64::NAN));
                assert!((found - known).abs() < 1e-9, "{index}: {found} and {known}");
                assert!((precision / inverse.at(index, index) - 1.0).abs() < 1e-9);
            }
            here_and_next(&prior, &readings, &inverse, &weighted);
        }
    }

    fn here_and_next(prior: &Prior, readings: &[Deviation], inverse: &Matrix, weighted: &[f64]) {
        let unit = prior.spread * prior.spread;
        let machine = |a: f64, b: f64| prior.bias_u.powi(2) / unit + prior.scale_u.powi(2) / unit * a * b;
        let learnt = Learnt::new(*prior, readings.to_vec(), &JAWS);
        for (feature, job, object, is_here) in
            [(0, 0, 0, true), (1, 0, 1, true), (2, 0, 1, true), (1, 9, 9, false), (7, 9, 9, false)]
        {
            let row: Vec<(usize, f64)> = (readings.iter().enumerate())
                .map(|(at, reading)| {
                    let feature = reading.feature == feature;
                    let mut value = machine(3.0, reading.length) + if feature { prior.shares.feature } else { 0.0 };
                    value += if reading.job == job { prior.shares.job } else { 0.0 };
                    value += if feature && reading.object == object { prior.shares.object() } else { 0.0 };
                    (at, value)
                })
                .collect();
            let mean = row.iter().map(|(at, value)| value * weighted[*at]).sum::<f64>() + prior.bias;
            let variance = machine(3.0, 3.0) + 1.0 - inverse.form(&row);
            let ours = if is_here { learnt.here(feature, job, object, 3.0) } else { learnt.next(feature, 3.0) };
            assert!((ours.mean - mean).abs() < 1e-9, "{feature} {object}: {} and {mean}", ours.mean);
            let spread = learnt.spread();
            assert!((ours.u() / (spread * variance.sqrt()) - 1.0).abs() < 1e-9, "{feature} {object}");
        }
    }
}
