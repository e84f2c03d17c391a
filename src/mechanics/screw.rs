use std::f64::consts::PI;

use uom::si::f64::{Angle, Force, Length, Pressure, Ratio, Torque};
use uom::si::force::newton;
use uom::si::pressure::pascal;
use uom::si::torque::newton_meter;

use super::out_of_range::{OutOfRange, check, finite, not_negative, positive};

/// Shear stress at which a ductile material yields: `sigma_y / sqrt 3`.
///
/// # Errors
/// [`OutOfRange`] when the yield stress is not above zero.
///
/// Source: von Mises.
pub fn shear_yield(yield_stress: Pressure) -> Result<Pressure, OutOfRange> {
    Ok(Pressure::new::<pascal>(positive("yield_stress", yield_stress.value)? / 3.0_f64.sqrt()))
}

/// Pull-out force of a thread-forming screw: `F = C tau pi d_p L / s`.
///
/// `pitch_diameter` is `d_p`, `engagement` the full threads' length `L`, `constant` the handbook's `C` (about 1.2) and
/// `safety` its divisor `s` (1 for the bare force; more for filled plastics).
///
/// # Errors
/// [`OutOfRange`] when an input is not above zero, or the safety below one.
///
/// Source: General Design Principles Module I (recalled from memory, low confidence).
pub fn pull_out_force(
    pitch_diameter: Length,
    engagement: Length,
    yield_stress: Pressure,
    constant: Ratio,
    safety: Ratio,
) -> Result<Force, OutOfRange> {
    let safety = check("safety", safety.value, "at least one", safety.value >= 1.0)?;
    let constant = positive("constant", constant.value)?;
    let cylinder = cylinder(pitch_diameter, engagement)?;
    let shear = shear_yield(yield_stress)?.value;
    Ok(Force::new::<newton>(constant * shear * cylinder / safety))
}

/// Force that strips the plastic thread, cautiously, over half the pitch cylinder: `F = tau pi d_2 L / 2`.
///
/// # Errors
/// [`OutOfRange`] when an input is not above zero.
///
/// Source: machine-element texts (recalled from memory).
pub fn strip_force(pitch_diameter: Length, engagement: Length, yield_stress: Pressure) -> Result<Force, OutOfRange> {
    let area = cylinder(pitch_diameter, engagement)? / 2.0;
    Ok(Force::new::<newton>(shear_yield(yield_stress)?.value * area))
}

/// A screw's thread and head, for [`tightening_torque`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    /// Diameter at which the flanks carry.
    pub pitch_diameter: Length,
    /// Axial distance of one turn.
    pub pitch: Length,
    /// Between a flank and the plane across the axis: half the thread angle.
    pub flank: Angle,
    /// Friction on the flanks.
    pub friction: Ratio,
    /// Mean diameter of the head's bearing ring.
    pub head_diameter: Length,
    /// Friction under the head.
    pub head_friction: Ratio,
}

/// Torque that makes a tension `force` in a screw: thread and head friction with the thread's climb.
///
/// `T = F d_2 / 2 (tan l + mu / cos b) / (1 - mu tan l / cos b) + F mu_h d_h / 2`, with `tan l = p / (pi d_2)`. Cutting
/// or forming of the thread is not in it. `None` where friction locks the thread.
///
/// # Errors
/// [`OutOfRange`] when a dimension is not above zero, a friction or the force negative, or the flank not below 90 degrees.
///
/// Source: power screws (Shigley's Mechanical Engineering Design, chapter 8; recalled from memory).
pub fn tightening_torque(thread: &Thread, force: Force) -> Result<Option<Torque>, OutOfRange> {
    let force = not_negative("force", force.value)?;
    let diameter = positive("pitch_diameter", thread.pitch_diameter.value)?;
    let climb = positive("pitch", thread.pitch.value)? / (PI * diameter);
    let grip = not_negative("friction", thread.friction.value)? / flank(thread.flank)?.cos();
    let head = not_negative("head_friction", thread.head_friction.value)?
        * positive("head_diameter", thread.head_diameter.value)?
        / 2.0;
    let below = 1.0 - grip * climb;
    if below <= 0.0 {
        return Ok(None);
    }
    let torque = force * (diameter / 2.0 * (climb + grip) / below + head);
    Ok(Some(Torque::new::<newton_meter>(finite("friction", torque)?)))
}

/// Hoop stress at the bore of a boss that a screw's tension wedges open through its flanks.
///
/// The flanks press outwards with `F tan b` over the pitch cylinder, and the boss takes it as a thick cylinder:
/// `sigma = F tan b / (pi d_2 L) (D^2 + d_2^2) / (D^2 - d_2^2)`. What forming the thread leaves behind is not in it; a
/// forced diameter is a press fit ([`super::press_fit`]).
///
/// # Errors
/// [`OutOfRange`] when a dimension is not above zero, the boss not larger than the screw, the force negative, or the
/// flank not below 90 degrees.
///
/// Source: frictionless wedge and Lamé (derived).
pub fn boss_hoop_stress(
    force: Force,
    flank_angle: Angle,
    pitch_diameter: Length,
    engagement: Length,
    boss_diameter: Length,
) -> Result<Pressure, OutOfRange> {
    let force = not_negative("force", force.value)?;
    let pressure = force * flank(flank_angle)?.tan() / cylinder(pitch_diameter, engagement)?;
    let wide = boss_diameter.value / pitch_diameter.value;
    check("boss_diameter", wide, "above the pitch diameter", wide > 1.0)?;
    let square = wide * wide;
    Ok(Pressure::new::<pascal>(finite("force", pressure * (square + 1.0) / (square - 1.0))?))
}

fn cylinder(diameter: Length, length: Length) -> Result<f64, OutOfRange> {
    let diameter = positive("pitch_diameter", diameter.value)?;
    Ok(PI * diameter * positive("engagement", length.value)?)
}

fn flank(angle: Angle) -> Result<f64, OutOfRange> {
    let below = (0.0..std::f64::consts::FRAC_PI_2).contains(&angle.value);
    check("flank", angle.value, "from 0 to below 90 degrees", below)
}
