//! Spring arms and their hooks.

use std::cell::RefCell;

use rustc_hash::FxHashMap;
use uom::si::angle::radian;
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::ratio::ratio;

use super::kinds::{ANGLE, FORCE, LENGTH, NONE, STRESS};
use super::typed::{mm, mpa, rad, share};
use super::{Beyond, LOCKED, MechanicsFunction};
use crate::mechanics::out_of_range::OutOfRange;
use crate::mechanics::{arm, deflection, fillet, root, snap};
use crate::quantity::Dimension;

/// The parameters of a spring arm in the order of the `arm-…` functions. `base` says what it grows
/// from: 0 a clamp that cannot give, 1 a block of its own material, 2 a wall of `base-thickness`
/// that is held at `base-reach` either way. The other two do not look at the wall's measures.
const ARM: &[(&str, Dimension)] = &[
    ("length", LENGTH),
    ("thickness", LENGTH),
    ("tip-thickness", LENGTH),
    ("width", LENGTH),
    ("tip-width", LENGTH),
    ("root-fillet", LENGTH),
    ("base", NONE),
    ("base-thickness", LENGTH),
    ("base-reach", LENGTH),
    ("modulus", STRESS),
    ("poisson", NONE),
    ("deflection", LENGTH),
];

/// The same without the last, for what does not depend on how far it is bent.
const UNBENT: &[(&str, Dimension)] = ARM.split_at(ARM.len() - 1).0;

/// What is left of an arm at the least beside its fillet, in millimetres.
const LEFT: f64 = 1e-6;

/// A fillet larger than the arm is thick is beyond what its root was computed for: what is over is
/// counted as part of the block, so that the arm is shorter by it and strained a little more.
fn arm(v: &[f64]) -> arm::Arm {
    let over = (v[5] - v[1]).max(0.0);
    // Not what is left of it: that is more than the thickness by a rounding, which no root is fitted for.
    let round = v[5].min(v[1]);
    let (root, fillet) = match v[6] {
        // A clamp has no fillet that could give.
        clamp if clamp < 0.5 => (root::Root::Rigid, 0.0),
        block if block < 1.5 => (root::Root::Block, round),
        _ => (root::Root::Wall { thickness: mm(v[7]), reach: mm(v[8]) }, round),
    };
    arm::Arm {
        // So little is always left of it: then the fillet is what is too large.
        length: mm(if fillet > 0.0 { (v[0] - over).max(LEFT) } else { v[0] }),
        root_thickness: mm(v[1]),
        tip_thickness: mm(v[2]),
        root_width: mm(v[3]),
        tip_width: mm(v[4]),
        fillet: mm(fillet),
        root,
        modulus: mpa(v[9]),
        poisson: share(v[10]),
    }
}

/// The same with no larger a fillet than it has room for.
fn roomy_arm(v: &[f64]) -> arm::Arm {
    let mut with_room = [0.0; ARM.len()];
    let with_room = &mut with_room[..v.len()];
    with_room.copy_from_slice(v);
    // A little less than all, so that no rounding makes it more.
    with_room[FILLET] = v[FILLET].min(0.999_999 * (v[0] / 2.0).max(v[0] - v[1]));
    arm(with_room)
}

type Bent = Result<arm::ArmBending, OutOfRange>;

/// Where the fillet, the modulus and the deflection are among the parameters.
const FILLET: usize = 5;
const MODULUS: usize = 9;
const DEFLECTION: usize = 11;
/// The modulus that arms are remembered at, in megapascals.
const REFERENCE: f64 = 1000.0;
/// How many arms are remembered; a sheet has a few, each looked at by several rules, moved by each of its inputs, and in
/// searches for mends at thousands of lengths and thicknesses: those of arms alike are the same. At most some megabytes.
const REMEMBERED: usize = 32_768;

thread_local! {
    /// Bending an arm is the longest calculation of all, and several rules ask for the same one.
    static BENT: RefCell<FxHashMap<(bool, [u64; ARM.len()]), Bent>> = RefCell::default();
}

fn bent(v: &[f64]) -> Bent {
    remembered(v, false, |v| arm(v).bend(mm(v[DEFLECTION])).map_err(|error| beside_fillet(v, error)))
}

/// The same beyond the range of its formula.
fn bent_beyond(v: &[f64]) -> Bent {
    remembered(v, true, |v| roomy_arm(v).bend_beyond(mm(v[DEFLECTION])))
}

/// A range told by what a large fillet leaves of the length says so.
fn beside_fillet(v: &[f64], error: OutOfRange) -> OutOfRange {
    let is_shortened = v[6] >= 0.5 && v[FILLET] > v[1];
    match (error.input, error.by) {
        ("deflection", Some(_)) if is_shortened => {
            OutOfRange::new("deflection", "at most half the length left beside its root-fillet").by("fillet")
        }
        ("length", _) if is_shortened => {
            OutOfRange::new("length", "at least 1.5 root thicknesses beside its root-fillet").by("fillet")
        }
        _ => error,
    }
}

fn remembered(v: &[f64], is_beyond: bool, work_out: impl FnOnce(&[f64]) -> Bent) -> Bent {
    // The shape and strain of an arm bent so far do not depend on its modulus, the force goes with
    // it: arms are remembered at one modulus, and need not be bent again where only it is uncertain.
    let mut of_shape = [0.0; ARM.len()];
    of_shape.copy_from_slice(v);
    of_shape[MODULUS] = REFERENCE;
    let key = (is_beyond, of_shape.map(f64::to_bits));
    let bent = BENT.with_borrow_mut(|known| {
        if known.len() >= REMEMBERED {
            known.clear();
        }
        *known.entry(key).or_insert_with(|| work_out(&of_shape))
    })?;
    Ok(arm::ArmBending { tip_force: bent.tip_force * (v[MODULUS] / REFERENCE), ..bent })
}

fn strain(bent: arm::ArmBending) -> f64 {
    bent.peak_strain.get::<ratio>()
}

fn strain_place(bent: arm::ArmBending) -> f64 {
    bent.peak_at.get::<millimeter>()
}

fn force(bent: arm::ArmBending) -> f64 {
    bent.tip_force.get::<newton>()
}

fn draw_back(arm: &arm::Arm, bent: arm::ArmBending) -> f64 {
    (arm.length - bent.tip_reach).get::<millimeter>().max(0.0)
}

fn fillet_factor(radius: f64, thickness: f64, length: f64) -> Result<f64, OutOfRange> {
    // A little over a tenth, so that the conversion to metres cannot fall below it.
    let radius = radius.max(0.100_001 * thickness).min(thickness);
    Ok(fillet::stress_factor(mm(radius), mm(thickness), mm(length))?.get::<ratio>())
}

/// What an arm grows from.
const BASE: &[(&str, &[(&str, f64)])] = &[("base", &[("rigid", 0.0), ("block", 1.0), ("wall", 2.0)])];

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "arm-strain",
        takes: ARM,
        words: BASE,
        gives: NONE,
        doc: "Largest strain along a spring arm: section, shear, the give of its root and large deflection included.",
        apply: |v| bent(v).map(strain),
    },
    MechanicsFunction {
        name: "arm-plain-strain",
        takes: &[("length", LENGTH), ("thickness", LENGTH), ("deflection", LENGTH)],
        words: &[],
        gives: NONE,
        doc: "The plain handbook strain of a constant arm on a clamped root, 1.5 t y / L^2.",
        apply: |v| Ok(deflection::plain_strain(mm(v[1]), mm(v[0]), mm(v[2]))?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "arm-give",
        takes: UNBENT,
        words: BASE,
        gives: NONE,
        doc: "How many times as far a spring arm goes under a small force as one clamped at its root.",
        apply: |v| Ok(arm(v).stiffness_factor()?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "arm-force",
        takes: ARM,
        words: BASE,
        gives: FORCE,
        doc: "Force across a spring arm's tip that holds it aside; a wide arm is stiffer than a beam, nearly as a plate.",
        apply: |v| Ok(bent(v).map(force)? * arm(v).plate_factor()?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "arm-strain-place",
        takes: ARM,
        words: BASE,
        gives: LENGTH,
        doc: "How far from its root an arm's largest strain lies.",
        apply: |v| bent(v).map(strain_place),
    },
    MechanicsFunction {
        name: "arm-draw-back",
        takes: ARM,
        words: BASE,
        gives: LENGTH,
        doc: "How far a spring arm's tip draws back toward its root as it is bent aside.",
        apply: |v| bent(v).map(|bent| draw_back(&arm(v), bent)),
    },
    MechanicsFunction {
        name: "fillet-factor",
        takes: &[("radius", LENGTH), ("thickness", LENGTH), ("length", LENGTH)],
        words: &[],
        gives: NONE,
        doc: "How many times the plain stress there is in an arm's root fillet, one below a tenth of the thickness or above all of it counted as that.",
        apply: |v| fillet_factor(v[0], v[1], v[2]),
    },
    MechanicsFunction {
        name: "ramp-factor",
        takes: &[("angle", ANGLE), ("friction", NONE)],
        words: &[],
        gives: NONE,
        doc: "Push along a slope over the force across it: (mu + tan a)/(1 - mu tan a); a very large number where it locks.",
        apply: |v| {
            let factor = snap::ramp_factor(rad(v[0]), share(v[1]))?;
            Ok(factor.map_or(LOCKED, |factor| factor.get::<ratio>()))
        },
    },
    MechanicsFunction {
        name: "locking-angle",
        takes: &[("friction", NONE)],
        words: &[],
        gives: ANGLE,
        doc: "Slope from which friction holds however hard it is pulled.",
        apply: |v| Ok(snap::locking_angle(share(v[0]))?.get::<radian>()),
    },
];

/// The shortest arm that there is a fillet's factor for, over its thickness; a little over it, as above.
const SHORTEST: f64 = 2.500_001;

pub(super) const BEYOND: &[Beyond] = &[
    ("arm-strain", |v| bent_beyond(v).map(strain)),
    ("arm-give", |v| Ok(roomy_arm(v).stiffness_factor_beyond()?.get::<ratio>())),
    ("arm-force", |v| Ok(roomy_arm(v).plate_factor_beyond()?.get::<ratio>() * bent_beyond(v).map(force)?)),
    ("arm-strain-place", |v| bent_beyond(v).map(strain_place)),
    ("arm-draw-back", |v| bent_beyond(v).map(|bent| draw_back(&roomy_arm(v), bent))),
    ("fillet-factor", |v| fillet_factor(v[0], v[1], v[2].max(SHORTEST * v[1]))),
];
