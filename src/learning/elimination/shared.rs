//! What readings share: bias, scale, jobs and jaws, each a number of its own.

use std::collections::BTreeMap;

use super::super::deviations::{Deviation, Prior};

/// The numbers of what readings share, where it varies.
#[derive(Debug, Default)]
pub(super) struct Shared {
    pub(super) variances: Vec<f64>,
    pub(super) bias: Option<usize>,
    pub(super) scale: Option<usize>,
    pub(super) jobs: BTreeMap<usize, usize>,
    pub(super) jaws: BTreeMap<usize, usize>,
}

impl Shared {
    pub(super) fn new(prior: &Prior, readings: &[Deviation], jaws: &[f64]) -> Self {
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
    pub(super) fn add(&mut self, variance: f64) -> Option<usize> {
        let number = self.variances.len();
        (variance > 0.0).then(|| {
            self.variances.push(variance);
            number
        })
    }

    pub(super) fn machine(&self, length: f64) -> Vec<(usize, f64)> {
        let bias = self.bias.map(|number| (number, 1.0));
        let scale = self.scale.filter(|_| length != 0.0).map(|number| (number, length));
        bias.into_iter().chain(scale).collect()
    }

    pub(super) fn row(&self, reading: &Deviation) -> Vec<(usize, f64)> {
        let mut row = self.machine(reading.length);
        row.extend(self.jobs.get(&reading.job).map(|number| (*number, 1.0)));
        row.extend(reading.jaws.and_then(|pair| self.jaws.get(&pair)).map(|number| (*number, 1.0)));
        row
    }
}
