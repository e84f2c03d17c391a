//! Spring arms and their hooks.

use uom::si::angle::radian;
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::ratio::ratio;

use super::kinds::{ANGLE, FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, rad, share};
use super::{BridgeFunction, LOCKED};
use crate::mechanics::out_of_range::OutOfRange;
use crate::mechanics::{arm, fillet, root, snap, strain_limit};
use crate::quantity::Dimension;

/// The parameters of a spring arm in the order of the `arm-…` functions. `gives` is 1 for a root
/// that gives like a block of the arm's material, 0 for a clamped one.
const ARM: &[(&str, Dimension)] = &[
    ("length", LENGTH),
    ("thickness", LENGTH),
    ("tip-thickness", LENGTH),
    ("width", LENGTH),
    ("tip-width", LENGTH),
    ("root-fillet", LENGTH),
    ("gives", NONE),
    ("modulus", STRESS),
    ("poisson", NONE),
    ("deflection", LENGTH),
];

fn bent(v: &[f64]) -> Result<arm::ArmBending, OutOfRange> {
    let arm = arm::Arm {
        length: mm(v[0]),
        root_thickness: mm(v[1]),
        tip_thickness: mm(v[2]),
        root_width: mm(v[3]),
        tip_width: mm(v[4]),
        fillet: mm(v[5]),
        root: if v[6] > 0.0 { root::Root::Block } else { root::Root::Rigid },
        modulus: mpa(v[7]),
        poisson: share(v[8]),
    };
    arm.bend(mm(v[9]))
}

pub(super) const FUNCTIONS: &[BridgeFunction] = &[
    BridgeFunction {
        name: "arm-strain",
        takes: ARM,
        gives: NONE,
        doc: "Largest strain along a spring arm: section, shear, the give of its root and large deflection included.",
        apply: |v| Ok(bent(v)?.peak_strain.get::<ratio>()),
    },
    BridgeFunction {
        name: "arm-plain-strain",
        takes: ARM,
        gives: NONE,
        doc: "The plain handbook strain of a constant arm on a clamped root, 1.5 t y / L^2.",
        apply: |v| Ok(bent(v)?.plain_strain.get::<ratio>()),
    },
    BridgeFunction {
        name: "arm-force",
        takes: ARM,
        gives: FORCE,
        doc: "Force across a spring arm's tip that holds it aside.",
        apply: |v| Ok(bent(v)?.tip_force.get::<newton>()),
    },
    BridgeFunction {
        name: "arm-strain-place",
        takes: ARM,
        gives: LENGTH,
        doc: "How far from its root an arm's largest strain lies.",
        apply: |v| Ok(bent(v)?.peak_at.get::<millimeter>()),
    },
    BridgeFunction {
        name: "strain-limit",
        takes: &[("along-layers", NONE), ("bond", NONE), ("angle", ANGLE), ("warm-share", NONE)],
        gives: NONE,
        doc: "Strain that a material stands at an angle between stress and layers, from the one along them.",
        apply: |v| {
            let usage = strain_limit::Use {
                once: share(v[0]),
                repeated: share(1.0),
                bond: share(v[1]),
                angle: rad(v[2]),
                temperature: share(v[3]),
            };
            Ok(strain_limit::limit(&usage)?.get::<ratio>())
        },
    },
    BridgeFunction {
        name: "layer-factor",
        takes: &[("bond", NONE), ("angle", ANGLE)],
        gives: NONE,
        doc: "Share of its strength that a print keeps at an angle between stress and layers.",
        apply: |v| Ok(strain_limit::layer_factor(share(v[0]), rad(v[1]))?.get::<ratio>()),
    },
    BridgeFunction {
        name: "fillet-factor",
        takes: &[("radius", LENGTH), ("thickness", LENGTH), ("length", LENGTH)],
        gives: NONE,
        doc: "How many times the plain stress stands in an arm's root fillet, one below a tenth of the thickness counted as a tenth.",
        apply: |v| {
            // A little over a tenth, so that the conversion to metres cannot fall below it.
            let radius = v[0].max(0.100_001 * v[1]);
            Ok(fillet::stress_factor(mm(radius), mm(v[1]), mm(v[2]))?.get::<ratio>())
        },
    },
    BridgeFunction {
        name: "ramp-factor",
        takes: &[("angle", ANGLE), ("friction", NONE)],
        gives: NONE,
        doc: "Push along a slope over the force across it: (mu + tan a)/(1 - mu tan a); a very large number where it locks.",
        apply: |v| {
            let factor = snap::ramp_factor(rad(v[0]), share(v[1]))?;
            Ok(factor.map_or(LOCKED, |factor| factor.get::<ratio>()))
        },
    },
    BridgeFunction {
        name: "locking-angle",
        takes: &[("friction", NONE)],
        gives: ANGLE,
        doc: "Slope from which friction holds however hard it is pulled.",
        apply: |v| Ok(snap::locking_angle(share(v[0]))?.get::<radian>()),
    },
];
