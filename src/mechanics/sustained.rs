use uom::si::f64::{Pressure, Ratio};
use uom::si::pressure::pascal;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, not_negative, positive};

/// Fraction of the permissible sustained stress that a lasting stress uses up: `sigma / (f sigma_y)`.
///
/// `yield_stress` is the short-term yield stress, `fraction` the part of it that may act for good. Above one the
/// part creeps or cracks in time.
///
/// # Errors
/// [`OutOfRange`] when the stress is negative, the yield stress not above zero, or the fraction not in (0, 1].
///
/// Source: plastics design practice (creep rupture and isochronous curves) puts the fraction near 0.20 to 0.25 for
/// unfilled plastics (recalled from memory); the fraction is the caller's.
pub fn usage(stress: Pressure, yield_stress: Pressure, fraction: Ratio) -> Result<Ratio, OutOfRange> {
    let stress = not_negative("stress", stress.value)?;
    Ok(Ratio::new::<ratio>(stress / permissible(yield_stress, fraction)?.value))
}

/// Stress that may act for good: `f sigma_y`.
///
/// # Errors
/// [`OutOfRange`] when the yield stress is not above zero or the fraction not in (0, 1].
///
/// Source: as for [`usage`].
pub fn permissible(yield_stress: Pressure, fraction: Ratio) -> Result<Pressure, OutOfRange> {
    let part = fraction.value;
    let part = check("fraction", part, "above 0 and at most 1", part > 0.0 && part <= 1.0)?;
    Ok(Pressure::new::<pascal>(part * positive("yield_stress", yield_stress.value)?))
}
