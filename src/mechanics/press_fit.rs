use std::f64::consts::PI;

use uom::si::f64::{Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::pressure::pascal;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, finite, not_negative, poisson_ratio, positive};

/// One of the two elastic rings of a press fit.
///
/// For a hub `free_diameter` is its outside, above the joint's diameter; for a shaft it is its bore, below the joint's
/// diameter, zero when solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// Diameter of the surface that is not pressed.
    pub free_diameter: Length,
    /// Young's modulus; an infinite one makes the ring rigid.
    pub modulus: Pressure,
    /// Poisson's ratio, from 0 to 0.5.
    pub poisson: Ratio,
}

/// A shaft pressed into a hub: both elastic, plane stress (free to change length).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressFit {
    /// Nominal diameter of the joint.
    pub diameter: Length,
    /// Shaft diameter less bore diameter, zero or more.
    pub interference: Length,
    /// The ring outside.
    pub hub: Ring,
    /// The ring or solid pin inside.
    pub shaft: Ring,
}

/// State of a [`PressFit`]. Tension is positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pressed {
    /// Contact pressure.
    pub pressure: Pressure,
    /// Hoop stress at the hub's bore.
    pub hub_hoop_stress: Pressure,
    /// Hoop strain at the hub's bore.
    pub hub_hoop_strain: Ratio,
    /// Equivalent stress (von Mises, plane stress) at the hub's bore.
    pub hub_von_mises: Pressure,
    /// Hoop stress of the shaft where it is largest: its bore, or everywhere when solid. Compression: negative.
    pub shaft_hoop_stress: Pressure,
}

/// Elastic state of a press fit by Lamé's thick cylinders.
///
/// `p = (delta / d) / ((Ch + nu_h) / E_h + (Cs - nu_s) / E_s)` with `C = (D^2 + d^2) / (D^2 - d^2)` of each ring. The
/// interference is diametral. Small strains; a plastic boss relaxes with time.
///
/// # Errors
/// [`OutOfRange`] when a diameter, modulus or ratio is out of range, the hub is not larger or the shaft's bore not
/// smaller than the joint, or both rings are rigid.
///
/// Source: Lamé, plane stress (Shigley's Mechanical Engineering Design, chapter 3).
pub fn press(fit: &PressFit) -> Result<Pressed, OutOfRange> {
    let diameter = positive("diameter", fit.diameter.value)?;
    let interference = not_negative("interference", fit.interference.value)?;
    let hub = hub_shape(&fit.hub, diameter)?;
    let shaft = shaft_shape(&fit.shaft, diameter)?;
    let hub_give = (hub + poisson_ratio(fit.hub.poisson.value)?) / modulus(&fit.hub)?;
    let shaft_give = (shaft - poisson_ratio(fit.shaft.poisson.value)?) / modulus(&fit.shaft)?;
    let give = positive("modulus", hub_give + shaft_give)?;
    let pressure = finite("interference", interference / diameter / give)?;
    let hoop = pressure * hub;
    Ok(Pressed {
        pressure: Pressure::new::<pascal>(pressure),
        hub_hoop_stress: Pressure::new::<pascal>(hoop),
        hub_hoop_strain: Ratio::new::<ratio>(pressure * hub_give),
        hub_von_mises: Pressure::new::<pascal>((hoop * hoop + hoop * pressure + pressure * pressure).sqrt()),
        // Hollow: at its bore -p 2 d^2 / (d^2 - di^2) = -p (C + 1); solid: -p.
        shaft_hoop_stress: Pressure::new::<pascal>(
            -pressure * if fit.shaft.free_diameter.value > 0.0 { shaft + 1.0 } else { 1.0 },
        ),
    })
}

/// Axial force that pushes the joint in or out: `F = mu p pi d l`.
///
/// # Errors
/// [`OutOfRange`] when the pressure, friction or length is negative or the diameter not above zero.
///
/// Source: Coulomb friction on the cylinder (Shigley's Mechanical Engineering Design, chapter 3).
pub fn push_out_force(
    pressure: Pressure,
    diameter: Length,
    length: Length,
    friction: Ratio,
) -> Result<Force, OutOfRange> {
    let pressure = not_negative("pressure", pressure.value)?;
    let diameter = positive("diameter", diameter.value)?;
    let length = not_negative("length", length.value)?;
    let friction = not_negative("friction", friction.value)?;
    Ok(Force::new::<newton>(friction * pressure * PI * diameter * length))
}

/// Diametral interference at which the hoop strain at the hub's bore reaches `strain`, the inverse of [`press`].
///
/// `fit.interference` is not used.
///
/// # Errors
/// [`OutOfRange`] as for [`press`], when the strain is negative, or the hub is rigid.
///
/// Source: as for [`press`], which is linear in the interference.
pub fn interference_at_strain(fit: &PressFit, strain: Ratio) -> Result<Length, OutOfRange> {
    let strain = not_negative("strain", strain.value)?;
    let unit = press(&PressFit { interference: fit.diameter, ..*fit })?.hub_hoop_strain.value;
    let scale = strain / positive("hub.modulus", unit)?;
    Ok(Length::new::<meter>(scale * fit.diameter.value))
}

fn modulus(ring: &Ring) -> Result<f64, OutOfRange> {
    if ring.modulus.value == f64::INFINITY {
        return Ok(f64::INFINITY);
    }
    positive("modulus", ring.modulus.value)
}

fn hub_shape(hub: &Ring, diameter: f64) -> Result<f64, OutOfRange> {
    let outside = hub.free_diameter.value;
    check("hub.free_diameter", outside, "above the joint's diameter", outside > diameter)
        .map_err(|error| error.by("diameter"))?;
    let square = (outside / diameter).powi(2);
    Ok((square + 1.0) / (square - 1.0))
}

fn shaft_shape(shaft: &Ring, diameter: f64) -> Result<f64, OutOfRange> {
    let bore = shaft.free_diameter.value;
    let allowed = "zero or more and below the joint's diameter";
    check("shaft.free_diameter", bore, allowed, (0.0..diameter).contains(&bore))?;
    let square = (bore / diameter).powi(2);
    Ok((1.0 + square) / (1.0 - square))
}
