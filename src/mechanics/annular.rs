use std::f64::consts::PI;

use uom::si::f64::{Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, finite, not_negative, poisson_ratio, positive};

/// Which part of an annular snap gives; the other is taken as rigid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Elastic {
    /// The tube outside widens.
    Hub,
    /// The tube inside narrows.
    Shaft,
}

/// The tube of an annular snap that gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Whether it is the outer or the inner one.
    pub elastic: Elastic,
    /// Diameter of the joint.
    pub diameter: Length,
    /// Diameter of its other face: its outside for a hub, its bore for a shaft, zero for a solid one.
    pub free_diameter: Length,
    /// Young's modulus.
    pub modulus: Pressure,
    /// Poisson's ratio, from 0 to 0.5.
    pub poisson: Ratio,
}

/// Permissible diametral undercut when one part is rigid: `y = eps d`.
///
/// Where both parts give equally, each takes half the strain and twice the undercut may do.
///
/// # Errors
/// [`OutOfRange`] when the strain is negative or the diameter not above zero.
///
/// Source: Snap-Fit Joints for Plastics - A Design Guide, p. 20.
pub fn permissible_undercut(strain: Ratio, diameter: Length) -> Result<Length, OutOfRange> {
    let strain = not_negative("strain", strain.value)?;
    Ok(Length::new::<meter>(strain * positive("diameter", diameter.value)?))
}

/// Hoop strain that a diametral undercut asks when one part is rigid: `eps = y / d`.
///
/// # Errors
/// [`OutOfRange`] when the undercut is negative or the diameter not above zero.
///
/// Source: as for [`permissible_undercut`].
pub fn strain(undercut: Length, diameter: Length) -> Result<Ratio, OutOfRange> {
    let undercut = not_negative("undercut", undercut.value)?;
    Ok(Ratio::new::<ratio>(undercut / positive("diameter", diameter.value)?))
}

/// Radial force all round that widens or narrows a thin tube by `undercut` on its diameter, on a line at `from_end`.
///
/// `8 beta^3 D / (1 + exp(-2x) (1 + 2 cos^2 x - sin 2x))` for a unit of radius and circumference, with `x = beta a`,
/// `beta^4 = 3 (1 - nu^2) / (R t)^2` and `D = E t^3 / (12 (1 - nu^2))`: `2 beta^3 D` at the end, four times that far from
/// it. All round the middle of the wall, at its radius `R`.
///
/// # Errors
/// [`OutOfRange`] when a diameter is not above zero or not on its side of the joint, the modulus not above zero, the
/// undercut or the distance negative, or Poisson's ratio out of range.
///
/// Source: axisymmetric bending of a long thin cylinder as a beam on an elastic foundation (Timoshenko and
/// Woinowsky-Krieger, Theory of Plates and Shells, from memory); the distance from the end derived from it.
pub fn thin_shell_force(tube: &Tube, undercut: Length, from_end: Length) -> Result<Force, OutOfRange> {
    let shell = shell(tube)?;
    Ok(Force::new::<newton>(finite("undercut", shell.force(undercut, from_end)?)?))
}

/// As [`thin_shell_force`], for walls of any thickness up to a solid shaft.
///
/// A thick wall gives more, above all a hub, which is pressed together under the load. Within 8 % of axisymmetric finite
/// elements for hubs with walls of 0.06 to 0.67 of their mean radius and 10 % for shafts up to solid ones, loaded over a
/// band of 0.4 of the wall (Poisson's ratio 0.38).
///
/// # Errors
/// [`OutOfRange`] as for [`thin_shell_force`].
///
/// Source: thin shell, with a factor fitted to those finite elements.
pub fn radial_force(tube: &Tube, undercut: Length, from_end: Length) -> Result<Force, OutOfRange> {
    let shell = shell(tube)?;
    let (near, away) = match tube.elastic {
        Elastic::Hub => (0.329, 1.073),
        Elastic::Shaft => (-0.292, 0.360),
    };
    let open = shell.openness(not_negative("from_end", from_end.value)?) / 3.0;
    let give = (-(shell.wall / shell.radius) * (near * open + away * (1.0 - open))).exp();
    Ok(Force::new::<newton>(finite("undercut", give * shell.force(undercut, from_end)?)?))
}

/// The middle surface of a tube.
struct Shell {
    radius: f64,
    wall: f64,
    /// `D`.
    stiffness: f64,
    /// One over the length along which a load dies out.
    beta: f64,
}

impl Shell {
    /// 3 at the tube's end, nothing far from it: what the missing half lacks in stiffness.
    fn openness(&self, from_end: f64) -> f64 {
        let x = self.beta * from_end;
        (-2.0 * x).exp() * (1.0 + 2.0 * x.cos().powi(2) - (2.0 * x).sin())
    }

    fn force(&self, undercut: Length, from_end: Length) -> Result<f64, OutOfRange> {
        let aside = not_negative("undercut", undercut.value)? / 2.0;
        let open = self.openness(not_negative("from_end", from_end.value)?);
        let around = 2.0 * PI * self.radius;
        Ok(around * 8.0 * self.beta.powi(3) * self.stiffness * aside / (1.0 + open))
    }
}

fn shell(tube: &Tube) -> Result<Shell, OutOfRange> {
    let joint = positive("diameter", tube.diameter.value)?;
    let free = not_negative("free_diameter", tube.free_diameter.value)?;
    let modulus = positive("modulus", tube.modulus.value)?;
    let sideways = 1.0 - poisson_ratio(tube.poisson.value)?.powi(2);
    match tube.elastic {
        Elastic::Hub => check("free_diameter", free, "above the joint's diameter", free > joint)?,
        Elastic::Shaft => check("free_diameter", free, "below the joint's diameter", free < joint)?,
    };
    let (radius, wall) = ((joint + free) / 4.0, (joint - free).abs() / 2.0);
    Ok(Shell {
        radius,
        wall,
        stiffness: modulus * wall.powi(3) / (12.0 * sideways),
        beta: (3.0 * sideways).powf(0.25) / (radius * wall).sqrt(),
    })
}
