use std::f64::consts::PI;

use uom::si::angle::radian;
use uom::si::f64::{Angle, Force, Length, Pressure, Ratio, Torque};
use uom::si::force::newton;
use uom::si::ratio::ratio;
use uom::si::torque::newton_meter;

use super::out_of_range::{OutOfRange, check, finite, not_negative, poisson_ratio, positive};

/// Section of a torsion bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// A full circle.
    Round {
        /// Of the circle.
        diameter: Length,
    },
    /// A full rectangle, its sides in any order.
    Rectangle {
        /// One side.
        width: Length,
        /// The other side.
        height: Length,
    },
}

/// A straight bar, held against turning at one end and turned at the other, free to warp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// That is twisted.
    pub length: Length,
    /// Constant along it.
    pub section: Section,
    /// Young's modulus.
    pub modulus: Pressure,
    /// Poisson's ratio, from 0 to 0.5.
    pub poisson: Ratio,
}

/// State of a twisted [`Bar`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twisting {
    /// Torque on the bar.
    pub torque: Torque,
    /// Largest shear strain, at the surface (middle of the longer side).
    pub shear_strain: Ratio,
}

/// Torque and largest shear strain of a bar twisted by `angle`: `T = G J phi / l`, `gamma = k phi / l`.
///
/// Small strains.
///
/// # Errors
/// [`OutOfRange`] when a dimension or the modulus is not above zero or the angle negative.
///
/// Source: Saint-Venant; the rectangle by its series (Timoshenko and Goodier, Theory of Elasticity, chapter 10;
/// recalled from memory).
pub fn twist(bar: &Bar, angle: Angle) -> Result<Twisting, OutOfRange> {
    let rate = not_negative("angle", angle.value)? / positive("length", bar.length.value)?;
    let shear_modulus = positive("modulus", bar.modulus.value)? / (2.0 * (1.0 + poisson_ratio(bar.poisson.value)?));
    let (stiffness, lever) = constants(bar.section)?;
    Ok(Twisting {
        torque: Torque::new::<newton_meter>(finite("angle", shear_modulus * stiffness * rate)?),
        shear_strain: Ratio::new::<ratio>(finite("angle", lever * rate)?),
    })
}

/// Angle by which a bar may be twisted until its largest shear strain is `shear_strain`, the inverse of [`twist`].
///
/// # Errors
/// [`OutOfRange`] when a dimension is not above zero or the strain negative.
///
/// Source: as for [`twist`].
pub fn permissible_twist(bar: &Bar, shear_strain: Ratio) -> Result<Angle, OutOfRange> {
    let strain = not_negative("shear_strain", shear_strain.value)?;
    let length = positive("length", bar.length.value)?;
    Ok(Angle::new::<radian>(finite("shear_strain", strain * length / constants(bar.section)?.1)?))
}

/// Permissible shear strain of a material from its permissible tensile strain: `gamma = (1 + nu) eps`.
///
/// # Errors
/// [`OutOfRange`] when the strain is negative or Poisson's ratio out of range.
///
/// Source: pure shear by the largest-strain view (mechanics); Snap-Fit Joints for Plastics - A Design Guide, torsion
/// section (recalled from memory).
pub fn permissible_shear_strain(strain: Ratio, poisson: Ratio) -> Result<Ratio, OutOfRange> {
    let strain = not_negative("strain", strain.value)?;
    Ok(Ratio::new::<ratio>(strain * (1.0 + poisson_ratio(poisson.value)?)))
}

/// Angle to which a lever of length `lever` turns its bar when its end moves by `deflection`: `sin phi = y / l`.
///
/// # Errors
/// [`OutOfRange`] when the lever is not above zero or the deflection not between zero and the lever's length.
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, torsion section (recalled from memory).
pub fn lever_angle(lever: Length, deflection: Length) -> Result<Angle, OutOfRange> {
    let lever = positive("lever", lever.value)?;
    let part = not_negative("deflection", deflection.value)? / lever;
    check("deflection", part, "at most the lever's length", part <= 1.0)?;
    Ok(Angle::new::<radian>(part.asin()))
}

/// Force at the end of a lever that twists `bars` equal bars, each with `torque`: `P = n T / l`.
///
/// # Errors
/// [`OutOfRange`] when the lever is not above zero, the torque negative, or there is no bar.
///
/// Source: moment balance; Snap-Fit Joints for Plastics - A Design Guide, torsion section (recalled from memory).
pub fn lever_force(torque: Torque, lever: Length, bars: u32) -> Result<Force, OutOfRange> {
    let torque = not_negative("torque", torque.value)?;
    let lever = positive("lever", lever.value)?;
    let bars = positive("bars", f64::from(bars))?;
    Ok(Force::new::<newton>(finite("lever", bars * torque / lever)?))
}

/// Torsion constant `J` and the length `k` in `gamma = k phi / l`.
fn constants(section: Section) -> Result<(f64, f64), OutOfRange> {
    match section {
        Section::Round { diameter } => {
            let radius = positive("diameter", diameter.value)? / 2.0;
            Ok((PI * radius.powi(4) / 2.0, radius))
        }
        Section::Rectangle { width, height } => {
            let (width, height) = (positive("width", width.value)?, positive("height", height.value)?);
            let (long, short) = (width.max(height), width.min(height));
            let (stiff, steep) = rectangle(long / short);
            Ok((stiff * long * short.powi(3), steep * short))
        }
    }
}

/// `J / (a b^3)` and `k / b` of a rectangle `a` by `b`, for `a / b` of one and more.
fn rectangle(aspect: f64) -> (f64, f64) {
    // The terms fall with n^-5 and with the hyperbolic cosine: twelve odd ones are exact to 1e-8.
    let (stiff, steep) = (0..12).fold((0.0, 0.0), |(stiff, steep), k| {
        let n = f64::from(2 * k + 1);
        let x = n * PI * aspect / 2.0;
        (stiff + x.tanh() / n.powi(5), steep + 1.0 / (n * n * x.cosh()))
    });
    ((1.0 - 192.0 / (PI.powi(5) * aspect) * stiff) / 3.0, 1.0 - 8.0 / (PI * PI) * steep)
}
