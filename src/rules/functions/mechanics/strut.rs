//! Struts under a load along them.

use uom::si::area::square_millimeter;
use uom::si::f64::Area;
use uom::si::force::newton;

use super::MechanicsFunction;
use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa};
use crate::mechanics::strut::{self, Ends, Strut};
use crate::quantity::Dimension;

/// The parameters of the `strut-…` functions. `clamps` and `guides` are how many ends cannot turn, and cannot shift
/// sideways: 0 and 2 for both pinned, 1 and 2 for one clamped and one pinned, 2 and 2 for both clamped, 1 and 1 for one
/// clamped and one free.
const STRUT: &[(&str, Dimension)] = &[
    ("length", LENGTH),
    ("width", LENGTH),
    ("thickness", LENGTH),
    ("ends", NONE),
    ("modulus", STRESS),
    ("yield-stress", STRESS),
];

fn of(v: &[f64]) -> Strut {
    let ends = match v[3] {
        free if free < 0.5 => Ends::ClampedFree,
        pinned if pinned < 1.5 => Ends::Pinned,
        one if one < 2.5 => Ends::ClampedPinned,
        _ => Ends::Clamped,
    };
    let least = v[1].min(v[2]);
    Strut {
        length: mm(v[0]),
        area: Area::new::<square_millimeter>(v[1] * v[2]),
        gyration: mm(least / 12.0_f64.sqrt()),
        ends,
        modulus: mpa(v[4]),
        yield_stress: mpa(v[5]),
    }
}

/// How a strut is held, with the numbers that tell its ends apart.
const ENDS: &[(&str, &[(&str, f64)])] =
    &[("ends", &[("clamped-free", 0.0), ("pinned", 1.0), ("clamped-pinned", 2.0), ("clamped", 3.0)])];

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "strut-load",
        takes: STRUT,
        words: ENDS,
        gives: FORCE,
        doc: "Load at which a solid rectangular strut fails: Euler where it is slender, Johnson where it is stocky.",
        apply: |v| Ok(strut::critical_load(&of(v))?.get::<newton>()),
    },
    MechanicsFunction {
        name: "euler-load",
        takes: STRUT,
        words: ENDS,
        gives: FORCE,
        doc: "Load at which a slender elastic strut of rectangular section buckles.",
        apply: |v| Ok(strut::euler_load(&of(v))?.get::<newton>()),
    },
];
