use uom::si::f64::{Angle, Pressure, Ratio, TemperatureInterval};
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

/// Share of the strain at yield that a stress of `share` of the yield stress reaches, in the same direction.
///
/// `modulus` is that of small strains. Valid for shares above 0 and up to 1.
///
/// # Errors
/// [`OutOfRange`] when a property is not above zero or the share not in (0, 1].
///
/// Source: the stress taken as a parabola from zero through the yield point, no steeper at first than the one whose top
/// is the yield point (derived). A print that is pulled across its layers parts at the bond's share of its strength while
/// it is still nearly elastic, so that less of its strain is left than of its stress.
pub fn strain_share(
    share: Ratio,
    modulus: Pressure,
    yield_strain: Ratio,
    yield_stress: Pressure,
) -> Result<Ratio, OutOfRange> {
    let share = part("share", share)?;
    let elastic = positive("modulus", modulus.value)? * positive("yield_strain", yield_strain.value)?;
    let steep = (elastic / positive("yield_stress", yield_stress.value)?).clamp(1.0, 2.0);
    let curve = steep - 1.0;
    // The lower root of steep x - curve x^2 = share, written so that a straight line needs no case of its own.
    let root = (steep * steep - 4.0 * curve * share).max(0.0).sqrt();
    Ok(Ratio::new::<ratio>(2.0 * share / (steep + root)))
}

/// Strain that a material takes `cycles` times: `once` up to `few`, `often` from `many` on, and between them falling
/// evenly with the logarithm of the cycles.
///
/// # Errors
/// [`OutOfRange`] when a strain is not above zero, the cycles or `few` are below one, or `many` is not above `few`.
///
/// Source: the two ends are the design guides' strains for a single and for frequent use; where they lie and the line
/// between them are a judgement, after the straight lines in log N of fatigue diagrams.
pub fn repeated(once: Ratio, often: Ratio, cycles: Ratio, few: Ratio, many: Ratio) -> Result<Ratio, OutOfRange> {
    let (once, often) = (positive("once", once.value)?, positive("often", often.value)?);
    let cycles = check("cycles", cycles.value, "at least 1", cycles.value >= 1.0)?;
    let few = check("few", few.value, "at least 1", few.value >= 1.0)?;
    let many = check("many", many.value, "above `few`", many.value > few)?;
    let gone = ((cycles / few).ln() / (many / few).ln()).clamp(0.0, 1.0);
    Ok(Ratio::new::<ratio>(once + gone * (often - once)))
}

/// Share of stiffness and strength that is left so much `above` the temperature of the tests: one up to it, `at_limit`
/// where that is `span`, on a straight line through both, and never less than `least`.
///
/// # Errors
/// [`OutOfRange`] when a share is not in (0, 1] or `span` is not above zero.
///
/// Source: judgement; glassy polymers lose modulus and yield stress nearly evenly with temperature up to some way below
/// their glass transition.
pub fn warmth(
    above: TemperatureInterval,
    span: TemperatureInterval,
    at_limit: Ratio,
    least: Ratio,
) -> Result<Ratio, OutOfRange> {
    let (at_limit, least) = (part("at_limit", at_limit)?, part("least", least)?);
    let span = positive("span", span.value)?;
    let above = check("above", above.value, "finite", true)?;
    let left = 1.0 - (1.0 - at_limit) * above / span;
    Ok(Ratio::new::<ratio>(left.clamp(least, 1.0)))
}

fn part(input: &'static str, value: Ratio) -> Result<f64, OutOfRange> {
    let value = value.value;
    check(input, value, "above 0 and at most 1", value > 0.0 && value <= 1.0)
}
