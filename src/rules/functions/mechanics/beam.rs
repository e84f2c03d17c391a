//! Beams under a load across them.

use uom::si::length::millimeter;
use uom::si::pressure::megapascal;

use super::MechanicsFunction;
use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, newtons};
use crate::mechanics::beam::{self, Beam, BeamBending, Load, Support};
use crate::mechanics::out_of_range::OutOfRange;
use crate::quantity::Dimension;

/// The parameters of the `beam-…` functions. `clamps` is how many ends are clamped: 0 for a beam that rests on both, 1 for
/// a cantilever, 2 for both. `place` is how the load acts: 1 at the free end, 0.5 at the centre, 0 spread, 2 so far from the
/// root as `from-root` says, which counts there alone.
const BEAM: &[(&str, Dimension)] = &[
    ("length", LENGTH),
    ("width", LENGTH),
    ("height", LENGTH),
    ("modulus", STRESS),
    ("ends", NONE),
    ("place", NONE),
    ("from-root", LENGTH),
    ("force", FORCE),
];

fn bent(v: &[f64]) -> Result<BeamBending, OutOfRange> {
    let support = match v[4] {
        clamps if clamps < 0.5 => Support::Simple,
        clamps if clamps < 1.5 => Support::Cantilever,
        _ => Support::Fixed,
    };
    let load = match v[5] {
        place if place < 0.25 => Load::Spread,
        place if place < 0.75 => Load::Centre,
        place if place < 1.5 => Load::End,
        _ => Load::At(mm(v[6])),
    };
    let beam = Beam { length: mm(v[0]), width: mm(v[1]), height: mm(v[2]), modulus: mpa(v[3]), support };
    beam::bend(&beam, load, newtons(v[7]))
}

/// How a beam is held, and where its load acts.
const HELD: &[(&str, &[(&str, f64)])] = &[
    ("ends", &[("resting", 0.0), ("cantilever", 1.0), ("clamped", 2.0)]),
    ("place", &[("spread", 0.0), ("centre", 0.5), ("end", 1.0), ("along", 2.0)]),
];

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "beam-stress",
        takes: BEAM,
        words: HELD,
        gives: STRESS,
        doc: "Largest bending stress of a solid rectangular beam; its ends are resting, cantilever or clamped, its load is at the end, centre, spread, or along it: so far from its root.",
        apply: |v| Ok(bent(v)?.stress.get::<megapascal>()),
    },
    MechanicsFunction {
        name: "beam-deflection",
        takes: BEAM,
        words: HELD,
        gives: LENGTH,
        doc: "Largest deflection of a solid rectangular beam; ends and place as for `beam-stress`.",
        apply: |v| Ok(bent(v)?.deflection.get::<millimeter>()),
    },
];
