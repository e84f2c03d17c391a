use std::f64::consts::PI;

use uom::si::f64::{Length, Ratio};
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, positive};

/// Inscribed over circumscribed diameter of a hole drawn as a regular polygon of `sides`: `cos(pi / n)`.
///
/// The corners lie on the wanted circle, so the flats stand inside it by the chord effect.
///
/// # Errors
/// [`OutOfRange`] below three sides.
///
/// Source: geometry of the regular polygon.
pub fn chord_factor(sides: u32) -> Result<Ratio, OutOfRange> {
    check("sides", f64::from(sides), "three or more", sides >= 3)?;
    Ok(Ratio::new::<ratio>((PI / f64::from(sides)).cos()))
}

/// Diameter of the largest pin that passes a hole of `diameter` drawn as a polygon of `sides`.
///
/// # Errors
/// [`OutOfRange`] below three sides or when the diameter is not above zero.
///
/// Source: [`chord_factor`].
pub fn clear_diameter(diameter: Length, sides: u32) -> Result<Length, OutOfRange> {
    let diameter = positive("diameter", diameter.value)?;
    Ok(Length::new::<meter>(diameter * chord_factor(sides)?.value))
}

/// Diameter at which to draw the corners of a polygon of `sides` so that a pin of `diameter` passes its flats.
///
/// # Errors
/// [`OutOfRange`] below three sides or when the diameter is not above zero.
///
/// Source: [`chord_factor`].
pub fn corner_diameter(diameter: Length, sides: u32) -> Result<Length, OutOfRange> {
    let diameter = positive("diameter", diameter.value)?;
    Ok(Length::new::<meter>(diameter / chord_factor(sides)?.value))
}

/// Mean stress beside a round hole, on its narrow side, over that of the whole section of a strap that is pulled along its
/// middle line; from `reach`, the hole's radius over the distance of its centre to the near edge, and `place`, that
/// distance over the strap's width.
///
/// The published approximation is met where the hole is in the middle or far narrower than the strap, and falls up to a
/// quarter short between: the strap bends toward the narrow side. What it lacks is fitted to plane finite elements, to 3 %.
///
/// # Errors
/// [`OutOfRange`] unless `reach` is from 0 to below 1 and `place` above 0 and at most a half.
///
/// Source: Roark's Formulas for Stress and Strain, chapter on stress concentration, off-centre circular hole in a flat bar in
/// tension (from memory; after Sjostrom, also in Peterson's Stress Concentration Factors); the fit is our own.
pub fn narrow_side_factor(reach: Ratio, place: Ratio) -> Result<Ratio, OutOfRange> {
    let (q, c) = (reach.value, place.value);
    check("reach", q, "from 0 to below 1", (0.0..1.0).contains(&q))?;
    check("place", c, "above 0 and at most a half", c > 0.0 && c <= 0.5)?;
    let root = (1.0 - q * q).sqrt();
    let published = root / (1.0 - q) * (1.0 - c) / (1.0 - c * (2.0 - root));
    let bends = 10.5 * q * q / root * c * c * (1.0 - 2.0 * c).powf(1.25);
    Ok(Ratio::new::<ratio>(published * (1.0 + bends)))
}
