//! Press fits: a ring around a shaft that is too large for it.

use uom::si::f64::{Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::pressure::megapascal;
use uom::si::ratio::ratio;

use super::kinds::{FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, share};
use super::{Beyond, MechanicsFunction};
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

/// The thinnest ring that is worked out, by its outside over the joint: where there is nothing left around the hole it is strained
/// and stressed like that one.
const THINNEST: f64 = 1.000_01;

fn pressed_thin(v: &[f64]) -> Result<Pressed, OutOfRange> {
    let mut thin = [0.0; PRESS.len()];
    thin.copy_from_slice(v);
    thin[2] = v[2].max(THINNEST * v[0]);
    pressed(&thin)
}

fn strain(pressed: Pressed) -> f64 {
    pressed.hub_hoop_strain.get::<ratio>()
}

fn stress(pressed: Pressed) -> f64 {
    pressed.hub_hoop_stress.get::<megapascal>()
}

fn pressure(pressed: Pressed) -> f64 {
    pressed.pressure.get::<megapascal>()
}

pub(super) const BEYOND: &[Beyond] = &[
    ("press-strain", |v| pressed_thin(v).map(strain)),
    ("press-stress", |v| pressed_thin(v).map(stress)),
    ("press-pressure", |v| pressed_thin(v).map(pressure)),
];

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "press-strain",
        takes: PRESS,
        words: &[],
        gives: NONE,
        doc: "Hoop strain at the bore of a ring with a shaft pressed in (Lame's thick cylinders).",
        apply: |v| pressed(v).map(strain),
    },
    MechanicsFunction {
        name: "press-stress",
        takes: PRESS,
        words: &[],
        gives: STRESS,
        doc: "Hoop stress at the bore of a ring with a shaft pressed in (Lame's thick cylinders).",
        apply: |v| pressed(v).map(stress),
    },
    MechanicsFunction {
        name: "press-pressure",
        takes: PRESS,
        words: &[],
        gives: STRESS,
        doc: "Pressure between a ring and the shaft pressed into it (Lame's thick cylinders).",
        apply: |v| pressed(v).map(pressure),
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
