use uom::si::f64::{Angle, Length, Ratio};
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, positive};

/// Outer-fibre strain of a living hinge bent by `angle` over its whole land: `eps = t theta / (2 l)`.
///
/// The web (thickness `thickness`, free length `length`) bends to a uniform radius. Valid for pure bending; a real
/// hinge that folds at one spot is strained more.
///
/// # Errors
/// [`OutOfRange`] when a length or the angle is not above zero.
///
/// Source: uniform curvature (mechanics of materials); at 180 degrees it is `pi t / (2 l)`, derived.
pub fn strain(thickness: Length, length: Length, angle: Angle) -> Result<Ratio, OutOfRange> {
    let radius = bend_radius(length, angle)?.value;
    let thickness = positive("thickness", thickness.value)?;
    Ok(Ratio::new::<ratio>(thickness / (2.0 * radius)))
}

/// Mid-plane radius to which a hinge of free length `length` bends at `angle`: `R = l / theta`.
///
/// # Errors
/// [`OutOfRange`] when the length or the angle is not above zero.
///
/// Source: geometry of a circular arc.
pub fn bend_radius(length: Length, angle: Angle) -> Result<Length, OutOfRange> {
    let length = positive("length", length.value)?;
    Ok(Length::new::<meter>(length / positive("angle", angle.value)?))
}

/// Outer-fibre strain of a web bent round a given inner radius: `eps = t / (2 R + t)`.
///
/// # Errors
/// [`OutOfRange`] when the thickness is not above zero or the radius is negative.
///
/// Source: pure bending with the neutral line at mid-thickness (mechanics of materials).
pub fn strain_at_inner_radius(thickness: Length, inner_radius: Length) -> Result<Ratio, OutOfRange> {
    let thickness = positive("thickness", thickness.value)?;
    let radius = super::out_of_range::not_negative("inner_radius", inner_radius.value)?;
    Ok(Ratio::new::<ratio>(thickness / (2.0 * radius + thickness)))
}
