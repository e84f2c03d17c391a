use std::f64::consts::{FRAC_PI_2, PI};

use uom::si::f64::{Angle, Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, finite, not_negative, positive};
use super::snap::ramp_factor;
use super::u_arm::inner_factor;

/// A C-shaped spring clamp of constant rectangular section, held at its foot, opposite to its mouth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clamp {
    /// Of the arc, at mid-thickness; above half the thickness.
    pub radius: Length,
    /// From its foot to a lip, half of what it wraps: from a right angle to half a turn.
    pub half_wrap: Angle,
    /// In the plane of the arc.
    pub thickness: Length,
    /// Along the tube.
    pub width: Length,
    /// Young's modulus.
    pub modulus: Pressure,
}

/// Strain at the inside of its foot as each lip is pushed outward by `opening`.
///
/// Bending only, small deflections: `eps = k t y (1 - cos phi) / (2 R^2 D)` with
/// `D = phi/2 - 3/4 sin 2 phi + phi cos^2 phi` and the factor `k` of the inside of a curved beam.
///
/// # Errors
/// [`OutOfRange`] when a dimension is not above zero, the radius not above half the thickness, the angle not from a right
/// angle to half a turn, or the opening negative.
///
/// Source: Castigliano's theorem (derived); the inside by Winkler and Bach (Shigley's Mechanical Engineering Design,
/// chapter 3, curved beams; recalled from memory).
pub fn strain(clamp: &Clamp, opening: Length) -> Result<Ratio, OutOfRange> {
    let (radius, thickness) = arc(clamp)?;
    let phi = half_wrap(clamp)?;
    let curvature = not_negative("opening", opening.value)? * (1.0 - phi.cos()) / (radius * radius * give(phi));
    let plain = curvature * thickness / 2.0;
    // The lip's force pulls along the foot as well, in the same sense.
    let along = plain * thickness / (6.0 * radius * (1.0 - phi.cos()));
    Ok(Ratio::new::<ratio>(finite("opening", plain * inner_factor(radius, thickness) + along)?))
}

/// Force, square to the plane of symmetry, that holds each lip aside by `opening`: `F = E I y / (R^3 D)`.
///
/// # Errors
/// As for [`strain`], and where the width or the modulus is not above zero.
///
/// Source: Castigliano's theorem (derived).
pub fn lip_force(clamp: &Clamp, opening: Length) -> Result<Force, OutOfRange> {
    let (radius, thickness) = arc(clamp)?;
    let width = positive("width", clamp.width.value)?;
    let stiffness = positive("modulus", clamp.modulus.value)? * width * thickness.powi(3) / 12.0;
    let opening = not_negative("opening", opening.value)?;
    let force = stiffness * opening / (radius.powi(3) * give(half_wrap(clamp)?));
    Ok(Force::new::<newton>(finite("modulus", force)?))
}

/// The largest pull on the way out of a tube that lies without play in the clamp: both lips slide over its flank.
///
/// With the lips at an angle `b` over the tube's middle each is open by `r (cos b - cos b0)`, with `b0 = phi - 90 deg` at
/// rest, and the pull is `2 F (mu + tan b) / (1 - mu tan b)`. `None` where friction locks the lips as they
/// rest: the tube then stays until they are bent open.
///
/// # Errors
/// As for [`lip_force`] and [`ramp_factor`].
///
/// Source: geometry, and a wedge with Coulomb friction (derived).
pub fn pull_out(clamp: &Clamp, tube: Length, friction: Ratio) -> Result<Option<Force>, OutOfRange> {
    let tube = positive("tube", tube.value)?;
    let rest = half_wrap(clamp)? - FRAC_PI_2;
    let each = lip_force(clamp, Length { value: 1e-3, ..clamp.radius })?.value / 1e-3;
    let mut most = 0.0_f64;
    for step in (0..=STEPS).rev() {
        let lean = rest * f64::from(step) / f64::from(STEPS);
        // The lips lean most where they rest: friction that does not lock them there does so nowhere.
        let Some(factor) = ramp_factor(Angle { value: lean, ..clamp.half_wrap }, friction)? else { return Ok(None) };
        most = most.max(2.0 * each * tube * (lean.cos() - rest.cos()) * factor.value);
    }
    Ok(Some(Force::new::<newton>(most)))
}

/// Places at which the pull is looked at between rest and wide open: its top is flat, so that these meet it to 1e-4.
const STEPS: u16 = 200;

fn arc(clamp: &Clamp) -> Result<(f64, f64), OutOfRange> {
    let radius = positive("radius", clamp.radius.value)?;
    let thickness = positive("thickness", clamp.thickness.value)?;
    check("radius", radius, "above half the thickness", 2.0 * radius > thickness)?;
    Ok((radius, thickness))
}

fn half_wrap(clamp: &Clamp) -> Result<f64, OutOfRange> {
    let phi = clamp.half_wrap.value;
    check("half_wrap", phi, "from 90 to 180 degrees", (FRAC_PI_2..=PI).contains(&phi))
}

/// The lip's deflection for a unit of `F R^3 / (E I)`: the integral of `(cos s - cos phi)^2` from 0 to `phi`.
fn give(phi: f64) -> f64 {
    phi / 2.0 - 0.75 * (2.0 * phi).sin() + phi * phi.cos().powi(2)
}
