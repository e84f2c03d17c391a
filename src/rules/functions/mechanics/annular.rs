//! Snaps that run all the way round.

use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, share};
use crate::mechanics::annular::{self, Elastic};
use crate::mechanics::out_of_range::OutOfRange;
use crate::quantity::Dimension;

/// The parameters of the `ring-force-…` functions; `free-diameter` is that of the other face of the
/// tube that gives.
const RING: &[(&str, Dimension)] =
    &[("undercut", LENGTH), ("diameter", LENGTH), ("free-diameter", LENGTH), ("modulus", STRESS), ("poisson", NONE)];

fn force(elastic: Elastic, v: &[f64]) -> Result<f64, OutOfRange> {
    let factor = annular::end_factor(elastic, mm(v[1]), mm(v[2]), share(v[4]))?;
    Ok(annular::radial_force(mm(v[0]), mm(v[1]), mpa(v[3]), factor)?.get::<newton>())
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
        doc: "Force across a ring snap near its tube's end where the outer tube widens.",
        apply: |v| force(Elastic::Hub, v),
    },
    MechanicsFunction {
        name: "ring-force-inner",
        takes: RING,
        words: &[],
        gives: FORCE,
        doc: "Force across a ring snap near its tube's end where the inner tube narrows.",
        apply: |v| force(Elastic::Shaft, v),
    },
    MechanicsFunction {
        name: "ring-remote-distance",
        takes: &[("diameter", LENGTH), ("wall", LENGTH)],
        words: &[],
        gives: LENGTH,
        doc: "Distance from a tube's end beyond which the whole tube holds a ring snap shut: 1.8 sqrt(d s).",
        apply: |v| Ok(annular::remote_distance(mm(v[0]), mm(v[1]))?.get::<millimeter>()),
    },
];
