use uom::si::f64::{Force, Length, Pressure};
use uom::si::length::meter;
use uom::si::pressure::pascal;

use super::out_of_range::{OutOfRange, finite, not_negative, positive};

/// How a beam is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// Clamped at one end, free at the other.
    Cantilever,
    /// Resting on both ends, free to turn.
    Simple,
    /// Clamped at both ends.
    Fixed,
}

/// Where a beam is loaded; the force is the whole of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// At the free end of a cantilever.
    End,
    /// At mid-span.
    Centre,
    /// Evenly along the length.
    Spread,
    /// So far from the clamp, or from one of the two supports: from nothing to the beam's length.
    At(Length),
}

/// A slender beam of constant rectangular section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beam {
    /// Between the supports, or from the clamp to the free end.
    pub length: Length,
    /// Of the section, across the load.
    pub width: Length,
    /// Of the section, along the load.
    pub height: Length,
    /// Young's modulus.
    pub modulus: Pressure,
    /// How it is held.
    pub support: Support,
}

/// What a load does to a [`Beam`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeamBending {
    /// Largest deflection.
    pub deflection: Length,
    /// Largest bending stress.
    pub stress: Pressure,
}

/// Largest deflection and bending stress of a slender beam: `y = c F L^3 / (E I)`, `sigma = m F L / (b h^2 / 6)`.
///
/// Small deflections, no shear: the deflection falls short by less than 3 % (Poisson's ratio 0.38) from a length of about
/// six heights (cantilever), eleven (resting) or twenty-one (both ends clamped) up.
///
/// # Errors
/// [`OutOfRange`] when a dimension or the modulus is not above zero, the force is negative, an end load acts on a beam
/// that has no free end, or a load acts beyond the beam.
///
/// Source: Euler-Bernoulli beam tables (Roark's Formulas for Stress and Strain, table 8.1; recalled from memory).
pub fn bend(beam: &Beam, load: Load, force: Force) -> Result<BeamBending, OutOfRange> {
    let length = positive("length", beam.length.value)?;
    let width = positive("width", beam.width.value)?;
    let height = positive("height", beam.height.value)?;
    let modulus = positive("modulus", beam.modulus.value)?;
    let force = not_negative("force", force.value)?;
    let (bending, moment) = factors(beam.support, load, length)?;
    let section = width * height * height / 6.0;
    let stiffness = modulus * section * height / 2.0;
    Ok(BeamBending {
        deflection: Length::new::<meter>(finite("force", bending * force * length.powi(3) / stiffness)?),
        stress: Pressure::new::<pascal>(finite("force", moment * force * length / section)?),
    })
}

/// Factors of `F L^3 / (E I)` and of `F L`.
fn factors(support: Support, load: Load, length: f64) -> Result<(f64, f64), OutOfRange> {
    match (support, load) {
        (support, Load::At(from)) => {
            let share = not_negative("load", from.value)? / length;
            if share > 1.0 {
                return Err(OutOfRange::new("load", "within the beam's length"));
            }
            Ok(factors_at(support, share))
        }
        (Support::Cantilever, Load::End) => Ok((1.0 / 3.0, 1.0)),
        (Support::Cantilever, Load::Centre) => Ok((5.0 / 48.0, 0.5)),
        (Support::Cantilever, Load::Spread) => Ok((1.0 / 8.0, 0.5)),
        (Support::Simple, Load::Centre) => Ok((1.0 / 48.0, 0.25)),
        (Support::Simple, Load::Spread) => Ok((5.0 / 384.0, 0.125)),
        (Support::Fixed, Load::Centre) => Ok((1.0 / 192.0, 0.125)),
        (Support::Fixed, Load::Spread) => Ok((1.0 / 384.0, 1.0 / 12.0)),
        (Support::Simple | Support::Fixed, Load::End) => {
            Err(OutOfRange::new("load", "centre or spread where both ends are held"))
        }
    }
}

/// The factors of a load at a share of the length: of the free end's deflection for a cantilever, else of the largest.
fn factors_at(support: Support, share: f64) -> (f64, f64) {
    let (short, long) = (share.min(1.0 - share), share.max(1.0 - share));
    match support {
        Support::Cantilever => (share * share * (3.0 - share) / 6.0, share),
        Support::Simple => {
            let bending = short * (1.0 - short * short).powf(1.5) / (9.0 * 3.0_f64.sqrt());
            (bending, short * long)
        }
        Support::Fixed => {
            let bending = 2.0 * long.powi(3) * short * short / (3.0 * (3.0 * long + short).powi(2));
            (bending, short * long * long)
        }
    }
}
