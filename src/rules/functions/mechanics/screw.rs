//! Screws in plastic.

use uom::si::force::newton;
use uom::si::torque::newton_meter;

use super::kinds::{ANGLE, FORCE, LENGTH, MOMENT, NONE, STRESS};
use super::typed::{mm, mpa, newtons, rad, share};
use super::{LOCKED, MechanicsFunction};
use crate::mechanics::screw;

/// Newton millimetres in a newton metre.
const NMM: f64 = 1000.0;

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "strip-force",
        takes: &[("pitch-diameter", LENGTH), ("engagement", LENGTH), ("yield-stress", STRESS)],
        words: &[],
        gives: FORCE,
        doc: "Pull that strips a screw's thread out of plastic, over half the cylinder at its pitch diameter.",
        apply: |v| Ok(screw::strip_force(mm(v[0]), mm(v[1]), mpa(v[2]))?.get::<newton>()),
    },
    MechanicsFunction {
        name: "tightening-torque",
        takes: &[
            ("pitch-diameter", LENGTH),
            ("pitch", LENGTH),
            ("flank", ANGLE),
            ("friction", NONE),
            ("head-ring", LENGTH),
            ("head-friction", NONE),
            ("tension", FORCE),
        ],
        words: &[],
        gives: MOMENT,
        doc: "Torque that tightens a screw to a tension: its thread's climb, and friction on the flanks and under the head.",
        apply: |v| {
            let thread = screw::Thread {
                pitch_diameter: mm(v[0]),
                pitch: mm(v[1]),
                flank: rad(v[2]),
                friction: share(v[3]),
                head_diameter: mm(v[4]),
                head_friction: share(v[5]),
            };
            let torque = screw::tightening_torque(&thread, newtons(v[6]))?;
            Ok(torque.map_or(LOCKED, |torque| torque.get::<newton_meter>() * NMM))
        },
    },
];
