//! Snaps that run all the way round.

use uom::si::force::newton;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, share};
use crate::mechanics::annular::{self, Elastic, Tube};
use crate::mechanics::out_of_range::OutOfRange;
use crate::quantity::Dimension;

/// The parameters of the `ring-force-…` functions; `free-diameter` is that of the other face of the
/// tube that gives.
const RING: &[(&str, Dimension)] = &[
    ("undercut", LENGTH),
    ("diameter", LENGTH),
    ("free-diameter", LENGTH),
    ("from-end", LENGTH),
    ("modulus", STRESS),
    ("poisson", NONE),
];

fn force(elastic: Elastic, v: &[f64]) -> Result<f64, OutOfRange> {
    let tube = Tube { elastic, diameter: mm(v[1]), free_diameter: mm(v[2]), modulus: mpa(v[4]), poisson: share(v[5]) };
    Ok(annular::radial_force(&tube, mm(v[0]), mm(v[3]))?.get::<newton>())
}

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "ring-strain",
        takes: &[("undercut", LENGTH), ("diameter", LENGTH)],
        words: &[],
        gives: NONE,
        doc: "Strain around a ring that gives by an undercut on its diameter while its mate does not.",
        apply: |v| Ok(annular::strain(mm(v[0]), mm(v[1]))?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "ring-force-outer",
        takes: RING,
        words: &[],
        gives: FORCE,
        doc: "Force across a ring snap, all round, that widens the outer tube at a distance from its end.",
        apply: |v| force(Elastic::Hub, v),
    },
    MechanicsFunction {
        name: "ring-force-inner",
        takes: RING,
        words: &[],
        gives: FORCE,
        doc: "Force across a ring snap, all round, that narrows the inner tube at a distance from its end.",
        apply: |v| force(Elastic::Shaft, v),
    },
];
