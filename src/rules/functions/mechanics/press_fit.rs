//! Press fits: a ring around a shaft that is too large for it.

use uom::si::f64::{Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::pressure::megapascal;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, share};
use crate::mechanics::out_of_range::OutOfRange;
use crate::mechanics::press_fit::{PressFit, Pressed, Ring, press, push_out_force};
use crate::quantity::Dimension;

/// The parameters of a press fit in the order of the `press-…` functions.
const PRESS: &[(&str, Dimension)] = &[
    ("diameter", LENGTH),
    ("interference", LENGTH),
    ("hub-outside", LENGTH),
    ("hub-modulus", STRESS),
    ("hub-poisson", NONE),
    ("shaft-bore", LENGTH),
    ("shaft-modulus", STRESS),
    ("shaft-poisson", NONE),
];

fn pressed(v: &[f64]) -> Result<Pressed, OutOfRange> {
    let ring = |free_diameter: Length, modulus: Pressure, poisson: Ratio| Ring { free_diameter, modulus, poisson };
    press(&PressFit {
        diameter: mm(v[0]),
        interference: mm(v[1]),
        hub: ring(mm(v[2]), mpa(v[3]), share(v[4])),
        shaft: ring(mm(v[5]), mpa(v[6]), share(v[7])),
    })
}

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "press-strain",
        takes: PRESS,
        words: &[],
        gives: NONE,
        doc: "Hoop strain at the bore of a ring with a shaft pressed in (Lame's thick cylinders).",
        apply: |v| Ok(pressed(v)?.hub_hoop_strain.get::<ratio>()),
    },
    MechanicsFunction {
        name: "press-stress",
        takes: PRESS,
        words: &[],
        gives: STRESS,
        doc: "Hoop stress at the bore of a ring with a shaft pressed in (Lame's thick cylinders).",
        apply: |v| Ok(pressed(v)?.hub_hoop_stress.get::<megapascal>()),
    },
    MechanicsFunction {
        name: "press-pressure",
        takes: PRESS,
        words: &[],
        gives: STRESS,
        doc: "Pressure between a ring and the shaft pressed into it (Lame's thick cylinders).",
        apply: |v| Ok(pressed(v)?.pressure.get::<megapascal>()),
    },
    MechanicsFunction {
        name: "push-out-force",
        takes: &[("pressure", STRESS), ("diameter", LENGTH), ("length", LENGTH), ("friction", NONE)],
        words: &[],
        gives: FORCE,
        doc: "Axial force that pushes a pressed joint apart: friction times pressure times the joint's surface.",
        apply: |v| Ok(push_out_force(mpa(v[0]), mm(v[1]), mm(v[2]), share(v[3]))?.get::<newton>()),
    },
];
