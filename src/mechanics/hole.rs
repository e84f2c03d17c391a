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
