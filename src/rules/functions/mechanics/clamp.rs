//! C-shaped spring clamps.

use uom::si::force::newton;
use uom::si::ratio::ratio;

use super::kinds::{ANGLE, FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, rad, share};
use super::{LOCKED, MechanicsFunction};
use crate::mechanics::clamp::{self, Clamp};
use crate::mechanics::out_of_range::OutOfRange;

/// A clamp of `v`: its middle radius, half of its wrap, thickness, width and modulus.
fn of(v: &[f64]) -> Clamp {
    Clamp { radius: mm(v[0]), half_wrap: rad(v[1]), thickness: mm(v[2]), width: mm(v[3]), modulus: mpa(v[4]) }
}

/// The pull that opens it; what friction locks cannot be pulled out: a very large one.
fn pull(v: &[f64]) -> Result<f64, OutOfRange> {
    let pull = clamp::pull_out(&of(v), mm(v[5]), share(v[6]))?;
    Ok(pull.map_or(LOCKED, |pull| pull.get::<newton>()))
}

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "clamp-strain",
        takes: &[("radius", LENGTH), ("half-wrap", ANGLE), ("thickness", LENGTH), ("opening", LENGTH)],
        words: &[],
        gives: NONE,
        doc: "Largest strain of a C-shaped clamp, at the inside of its foot, with each lip pushed out by the opening.",
        apply: |v| {
            let clamp = of(&[v[0], v[1], v[2], 1.0, 1.0]);
            Ok(clamp::strain(&clamp, mm(v[3]))?.get::<ratio>())
        },
    },
    MechanicsFunction {
        name: "clamp-force",
        takes: &[
            ("radius", LENGTH),
            ("half-wrap", ANGLE),
            ("thickness", LENGTH),
            ("width", LENGTH),
            ("modulus", STRESS),
            ("opening", LENGTH),
        ],
        words: &[],
        gives: FORCE,
        doc: "Force across the mouth of a C-shaped clamp that holds one lip pushed out by the opening.",
        apply: |v| Ok(clamp::lip_force(&of(v), mm(v[5]))?.get::<newton>()),
    },
    MechanicsFunction {
        name: "clamp-pull",
        takes: &[
            ("radius", LENGTH),
            ("half-wrap", ANGLE),
            ("thickness", LENGTH),
            ("width", LENGTH),
            ("modulus", STRESS),
            ("tube", LENGTH),
            ("friction", NONE),
        ],
        words: &[],
        gives: FORCE,
        doc: "The largest pull on the way out of a tube, by its radius, that lies without play in a C-shaped clamp; a very large number where friction locks it.",
        apply: pull,
    },
];
