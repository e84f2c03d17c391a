//! What a material takes: by the layers, by how often, by how warm.

use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::{ANGLE, NONE, STRESS, TEMPERATURE};
use super::typed::{kelvins, mpa, rad, share};
use crate::mechanics::strain_limit;

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "strain-limit",
        takes: &[("along-layers", NONE), ("bond", NONE), ("angle", ANGLE), ("warm-share", NONE)],
        words: &[],
        gives: NONE,
        doc: "Strain that a material takes at an angle between stress and layers, from the one along them.",
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
    MechanicsFunction {
        name: "layer-factor",
        takes: &[("bond", NONE), ("angle", ANGLE)],
        words: &[],
        gives: NONE,
        doc: "Share of its strength that a print keeps at an angle between stress and layers.",
        apply: |v| Ok(strain_limit::layer_factor(share(v[0]), rad(v[1]))?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "strain-share",
        takes: &[("share", NONE), ("modulus", STRESS), ("yield-strain", NONE), ("yield-stress", STRESS)],
        words: &[],
        gives: NONE,
        doc: "Share of its strain at yield that a material reaches at a share of its yield stress, on a parabola through the yield point.",
        apply: |v| Ok(strain_limit::strain_share(share(v[0]), mpa(v[1]), share(v[2]), mpa(v[3]))?.get::<ratio>()),
    },
    MechanicsFunction {
        name: "repeated-strain",
        takes: &[("once", NONE), ("often", NONE), ("cycles", NONE), ("few", NONE), ("many", NONE)],
        words: &[],
        gives: NONE,
        doc: "Strain that a material takes so many times: `once` up to `few`, `often` from `many` on, evenly with the logarithm between.",
        apply: |v| {
            let [once, often, cycles, few, many] = [v[0], v[1], v[2], v[3], v[4]].map(share);
            Ok(strain_limit::repeated(once, often, cycles, few, many)?.get::<ratio>())
        },
    },
    MechanicsFunction {
        name: "warmth-factor",
        takes: &[("above", TEMPERATURE), ("span", TEMPERATURE), ("at-limit", NONE), ("least", NONE)],
        words: &[],
        gives: NONE,
        doc: "Share of stiffness and strength left so much above the temperature of the tests: on a straight line from one to the share at its limit, a span above, and on, never below the least.",
        apply: |v| Ok(strain_limit::warmth(kelvins(v[0]), kelvins(v[1]), share(v[2]), share(v[3]))?.get::<ratio>()),
    },
];
