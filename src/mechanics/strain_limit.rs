use uom::si::f64::{Angle, Ratio};
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, positive};

/// What a permissible strain depends on; every number comes from the material and the use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use {
    /// Permissible strain along the layers, once.
    pub once: Ratio,
    /// Part of it for this use: one when strained once, the material's fraction when strained again and again.
    pub repeated: Ratio,
    /// Strength across the layers over that along them, above zero and at most one.
    pub bond: Ratio,
    /// Between the bending stress and the layers, 0 (along) to 90 degrees (straight across).
    pub angle: Angle,
    /// Part that is left at the working temperature, above zero and at most one.
    pub temperature: Ratio,
}

/// Permissible strain of a use: `once * repeated * layer_factor * temperature`.
///
/// # Errors
/// [`OutOfRange`] when the strain is not above zero, a fraction not in (0, 1], or the angle not within 0 to 90 degrees.
///
/// Source: product of independent reductions, common practice, no published source; the 60 % for repeated use that the
/// design guides give is the caller's.
pub fn limit(usage: &Use) -> Result<Ratio, OutOfRange> {
    let once = positive("once", usage.once.value)?;
    let repeated = part("repeated", usage.repeated)?;
    let temperature = part("temperature", usage.temperature)?;
    let layers = layer_factor(usage.bond, usage.angle)?.value;
    Ok(Ratio::new::<ratio>(once * repeated * layers * temperature))
}

/// Strength at an angle to the layers over that along them: `k / (sin^2 a + k cos^2 a)`.
///
/// `bond` is `k`, the strength straight across over that along.
///
/// # Errors
/// [`OutOfRange`] when the bond is not in (0, 1] or the angle not within 0 to 90 degrees.
///
/// Source: Hankinson's formula for the strength of wood at an angle to its grain (1921, recalled from memory), taken over
/// to printed layers.
pub fn layer_factor(bond: Ratio, angle: Angle) -> Result<Ratio, OutOfRange> {
    let bond = part("bond", bond)?;
    let quarter = std::f64::consts::FRAC_PI_2 * (1.0 + f64::EPSILON);
    check("angle", angle.value, "from 0 to 90 degrees", (0.0..=quarter).contains(&angle.value))?;
    let (sine, cosine) = angle.value.sin_cos();
    Ok(Ratio::new::<ratio>(bond / (sine * sine + bond * cosine * cosine)))
}

fn part(input: &'static str, value: Ratio) -> Result<f64, OutOfRange> {
    let value = value.value;
    check(input, value, "above 0 and at most 1", value > 0.0 && value <= 1.0)
}
