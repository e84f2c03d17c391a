//! Bars that are twisted.

use uom::si::angle::radian;
use uom::si::force::newton;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{ANGLE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, rad, share};
use crate::mechanics::out_of_range::OutOfRange;
use crate::mechanics::torsion::{self, Bar, Section};
use crate::quantity::Dimension;

/// The parameters of the functions of a round bar.
const ROUND: &[(&str, Dimension)] =
    &[("length", LENGTH), ("diameter", LENGTH), ("modulus", STRESS), ("poisson", NONE), ("angle", ANGLE)];

/// The parameters of the functions of a rectangular bar, its sides in any order.
const RECTANGLE: &[(&str, Dimension)] = &[
    ("length", LENGTH),
    ("width", LENGTH),
    ("height", LENGTH),
    ("modulus", STRESS),
    ("poisson", NONE),
    ("angle", ANGLE),
];

fn round(v: &[f64]) -> Result<torsion::Twisting, OutOfRange> {
    let section = Section::Round { diameter: mm(v[1]) };
    torsion::twist(&Bar { length: mm(v[0]), section, modulus: mpa(v[2]), poisson: share(v[3]) }, rad(v[4]))
}

fn rectangle(v: &[f64]) -> Result<torsion::Twisting, OutOfRange> {
    let section = Section::Rectangle { width: mm(v[1]), height: mm(v[2]) };
    torsion::twist(&Bar { length: mm(v[0]), section, modulus: mpa(v[3]), poisson: share(v[4]) }, rad(v[5]))
}

/// The force at the end of a lever of 1 mm: the torque in N mm.
fn at_unit_lever(twisting: &torsion::Twisting) -> Result<f64, OutOfRange> {
    Ok(torsion::lever_force(twisting.torque, mm(1.0), 1)?.get::<newton>())
}

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "torsion-strain-round",
        takes: ROUND,
        words: &[],
        gives: NONE,
        doc: "Largest shear strain of a twisted round bar.",
        apply: |v| Ok(round(v)?.shear_strain.get::<ratio>()),
    },
    MechanicsFunction {
        name: "torsion-strain-rectangle",
        takes: RECTANGLE,
        words: &[],
        gives: NONE,
        doc: "Largest shear strain of a twisted rectangular bar.",
        apply: |v| Ok(rectangle(v)?.shear_strain.get::<ratio>()),
    },
    MechanicsFunction {
        name: "torque-round",
        takes: ROUND,
        words: &[],
        gives: Dimension::MOMENT,
        doc: "Torque that holds a round bar twisted.",
        apply: |v| at_unit_lever(&round(v)?),
    },
    MechanicsFunction {
        name: "torque-rectangle",
        takes: RECTANGLE,
        words: &[],
        gives: Dimension::MOMENT,
        doc: "Torque that holds a rectangular bar twisted.",
        apply: |v| at_unit_lever(&rectangle(v)?),
    },
    MechanicsFunction {
        name: "lever-angle",
        takes: &[("lever", LENGTH), ("travel", LENGTH)],
        words: &[],
        gives: ANGLE,
        doc: "Angle by which a lever turns when its end goes aside by a travel.",
        apply: |v| Ok(torsion::lever_angle(mm(v[0]), mm(v[1]))?.get::<radian>()),
    },
    MechanicsFunction {
        name: "shear-limit",
        takes: &[("strain", NONE), ("poisson", NONE)],
        words: &[],
        gives: NONE,
        doc: "Shear strain that a material takes, from the stretch that it takes: (1 + nu) eps.",
        apply: |v| Ok(torsion::permissible_shear_strain(share(v[0]), share(v[1]))?.get::<ratio>()),
    },
];
