use uom::si::angle::radian;
use uom::si::f64::{Angle, Force, Ratio};
use uom::si::force::newton;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, not_negative, positive};

/// Axial force over deflection force on a ramp: `(mu + tan a) / (1 - mu tan a)`.
///
/// `angle` is that of the ramp to the direction of motion (lead angle when pushing, return angle when pulling). `None`
/// when the ramp locks itself (`a + atan mu >= 90` degrees): no finite force moves it.
///
/// ```
/// use dryfit::mechanics::snap::ramp_factor;
/// use uom::si::f64::{Angle, Ratio};
/// use uom::si::{angle::degree, ratio::ratio};
///
/// let friction = Ratio::new::<ratio>(0.3);
/// let push = ramp_factor(Angle::new::<degree>(30.0), friction)?;
/// assert_eq!(push.map(|factor| format!("{:.2}", factor.value)), Some("1.06".to_string()));
/// // A square hook cannot be pulled open.
/// assert_eq!(ramp_factor(Angle::new::<degree>(90.0), friction)?, None);
/// # Ok::<(), dryfit::mechanics::out_of_range::OutOfRange>(())
/// ```
///
/// # Errors
/// [`OutOfRange`] when the angle is not within 0 to 90 degrees or the friction is negative.
///
/// Source: wedge with Coulomb friction, `tan(a + rho)`; Snap-Fit Joints for Plastics - A Design Guide, p. 14.
pub fn ramp_factor(angle: Angle, friction: Ratio) -> Result<Option<Ratio>, OutOfRange> {
    let angle = quarter_turn("angle", angle)?;
    let friction = not_negative("friction", friction.value)?;
    // mu tan a < 1 written without the tangent, which has no value at 90 degrees.
    let (sine, cosine) = angle.sin_cos();
    let below = cosine - friction * sine;
    if below <= f64::EPSILON * (1.0 + friction) {
        return Ok(None);
    }
    Ok(Some(Ratio::new::<ratio>((friction * cosine + sine) / below)))
}

/// Force that pushes or pulls `arms` equal arms over the ramp: `W = n P (mu + tan a) / (1 - mu tan a)`.
///
/// `deflection_force` is the force `P` that bends one arm by the undercut. `None` when the ramp locks itself.
///
/// # Errors
/// [`OutOfRange`] as for [`ramp_factor`], and when the force is negative or there is no arm.
///
/// Source: as for [`ramp_factor`]; arms that meet their ramps at the same time add up.
pub fn ramp_force(
    deflection_force: Force,
    angle: Angle,
    friction: Ratio,
    arms: u32,
) -> Result<Option<Force>, OutOfRange> {
    let force = not_negative("deflection_force", deflection_force.value)?;
    let arms = positive("arms", f64::from(arms))?;
    let factor = ramp_factor(angle, friction)?;
    Ok(factor.map(|factor| Force::new::<newton>(arms * force * factor.value)))
}

/// Whether a return angle cannot be pulled open: `a + atan mu >= 90` degrees.
///
/// # Errors
/// [`OutOfRange`] as for [`ramp_factor`].
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, p. 14 (separation as mating, with the return angle).
pub fn locks_itself(angle: Angle, friction: Ratio) -> Result<bool, OutOfRange> {
    Ok(ramp_factor(angle, friction)?.is_none())
}

/// Smallest ramp angle that locks itself at a friction: `90 degrees - atan mu`.
///
/// # Errors
/// [`OutOfRange`] when the friction is negative.
///
/// Source: as for [`locks_itself`].
pub fn locking_angle(friction: Ratio) -> Result<Angle, OutOfRange> {
    let friction = not_negative("friction", friction.value)?;
    Ok(Angle::new::<radian>(1.0_f64.atan2(friction)))
}

/// Return angle at which a pull of `pull` opens arms that need `deflection_force` in all: `a = atan(W / P) - atan mu`.
///
/// `None` when friction alone already holds more than `pull`.
///
/// # Errors
/// [`OutOfRange`] when a force is not above zero or the friction is negative.
///
/// Source: [`ramp_factor`] solved for the angle.
pub fn return_angle(pull: Force, deflection_force: Force, friction: Ratio) -> Result<Option<Angle>, OutOfRange> {
    let pull = positive("pull", pull.value)?;
    let force = positive("deflection_force", deflection_force.value)?;
    let friction = not_negative("friction", friction.value)?;
    let angle = pull.atan2(force) - friction.atan();
    Ok((angle >= 0.0).then(|| Angle::new::<radian>(angle)))
}

fn quarter_turn(input: &'static str, angle: Angle) -> Result<f64, OutOfRange> {
    let value = angle.value;
    let quarter = std::f64::consts::FRAC_PI_2 * (1.0 + f64::EPSILON);
    check(input, value, "from 0 to 90 degrees", (0.0..=quarter).contains(&value))
}
