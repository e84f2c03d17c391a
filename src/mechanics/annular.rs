use uom::si::f64::{Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, not_negative, poisson_ratio, positive};

/// Which part of an annular snap gives; the other is taken as rigid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Elastic {
    /// The tube outside widens.
    Hub,
    /// The tube inside narrows.
    Shaft,
}

/// Permissible diametral undercut when one part is rigid: `y = eps d`.
///
/// Where both parts give equally, each takes half the strain and twice the undercut may do.
///
/// # Errors
/// [`OutOfRange`] when the strain is negative or the diameter not above zero.
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, p. 20.
pub fn permissible_undercut(strain: Ratio, diameter: Length) -> Result<Length, OutOfRange> {
    let strain = not_negative("strain", strain.value)?;
    Ok(Length::new::<meter>(strain * positive("diameter", diameter.value)?))
}

/// Hoop strain that a diametral undercut asks when one part is rigid: `eps = y / d`.
///
/// # Errors
/// [`OutOfRange`] when the undercut is negative or the diameter not above zero.
///
/// Source: as for [`permissible_undercut`].
pub fn strain(undercut: Length, diameter: Length) -> Result<Ratio, OutOfRange> {
    let undercut = not_negative("undercut", undercut.value)?;
    Ok(Ratio::new::<ratio>(undercut / positive("diameter", diameter.value)?))
}

/// Geometry factor of a snap near the end of the elastic tube.
///
/// `diameter` is that of the joint, `free_diameter` that of the elastic tube's other face: its outside for a hub, its
/// bore for a shaft, zero for a solid one (`X = 0.62 sqrt((q-1)/(q+1)) / ((q^2+1)/(q^2-1) +- nu)`, plus for a hub).
///
/// # Errors
/// [`OutOfRange`] when a diameter is not above zero or not on its side of the joint, or Poisson's ratio is out of range.
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, pp. 21-22 (the square root recalled from memory and confirmed
/// by the scaling of a thin shell with the 1.5th power of its thickness).
pub fn end_factor(
    elastic: Elastic,
    diameter: Length,
    free_diameter: Length,
    poisson: Ratio,
) -> Result<Ratio, OutOfRange> {
    let joint = positive("diameter", diameter.value)?;
    let free = not_negative("free_diameter", free_diameter.value)?;
    let poisson = poisson_ratio(poisson.value)?;
    let (inner, sign) = match elastic {
        Elastic::Hub => (joint / check("free_diameter", free, "above the joint's diameter", free > joint)?, 1.0),
        Elastic::Shaft => (check("free_diameter", free, "below the joint's diameter", free < joint)? / joint, -1.0),
    };
    // With the inverse of q, which has no value for a solid shaft.
    let root = ((1.0 - inner) / (1.0 + inner)).sqrt();
    let square = inner * inner;
    let ring = (1.0 + square) / (1.0 - square);
    Ok(Ratio::new::<ratio>(0.62 * root / (ring + sign * poisson)))
}

/// Distance from the tube's end beyond which a snap counts as remote: `1.8 sqrt(d s)`, `s` the wall.
///
/// # Errors
/// [`OutOfRange`] when a length is not above zero.
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, p. 22.
pub fn remote_distance(diameter: Length, wall: Length) -> Result<Length, OutOfRange> {
    let product = positive("diameter", diameter.value)? * positive("wall", wall.value)?;
    Ok(Length::new::<meter>(1.8 * product.sqrt()))
}

/// Radial force of a snap near the tube's end: `P = y d E X`.
///
/// The push follows from it by [`super::snap::ramp_force`]. A remote snap takes up to four times as much in theory,
/// rarely above three times in tests (same source).
///
/// # Errors
/// [`OutOfRange`] when the undercut is negative, or another input not above zero.
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, p. 21 (recalled from memory).
pub fn radial_force(undercut: Length, diameter: Length, modulus: Pressure, factor: Ratio) -> Result<Force, OutOfRange> {
    let undercut = not_negative("undercut", undercut.value)?;
    let diameter = positive("diameter", diameter.value)?;
    let modulus = positive("modulus", modulus.value)?;
    Ok(Force::new::<newton>(undercut * diameter * modulus * positive("factor", factor.value)?))
}
