use std::f64::consts::PI;

use uom::si::f64::{Area, Force, Length, Pressure};
use uom::si::force::newton;

use super::out_of_range::{OutOfRange, finite, positive};

/// How the ends of a strut are held; sets the length of the half wave over the strut's length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Both free to turn, held sideways: 1.
    Pinned,
    /// Both clamped: 0.5.
    Clamped,
    /// One clamped, one free to turn: 0.699.
    ClampedPinned,
    /// One clamped, one free: 2.
    ClampedFree,
}

impl Ends {
    /// Effective over real length.
    ///
    /// Source: Timoshenko and Gere, Theory of Elastic Stability (recalled from memory); 0.6992 is `pi` over the first root
    /// of `tan x = x`.
    #[must_use]
    pub fn length_factor(self) -> f64 {
        match self {
            Ends::Pinned => 1.0,
            Ends::Clamped => 0.5,
            Ends::ClampedPinned => 0.699_156,
            Ends::ClampedFree => 2.0,
        }
    }
}

/// A straight strut of constant section pressed along its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strut {
    /// Between the ends.
    pub length: Length,
    /// Of the section.
    pub area: Area,
    /// Smallest radius of gyration of the section: `h / sqrt 12` for a rectangle of least side `h`.
    pub gyration: Length,
    /// How its ends are held.
    pub ends: Ends,
    /// Young's modulus.
    pub modulus: Pressure,
    /// Stress at which the material yields when pressed.
    pub yield_stress: Pressure,
}

/// Load at which a slender elastic strut buckles: `P = pi^2 E A / (k L / r)^2`.
///
/// # Errors
/// [`OutOfRange`] when a dimension or stress is not above zero.
///
/// Source: Euler.
pub fn euler_load(strut: &Strut) -> Result<Force, OutOfRange> {
    let area = positive("area", strut.area.value)?;
    let modulus = positive("modulus", strut.modulus.value)?;
    let load = PI * PI * modulus * area / slenderness(strut)?.powi(2);
    Ok(Force::new::<newton>(finite("length", load)?))
}

/// Load at which a strut fails: Johnson's parabola where it is stocky, Euler's hyperbola where it is slender.
///
/// They meet where Euler's stress is half the yield stress.
///
/// # Errors
/// [`OutOfRange`] when a dimension or stress is not above zero.
///
/// Source: Johnson's formula (Shigley's Mechanical Engineering Design, chapter 4; recalled from memory).
pub fn critical_load(strut: &Strut) -> Result<Force, OutOfRange> {
    let squash = positive("yield_stress", strut.yield_stress.value)? * positive("area", strut.area.value)?;
    let euler = euler_load(strut)?.value;
    let load = if euler < squash / 2.0 { euler } else { squash * (1.0 - squash / (4.0 * euler)) };
    Ok(Force::new::<newton>(load))
}

fn slenderness(strut: &Strut) -> Result<f64, OutOfRange> {
    let length = positive("length", strut.length.value)?;
    Ok(strut.ends.length_factor() * length / positive("gyration", strut.gyration.value)?)
}
