//! Living hinges.

use uom::si::length::millimeter;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{ANGLE, LENGTH, NONE};
use super::typed::{mm, rad};
use crate::mechanics::hinge;

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "hinge-strain",
        takes: &[("thickness", LENGTH), ("length", LENGTH), ("angle", ANGLE)],
        words: &[],
        gives: NONE,
        doc: "Strain of a living hinge that bends evenly over its length: t theta / (2 l).",
        apply: |v| Ok(hinge::strain(mm(v[0]), mm(v[1]), rad(v[2]))?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "hinge-radius",
        takes: &[("length", LENGTH), ("angle", ANGLE)],
        words: &[],
        gives: LENGTH,
        doc: "Radius to which a living hinge bends at an angle: l / theta.",
        apply: |v| Ok(hinge::bend_radius(mm(v[0]), rad(v[1]))?.get::<millimeter>()),
    },
];
