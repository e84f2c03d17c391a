//! Spring arms with a round bend between two legs.

use uom::si::force::newton;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa};
use crate::mechanics::out_of_range::OutOfRange;
use crate::mechanics::u_arm;
use crate::quantity::Dimension;

/// The parameters of a bent arm in the order of the `bent-arm-…` functions. `turn` is 1 for a
/// quarter turn and 2 for a half one; `radius` is that of the bend at mid-thickness.
const BENT_ARM: &[(&str, Dimension)] = &[
    ("turn", NONE),
    ("tip-leg", LENGTH),
    ("root-leg", LENGTH),
    ("radius", LENGTH),
    ("thickness", LENGTH),
    ("width", LENGTH),
    ("modulus", STRESS),
    ("deflection", LENGTH),
];

fn bent(v: &[f64]) -> Result<u_arm::BentArmBending, OutOfRange> {
    let arm = u_arm::BentArm {
        turn: if v[0] < 1.5 { u_arm::Turn::L } else { u_arm::Turn::U },
        tip_leg: mm(v[1]),
        root_leg: mm(v[2]),
        radius: mm(v[3]),
        thickness: mm(v[4]),
        width: mm(v[5]),
        modulus: mpa(v[6]),
    };
    u_arm::bend(&arm, mm(v[7]))
}

/// How far a bent arm turns between its legs.
const TURN: &[(&str, &[(&str, f64)])] = &[("turn", &[("quarter", 1.0), ("half", 2.0)])];

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "bent-arm-strain",
        takes: BENT_ARM,
        words: TURN,
        gives: NONE,
        doc: "Largest strain of a bent spring arm, at the inside of its bend or at its root.",
        apply: |v| Ok(bent(v)?.inner_strain.get::<ratio>()),
    },
    MechanicsFunction {
        name: "bent-arm-straight-strain",
        takes: BENT_ARM,
        words: TURN,
        gives: NONE,
        doc: "Largest strain of a bent spring arm by the formula of a straight beam, for comparison.",
        apply: |v| Ok(bent(v)?.strain.get::<ratio>()),
    },
    MechanicsFunction {
        name: "bent-arm-force",
        takes: BENT_ARM,
        words: TURN,
        gives: FORCE,
        doc: "Force across a bent spring arm's tip that holds it aside.",
        apply: |v| Ok(bent(v)?.tip_force.get::<newton>()),
    },
];
