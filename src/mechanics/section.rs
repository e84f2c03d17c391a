use std::f64::consts::PI;

use uom::si::f64::{Angle, Force, Length, Pressure, Ratio, Volume};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::out_of_range::{OutOfRange, check, not_negative, positive};

/// What bending asks of a cross-section, for the side that is in tension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// From the neutral line to the outer fibre in tension.
    pub outer_fibre: Length,
    /// Second moment of area over `outer_fibre`.
    pub modulus: Volume,
}

/// Which side of a ring segment is in tension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tension {
    /// The outside of the curve.
    Convex,
    /// The inside, that is the segment's edges.
    Concave,
}

/// A rectangle of `width` and `height` (in the direction of bending).
///
/// # Errors
/// [`OutOfRange`] when a side is not above zero.
///
/// Source: mechanics of materials.
pub fn rectangle(width: Length, height: Length) -> Result<Outline, OutOfRange> {
    trapezoid(width, width, height)
}

/// A trapezoid with parallel edges `tension_edge` and `other_edge`, `height` apart in the direction of bending.
///
/// # Errors
/// [`OutOfRange`] when the height is not above zero, an edge negative, or both edges zero.
///
/// Source: mechanics of materials; as in Snap-Fit Joints for Plastics - A Design Guide, table 1.
pub fn trapezoid(tension_edge: Length, other_edge: Length, height: Length) -> Result<Outline, OutOfRange> {
    let near = not_negative("tension_edge", tension_edge.value)?;
    let far = not_negative("other_edge", other_edge.value)?;
    let height = positive("height", height.value)?;
    let sum = positive("tension_edge", near + far)?;
    let fibre = height * (near + 2.0 * far) / (3.0 * sum);
    let second = height.powi(3) * (near * near + 4.0 * near * far + far * far) / (36.0 * sum);
    Ok(outline(fibre, second))
}

/// A half circle of `radius` with its curved side in tension.
///
/// # Errors
/// [`OutOfRange`] when the radius is not above zero.
///
/// Source: mechanics of materials.
pub fn half_round(radius: Length) -> Result<Outline, OutOfRange> {
    let radius = positive("radius", radius.value)?;
    let centroid = 4.0 * radius / (3.0 * PI);
    let second = radius.powi(4) * (PI / 8.0 - 8.0 / (9.0 * PI));
    Ok(outline(radius - centroid, second))
}

/// A segment of a ring between `inner` and `outer` radius that spans `angle` in all (above 0, up to 180 degrees), bent in
/// its plane of symmetry.
///
/// # Errors
/// [`OutOfRange`] when the outer radius is not above the inner, the inner not above zero, or the angle out of range.
///
/// Source: section integrals (derived); the case of Snap-Fit Joints for Plastics - A Design Guide, table 1.
pub fn ring_segment(inner: Length, outer: Length, angle: Angle, tension: Tension) -> Result<Outline, OutOfRange> {
    let inner = positive("inner", inner.value)?;
    let outer = check("outer", outer.value, "above the inner radius", outer.value > inner)?;
    let span = angle.value;
    check("angle", span, "above 0 and at most 180 degrees", span > 0.0 && span <= PI * (1.0 + f64::EPSILON))?;
    let half = span / 2.0;
    let (sine, cosine) = half.sin_cos();
    let area = (outer * outer - inner * inner) * half;
    let centroid = 2.0 / 3.0 * (outer.powi(3) - inner.powi(3)) * sine / area;
    let second = (outer.powi(4) - inner.powi(4)) / 4.0 * (half + sine * cosine) - area * centroid * centroid;
    let fibre = match tension {
        Tension::Convex => outer - centroid,
        Tension::Concave => centroid - inner * cosine,
    };
    Ok(outline(fibre, second))
}

/// Deflection of a constant cantilever of this section at which its root strain is `strain`: `y = eps l^2 / (3 c)`.
///
/// # Errors
/// [`OutOfRange`] when the length is not above zero or the strain negative.
///
/// Source: Euler-Bernoulli cantilever; Snap-Fit Joints for Plastics - A Design Guide, table 1.
pub fn permissible_deflection(section: &Outline, length: Length, strain: Ratio) -> Result<Length, OutOfRange> {
    let length = positive("length", length.value)?;
    let strain = not_negative("strain", strain.value)?;
    let fibre = positive("section.outer_fibre", section.outer_fibre.value)?;
    Ok(Length::new::<meter>(strain * length * length / (3.0 * fibre)))
}

/// Tip force of a cantilever whose root of this section has the strain `strain`: `P = Z E eps / l`.
///
/// # Errors
/// [`OutOfRange`] when the length or modulus is not above zero or the strain negative.
///
/// Source: as for [`permissible_deflection`].
pub fn tip_force(section: &Outline, length: Length, modulus: Pressure, strain: Ratio) -> Result<Force, OutOfRange> {
    let length = positive("length", length.value)?;
    let modulus = positive("modulus", modulus.value)?;
    let strain = not_negative("strain", strain.value)?;
    let section = positive("section.modulus", section.modulus.value)?;
    Ok(Force::new::<newton>(section * modulus * strain / length))
}

fn outline(fibre: f64, second: f64) -> Outline {
    Outline { outer_fibre: Length::new::<meter>(fibre), modulus: Volume::new::<cubic_meter>(second / fibre) }
}
