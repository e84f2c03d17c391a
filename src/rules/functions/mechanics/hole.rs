//! Holes.

use uom::si::ratio::ratio;

use super::MechanicsFunction;
use super::kinds::NONE;
use crate::mechanics::hole;

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[MechanicsFunction {
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
}];
