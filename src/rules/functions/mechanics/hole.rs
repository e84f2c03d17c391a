//! Holes.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::NONE;
use crate::mechanics::hole;

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[
    MechanicsFunction {
        name: "facet-factor",
        takes: &[("facets", NONE)],
        words: &[],
        gives: NONE,
        doc: "Clear diameter of a hole of straight facets over its drawn one, cos(pi/n).",
        apply: |v| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "saturates")]
            let facets = v[0].round() as u32;
            Ok(hole::chord_factor(facets)?.get::<ratio>())
        },
    },
    MechanicsFunction {
        name: "narrow-side-factor",
        takes: &[("reach", NONE), ("place", NONE)],
        words: &[],
        gives: NONE,
        doc: "Mean stress on the narrow side of a hole in a strap over that of the whole strap: by the hole's radius over the distance to the near edge, and that distance over the strap's width.",
        apply: |v| {
            let [reach, place] = [Ratio::new::<ratio>(v[0]), Ratio::new::<ratio>(v[1])];
            Ok(hole::narrow_side_factor(reach, place)?.get::<ratio>())
        },
    },
];
