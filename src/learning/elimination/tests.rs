//! The elimination against the whole matrix.

use super::*;
use crate::learning::deviations::{Learnt, Shares};

const SHARES: Shares = Shares { feature: 0.4, job: 0.2 };

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
        let inverse = covariance(&prior, &readings).inverse();
        let off: Vec<f64> = readings.iter().map(|reading| reading.value - prior.bias).collect();
        let weighted = inverse.times(&off);
        let squares: f64 = off.iter().zip(&weighted).map(|(off, weighted)| off * weighted).sum();
        let ours = Elimination::new(&prior, &readings, &JAWS);
        assert!((ours.squares - squares).abs() < 1e-12, "{} and {squares}", ours.squares);
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
