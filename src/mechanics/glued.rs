use uom::si::f64::{Angle, Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;

use super::out_of_range::{OutOfRange, not_negative, positive};

/// Pull that shears the glue around a round dowel: `tau pi d l`.
///
/// `glued` is the glued length on one side of the parting, `shear` what the glue bears.
///
/// # Errors
/// [`OutOfRange`] when a length is negative or the shear strength not above zero.
///
/// Source: area times stress; glues fall short of it as overlaps grow (abstracts read, no figure).
pub fn dowel_pull_out(diameter: Length, glued: Length, shear: Pressure) -> Result<Force, OutOfRange> {
    let area = std::f64::consts::PI * not_negative("diameter", diameter.value)? * not_negative("glued", glued.value)?;
    Ok(Force::new::<newton>(area * positive("shear", shear.value)?))
}

/// Pull that breaks a round dowel across: `sigma pi d^2 / 4`.
///
/// # Errors
/// [`OutOfRange`] when the diameter is negative or the strength not above zero.
///
/// Source: area times stress.
pub fn dowel_break(diameter: Length, strength: Pressure) -> Result<Force, OutOfRange> {
    let area = std::f64::consts::FRAC_PI_4 * not_negative("diameter", diameter.value)?.powi(2);
    Ok(Force::new::<newton>(area * positive("strength", strength.value)?))
}

/// Glued length at which glue and dowel bear the same pull: `sigma d / (4 tau)`.
///
/// # Errors
/// [`OutOfRange`] when the diameter is negative or a strength not above zero.
///
/// Source: [`dowel_pull_out`] and [`dowel_break`] set equal.
pub fn dowel_equal_length(diameter: Length, strength: Pressure, shear: Pressure) -> Result<Length, OutOfRange> {
    let ratio = positive("strength", strength.value)? / positive("shear", shear.value)?;
    Ok(Length::new::<meter>(0.25 * ratio * not_negative("diameter", diameter.value)?))
}

/// Force that a pull spreads each side of a dovetail with: `F/2 (cos a - mu sin a) / (sin a + mu cos a)`.
///
/// `flank` is the flanks' angle off the pull.
///
/// # Errors
/// [`OutOfRange`] when the friction is negative or the angle not above zero.
///
/// Source: the flanks' normal force from the balance along the pull, then across it.
pub fn dovetail_spread(pull: Force, flank: Angle, friction: Ratio) -> Result<Force, OutOfRange> {
    let (sin, cos) = positive("flank", flank.value)?.sin_cos();
    let friction = not_negative("friction", friction.value)?;
    Ok(pull * 0.5 * (cos - friction * sin) / (sin + friction * cos))
}
