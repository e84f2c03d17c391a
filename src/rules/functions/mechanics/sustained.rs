//! Loads that last.

use uom::si::pressure::megapascal;

use super::MechanicsFunction;
use super::kinds::{NONE, STRESS};
use super::typed::{mpa, share};
use crate::mechanics::sustained;

pub(super) const FUNCTIONS: &[MechanicsFunction] = &[MechanicsFunction {
    name: "sustained-stress",
    takes: &[("yield-stress", STRESS), ("share", NONE)],
    words: &[],
    gives: STRESS,
    doc: "Stress that may act for years, from the stress at yield and the share of it that lasts.",
    apply: |v| Ok(sustained::permissible(mpa(v[0]), share(v[1]))?.get::<megapascal>()),
}];
