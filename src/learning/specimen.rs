//! Test pieces: what their shapes bend a strip to, and what two readings of one length say.

/// The radius that bends a strip of a thickness to a strain, in the thickness's unit.
#[must_use]
pub fn arc_radius(thickness: f64, strain: f64) -> f64 {
    0.5 * thickness * (1.0 / strain - 1.0)
}

/// The strain of a strip's outer fibre around an arc of a radius: the same the other way about.
#[must_use]
pub fn arc_strain(thickness: f64, radius: f64) -> f64 {
    thickness / (2.0 * radius + thickness)
}

/// The scale that an outside and an inside dimension of one drawn length prove together.
#[must_use]
pub fn pair_scale(outside: f64, inside: f64, drawn: f64) -> f64 {
    f64::midpoint(outside, inside) / drawn - 1.0
}

/// By how much a pair of lines is wider than drawn, from the same two.
#[must_use]
pub fn pair_line_excess(outside: f64, inside: f64) -> f64 {
    (outside - inside) / 2.0
}
