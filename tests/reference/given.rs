//! Short ways to write the inputs of the tests.

use dryfit::mechanics::arm::Arm;
use dryfit::mechanics::root::Root;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::pressure::megapascal;
use uom::si::ratio::ratio;

pub fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

pub fn newtons(value: f64) -> Force {
    Force::new::<newton>(value)
}

pub fn mpa(value: f64) -> Pressure {
    Pressure::new::<megapascal>(value)
}

pub fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

pub fn one(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// So slender that shear is below 1e-9.
pub const SLENDER: f64 = 50_000.0;

/// An arm of thickness 1 mm and width 1 mm at the root, modulus 2000 N/mm^2.
pub fn arm(length: f64, thickness_ratio: f64, width_ratio: f64, root: Root) -> Arm {
    Arm {
        length: mm(length),
        root_thickness: mm(1.0),
        tip_thickness: mm(thickness_ratio),
        root_width: mm(1.0),
        tip_width: mm(width_ratio),
        root,
        fillet: mm(0.0),
        modulus: mpa(2000.0),
        poisson: one(0.38),
    }
}

/// `K` in `strain = K t y / L^2`, at the root and at the peak, for a small deflection.
pub fn strain_factors(arm: &Arm) -> (f64, f64) {
    let aside = 1e-5;
    let bent = arm.bend(arm.length * aside).unwrap();
    let unit = (arm.root_thickness / arm.length).value * aside;
    (bent.nominal_root_strain.value / unit, bent.peak_strain.value / unit)
}
